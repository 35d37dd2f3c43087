"""Tuplets of which a bracket end or a part of the group is missing."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from xmlcheck.plugin import CHORD, CUE, GRACE, Hit, Hits, Note, Part, Rest, ScoreFacts, rule
from xmlcheck_export.spanners import TUPLETS, ends, unmatched
from xmlcheck_export.values import worth


@rule
def tuplet_broken(score: ScoreFacts) -> Hits:
    """One hit for each bracket end without a partner, and for each run of one ratio that fills no plain length in its bar."""
    for part in score.score.parts:
        lone = unmatched(ends(part, TUPLETS))
        for end in lone:
            fault = "without the end of its bracket" if end.starts else "without the beginning of its bracket"
            yield Hit(at=(end.at,), values={"fault": fault}, part=part.id)
        told = {end.at.anchor for end in lone}
        for run in _runs(part):
            total = sum((worth(note) or Fraction(0) for note in run), Fraction(0))
            whole = not total.denominator & (total.denominator - 1)  # a power of two
            if not whole and told.isdisjoint(note.anchor for note in run):
                yield Hit(at=(run[0],), values={"fault": "not whole"}, part=part.id)


def _runs(part: Part) -> Iterator[list[Note]]:
    """Successive notes of one voice, bar and ratio. A run with a rest in it, whose ratio the file keeps to itself, is left out."""
    own = [note for note in part.notes if not note.flags & (CHORD | GRACE | CUE)]
    voices: dict[tuple[str, int, int], list[Note]] = {
        (note.voice, note.staff, note.measure): [] for note in own if note.ratio is not None
    }
    for note in own if voices else ():
        place = note.voice, note.staff, note.measure
        if place in voices:
            voices[place].append(note)
    rests: dict[tuple[str, int], list[Rest]] = {}
    for rest in part.rests if voices else ():
        rests.setdefault((rest.voice, rest.measure), []).append(rest)
    runs: list[tuple[list[Note], list[Rest]]] = []
    for (voice, _, measure), notes in voices.items():
        run: list[Note] = []
        for note in notes:
            if run and (note.ratio != run[0].ratio or note.onset != run[-1].end):
                runs.append((run, rests.get((voice, measure), [])))
                run = []
            if note.ratio is not None and note.ratio[0] != note.ratio[1]:
                run.append(note)
        if run:
            runs.append((run, rests.get((voice, measure), [])))
    for run, silent in runs:
        if not _beside_rest(run, silent) and not any(item.has("tremolo") for item in run):
            yield run


def _beside_rest(run: list[Note], rests: list[Rest]) -> bool:
    return any(
        rest.end == run[0].onset or rest.onset == run[-1].end or run[0].onset < rest.onset < run[-1].end for rest in rests
    )

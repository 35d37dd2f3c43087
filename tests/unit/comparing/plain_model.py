"""The music of a file as plain lists, built from the reader's values alone, and a report applied to it.

Nothing here comes from the comparison: if what a report says about OLD gives NEW, the report is complete, and if nothing else
differs, nothing in it is invented.
"""

from __future__ import annotations

import copy
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from xmlcheck.comparing.revision import Revision
from xmlcheck.comparing.telling import sung
from xmlcheck.model import Mark, Part

LEFT_OUT = frozenset(("tied", "metronome", "accidental", "notehead", "rehearsal", "segno", "coda", "harmony"))
AT_THE_NOTE = ("pitch", "rhythm", "respelled", "staff", "transposed", "octave")
PLAYBACK = frozenset(("attack", "release", "end-dynamics"))


@dataclass
class Tone:
    """One notehead. at: quarter notes from the start of its bar."""

    at: Fraction
    quarters: Fraction
    written: str | None
    sounding: str | None
    staff: int
    grace: int
    tied: bool = False
    marks: Counter[str] = field(default_factory=Counter)
    sung: str = ""
    moved: bool = False

    @property
    def identity(self) -> tuple[Any, ...]:
        return self.at, self.quarters, self.written, self.staff, self.grace


@dataclass
class Bar:
    tones: list[Tone] = field(default_factory=list)
    signs: Counter[tuple[Fraction, int, str]] = field(default_factory=Counter)

    @property
    def told(self) -> Any:
        """What two equal bars have in common."""
        tones = Counter(
            (*tone.identity, tone.sounding, tone.tied, tuple(sorted(tone.marks.elements())), tone.sung) for tone in self.tones
        )
        return tones, Counter({key: count for key, count in self.signs.items() if count})


Model = dict[str, list[Bar]]


def says(mark: Mark) -> str:
    """A sign by name, type and value; which way up a fermata is printed is no part of it."""
    if mark.name in ("fermata", "strong-accent"):
        return mark.name
    if mark.name == "tremolo" and mark.type == "single":
        return f"tremolo {mark.value}"
    return " ".join(piece for piece in (mark.name, mark.type, " ".join(mark.value.split())) if piece)


def model(revision: Revision) -> Model:
    return {part.id: bars(part, revision) for part in revision.score.parts}


def bars(part: Part, revision: Revision) -> list[Bar]:
    resolution = revision.score.resolution
    found = [Bar() for _ in part.measures]
    graces: Counter[tuple[int, int, str]] = Counter()
    for note in part.notes:
        order = 0
        if note.grace:
            place = (note.measure, note.onset, note.voice)
            graces[place] += 0 if note.chord and graces[place] else 1
            order = graces[place]
        tied = note.tie_start or any(mark.type == "start" for mark in note.named("tied"))
        marks = Counter(says(mark) for mark in note.marks if mark.name not in LEFT_OUT | PLAYBACK and mark.type != "continue")
        start = part.measures[note.measure].onset
        found[note.measure].tones.append(
            Tone(
                Fraction(note.onset - start, resolution),
                Fraction(note.duration, resolution),
                note.written.name if note.written else None,
                note.sounding.name if note.sounding else None,
                note.staff,
                order,
                tied,
                marks,
                sung(revision.sung.get(note.anchor, ())),
            )
        )
    for direction in part.directions:
        at = Fraction(direction.onset - part.measures[direction.measure].onset, resolution)
        for mark in direction.marks:
            if mark.name not in LEFT_OUT:
                found[direction.measure].signs[at, max(1, direction.staff), says(mark)] += 1
    return found


def applied(report: Mapping[str, Any], old: Model, new: Model) -> Model:
    """OLD with all that the report says done to it. Bars that the report calls new are taken from NEW; nothing else is."""
    result: Model = {}
    for match in report["parts"]:
        if match["old"] is not None and match["new"] is not None:
            result[match["new"]] = _part(report, match, old[match["old"]], new[match["new"]])
        elif match["new"] is not None:
            result[match["new"]] = new[match["new"]]
    return result


def _part(report: Mapping[str, Any], match: Mapping[str, Any], old: Sequence[Bar], new: Sequence[Bar]) -> list[Bar]:
    before: dict[int, int] = {}
    own_runs = [run for run in report["runs"] if run["part"] == match["new"]]
    for run in own_runs or report["runs"]:
        if run["part"] in (None, match["new"]):
            before.update({run["new"] + n: run["old"] + n for n in range(run["count"])})
    result: dict[int, Bar] = {j: copy.deepcopy(old[i]) for j, i in before.items()}
    own = [change for change in report["changes"] if change["part"] in (None, match["new"])]
    for change in own:
        stretch = change["new"]
        if change["kind"] in ("bars-inserted", "bars-repeated"):
            for n in range(stretch["to_bar_index"] - stretch["bar_index"] + 1):
                place = stretch["bar_index"] + n
                if change["kind"] == "bars-repeated":
                    before[place] = change["old"]["bar_index"] + n
                result[place] = copy.deepcopy(old[before[place]] if place in before else new[place])
    known = {j: [(tone.identity, tone) for tone in result[j].tones] for j in result}
    for change in own:
        for item in change["items"]:
            _item(change, item, result, before, known)
    assert sorted(result) == list(range(len(new))), "every bar of the new file is told of once"
    return [result[j] for j in range(len(new))]


def _item(
    change: Mapping[str, Any],
    item: Mapping[str, Any],
    result: dict[int, Bar],
    before: Mapping[int, int],
    known: Mapping[int, list[tuple[tuple[Any, ...], Tone]]],
) -> None:
    old, new = item["old"], item["new"]
    if change["kind"] == "chord symbol" or change["part"] is None:
        return  # not in the model: extras of chord symbols, and signs for all parts
    spot = old or new
    if old is not None:  # a bar of the old file may stand in the new one twice
        here = range(change["new"]["bar_index"], change["new"]["to_bar_index"] + 1)
        bar = new["bar_index"] if new else next(j for j in here if before.get(j) == old["bar_index"])
    if spot["quarters"] is None:  # a sign beside the notes
        if old is not None:
            result[bar].signs[Fraction(old["at"]), old["staff"], item["was"]] -= 1
        if new is not None:
            result[new["bar_index"]].signs[Fraction(new["at"]), new["staff"], item["now"]] += 1
        return
    tone = None
    if old is not None:
        wanted = (Fraction(old["at"]), Fraction(old["quarters"]), old["written"], old["staff"], old["grace"])
        tone = _found(known[bar], wanted, change["kind"], item["was"])
    if tone is None:
        result[new["bar_index"]].tones.append(_tone(new))
    elif new is None:
        result[bar].tones = [one for one in result[bar].tones if one is not tone]
    elif change["kind"] == "tied":
        tone.tied = bool(item["now"])
    elif change["kind"] == "lyrics":
        tone.sung = item["now"]
    elif change["kind"] not in AT_THE_NOTE and (item["was"] or item["now"]):
        tone.marks[item["was"]] -= bool(item["was"])
        tone.marks[item["now"]] += bool(item["now"])
        tone.marks = +tone.marks
    else:
        fresh = _tone(new)
        tone.at, tone.quarters, tone.written, tone.sounding = fresh.at, fresh.quarters, fresh.written, fresh.sounding
        tone.staff, tone.grace = fresh.staff, fresh.grace


def _found(tones: Sequence[tuple[tuple[Any, ...], Tone]], wanted: tuple[Any, ...], kind: str, was: str) -> Tone:
    """The tone meant; of two heads that are one on paper, the one that has what is to be changed."""
    alike = [tone for identity, tone in tones if identity == wanted]
    assert alike, f"the report speaks of a note that is not there: {wanted}"
    if kind in (*AT_THE_NOTE, "note-removed", "divided"):
        alike = [tone for tone in alike if not tone.moved] or alike
        alike[0].moved = True
        return alike[0]
    return next(
        (tone for tone in alike if (tone.marks[was] if was and kind != "tied" else tone.tied == (was == "tied"))), alike[0]
    )


def _tone(spot: Mapping[str, Any]) -> Tone:
    tone = Tone(
        Fraction(spot["at"]), Fraction(spot["quarters"]), spot["written"], spot["sounding"], spot["staff"], spot["grace"]
    )
    tone.tied, tone.marks, tone.sung = spot["tied"], Counter(spot["signs"]), spot["sung"]
    return tone


def told(music: Model) -> dict[str, list[Any]]:
    return {part: [bar.told for bar in own] for part, own in music.items()}

"""Pages of a part where the file says where they break, long rests without a cue, and what its header lacks.

The first page is taken for a right-hand one, so that every second break is a turn (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator

from xmlcheck.handing.compare import Tell
from xmlcheck.handing.pairing import Stave
from xmlcheck.handing.reading import Music
from xmlcheck.handing.values import Disagreement
from xmlcheck.model import CUE, HIDDEN, SILENT
from xmlcheck.partname import fold, part_name

TURN_SECONDS = 2.0
"""Time in which a page is turned (ours; a player's own word is better)."""
LONG_BARS, LONG_SECONDS = 8, 20.0
"""A rest from which on an entry wants a cue (ours)."""
_TUNING = ("tuning", "retuning")


def turns(stave: Stave, tell: Tell) -> Iterator[Disagreement]:
    """Turns with less time than it takes, and turns that meet a retuning."""
    music, part = stave.music, stave.part
    number = 0
    for index in page_breaks(music, stave.index):
        number += 1
        if number % 2 == 0 or not 0 < index < len(part.measures):
            continue
        tick, text = part.measures[index].onset, part.measures[index].text
        played = [note for note in part.notes if not note.flags & (CUE | HIDDEN | SILENT)]
        before = max((note.end for note in played if note.onset < tick), default=0)
        after = min((note.onset for note in played if note.onset >= tick), default=None)
        if after is None or not any(note.onset < tick for note in played):
            continue
        room = music.tempo.between(min(before, tick), after) if before <= tick else 0.0
        if room < TURN_SECONDS:
            yield tell(
                "page.turn", f"{room:.1f} s to turn the page before this bar; about {TURN_SECONDS:g} s are wanted", bar=text
            )
            continue
        for plan in music.report.plans:
            for line in plan.lines[1:] if plan.kind in _TUNING and plan.part == part.id else ():
                at = line.place.measure_index
                if at is not None and before <= part.measures[at].onset <= after:
                    yield tell("page.turn", "both hands retune where the page is turned", bar=text)


def page_breaks(music: Music, index: int) -> list[int]:
    """Indices of the bars of a part before which a new page begins: `print/@new-page`. Empty where the file does not say."""
    parts = music.root.findall("part")
    if music.score.timewise or index >= len(parts):
        return []
    return [
        place
        for place, measure in enumerate(parts[index].findall("measure"))
        if place and any(one.get("new-page") == "yes" for one in measure.findall("print"))
    ]


def cues(stave: Stave, tell: Tell) -> Iterator[Disagreement]:
    """Entries after a long rest that no cue notes prepare."""
    part, tempo = stave.part, stave.music.tempo
    busy = {note.measure for note in part.notes if not note.flags & (CUE | HIDDEN | SILENT)}
    rest = 0
    for bar in part.measures:
        if bar.index not in busy:
            rest += 1
            continue
        if rest >= LONG_BARS and bar.index - rest > 0:
            start = part.measures[bar.index - rest].onset
            seconds = tempo.between(start, bar.onset)
            cued = any(index in stave.content.cued for index in range(bar.index - 2, bar.index + 1))
            if seconds >= LONG_SECONDS and not cued:
                yield tell("page.cue", f"an entry after {rest} bars of rest ({seconds:.0f} s) without a cue", bar=bar.text)
        rest = 0


def header(stave: Stave, score: Music, wanted: str, tell: Tell) -> Iterator[Disagreement]:
    """Header fields that the score has and the part lacks, and a transposition that no heading names.

    wanted: the declared pitch standard in words, or empty.
    """
    mine, its = score.header, stave.music.header
    lost = [name for name in ("title", "cue", "revision") if getattr(mine, name) and not getattr(its, name)]
    fields = dict(its.fields)
    if wanted and not _pitch(fields):
        lost.append("pitch standard")
    moves = [move for move in stave.part.transposes if not move.for_part]
    name = part_name(stave.name)
    if moves and int(moves[0].chromatic) % 12 and not name.key and not any(" in " in f" {fold(text)} " for text in its.credits):
        lost.append("transposition")
    if lost:
        yield tell("page.header", f"its header does not say: {', '.join(lost)}")
    told = _pitch(fields)
    if wanted and told and _number(told) != _number(wanted):
        yield tell("declared.pitch", f'pitch standard "{told}" in the header; {wanted} is declared')


def _pitch(fields: dict[str, str]) -> str:
    return next((text for name, text in fields.items() if name in ("pitch standard", "pitch", "tuning standard")), "")


def _number(text: str) -> float | None:
    """The frequency in a text such as `A4 = 442 Hz`: the number over 300."""
    for word in text.replace("=", " ").replace(",", ".").split():
        try:
            value = float(word.lower().removesuffix("hz"))
        except ValueError:
            continue
        if value > 300:
            return value
    return None

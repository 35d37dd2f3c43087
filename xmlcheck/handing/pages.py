"""Pages of a part where the file says where they break, long rests without a cue, and what its header lacks.

The first page is taken for a right-hand one, so that every second break is a turn (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from xmlcheck.handing.compare import Tell
from xmlcheck.handing.declared import Declared
from xmlcheck.handing.pairing import Stave
from xmlcheck.handing.reading import Music
from xmlcheck.handing.values import Disagreement
from xmlcheck.model import CUE, HIDDEN, SILENT, Note
from xmlcheck.partname import fold, part_name

TURN_SECONDS = 2.0
"""Time in which a page is turned (ours; a player's own word is better)."""
LONG_BARS, LONG_SECONDS = 8, 20.0
"""A rest from which on an entry wants a cue (ours)."""
_TUNING = ("tuning", "retuning")
_TUNING_WORDS = ("tuning", "tune", "scordatura", "accord", "accordatura", "stimmung", "調弦", "定弦")
"""Words by which a part says how it is tuned: common practice, no source."""


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
        busy = _retuning(music, part.id, played, tick)
        if busy is not None and (not busy or room < TURN_SECONDS + busy):
            yield tell(
                "page.turn",
                f"both hands retune where the page is turned: {room:.1f} s for the two, about {TURN_SECONDS + busy:g} s are wanted"
                if busy
                else "both hands retune where the page is turned, and no source says how long it takes",
                bar=text,
            )


def _retuning(music: Music, part: str, played: list[Note], tick: int) -> float | None:
    """Seconds of the retuning between the last note before a tick and the next one: 0 where no source says, None without one."""
    before = max(note.anchor for note in played if note.onset < tick)
    after = min(note.anchor for note in played if note.onset >= tick)
    lines = [line for plan in music.report.plans if plan.part == part and plan.kind in _TUNING for line in plan.lines[1:]]
    busy = [
        line.values.get("seconds") for line in lines if line.place.anchor is not None and before <= line.place.anchor < after
    ]
    return sum(float(value) if value is not None else 0.0 for value in busy) if busy else None


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


def header(stave: Stave, score: Music, wanted: str, more: Sequence[str], tell: Tell) -> Iterator[Disagreement]:
    """Header fields that the score has and the part lacks, and a transposition that no heading names.

    wanted: the declared pitch standard in words, or empty. more: what else is lacking (doublings, tuning).
    """
    mine, its = score.header, stave.music.header
    lost = [name for name in ("title", "cue", "revision") if getattr(mine, name) and not getattr(its, name)]
    fields = dict(its.fields)
    if (wanted or _pitch(dict(mine.fields))) and not _pitch(fields):
        lost.append("pitch standard")
    moves = [move for move in stave.part.transposes if not move.for_part]
    name = part_name(stave.name)
    if moves and int(moves[0].chromatic) % 12 and not name.key and not any(" in " in f" {fold(text)} " for text in its.credits):
        lost.append("transposition")
    lost += more
    if lost:
        yield tell("page.header", f"its header does not say: {', '.join(lost)}")
    told = _pitch(fields)
    if wanted and told and _number(told) != _number(wanted):
        yield tell("declared.pitch", f'pitch standard "{told}" in the header; {wanted} is declared')


def tuning_unsaid(stave: Stave, declared: Declared) -> list[str]:
    """`tuning` where the players bring tunings and the part names none, unless the check of the file says so itself."""
    tunings = [text for one in declared.players_of(stave.name).values() for text in one.brings.get("tunings", ())]
    if not tunings:
        return []
    header, part, report = stave.music.header, stave.part, stave.music.report
    texts = [stave.name, *header.credits, *(f"{name} {text}" for name, text in header.fields)]
    texts += [direction.words for direction in part.directions if direction.words]
    said = fold(" / ".join(texts))
    if part.tunings or any(fold(text) in said for text in (*tunings, *_TUNING_WORDS)):
        return []
    plans = {plan.id for plan in report.plans if plan.kind in _TUNING}
    told = any(item.part == part.id and item.plan in plans and item.accepted is None for item in report.findings)
    return [] if told else ["tuning"]


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

"""One part, or the parts that share a line, against the line in the score: what differs, each cause told once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from xmlcheck.handing.content import OWN, Content, Tone
from xmlcheck.handing.frame import Bars
from xmlcheck.handing.values import Disagreement
from xmlcheck.ticks import beat_text

Tell = Callable[..., Disagreement]
"""told(kind, text, bar=, to_bar=) with cue, file and part filled in."""
NO_TEXTS: frozenset[str] = frozenset()
_NAMES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
WHOLE = 0.8
"""Share of bars with notes that must stand the same distance off for it to be the whole part (ours)."""


def name_of(height: int | str) -> str:
    """A sounding height as text: `Eb4`, `E4-50c`; middle C is C4. The spelling is the usual one, not the file's."""
    if isinstance(height, str):
        return height
    semitones, rest = divmod(height + 50, 100)
    octave, step = divmod(semitones, 12)
    return f"{_NAMES[step]}{octave - 1}" + (f"{rest - 50:+d}c" if rest != 50 else "")


@dataclass(frozen=True, slots=True)
class Verdict:
    """What came of it. view: told where the part stands whole octaves off throughout and is the same otherwise."""

    disagreements: tuple[Disagreement, ...]
    view: str = ""


def compare(
    line: Content, part: Content, bars: Bars, numbers: tuple[str, ...], everywhere: tuple[frozenset[str], ...], tell: Tell
) -> Verdict:
    """The part's notes, signs, dynamics and words against the line's.

    numbers: the score's bar texts. everywhere: words of each bar in any line of the score, which may stand in every part.
    """
    pairs = sorted((of_score, of_part) for of_part, of_score in bars.of_part.items())
    shift = _shift(line, part, pairs)
    if shift:
        off = [pair for pair in pairs if not _alike(_moved(line.tones[pair[0]], shift), part, pair[1], line.may[pair[0]])]
        view = "octave" if shift % 1200 == 0 and not off else ""
        found = [] if view else [tell("music.transposition", _shifted(shift), shift_cents=shift)]
        if not view:
            return Verdict(tuple(found))
    else:
        view = ""
        found = list(_notes(line, part, pairs, numbers, tell))
    wrong = {item.bar for item in found}
    found += _signs(line, part, pairs, numbers, tell, shift or 0)
    found += _plain("music.dynamics", line.dynamics, part.dynamics, pairs, numbers, tell, wrong)
    of_part = bars.of_part
    own: list[frozenset[str]] = [  # beside cue notes stand the names of those who play them
        NO_TEXTS if bar in part.cued or bar not in of_part else texts - everywhere[of_part[bar]]
        for bar, texts in enumerate(part.words)
    ]
    found += _plain("music.words", line.words, part.words, pairs, numbers, tell, wrong, own)
    return Verdict(tuple(found), view)


def _shifted(shift: int) -> str:
    amount = abs(shift)
    size = f"{amount // 100} semitone{'s' if amount != 100 else ''}" if amount % 100 == 0 else f"{amount} cents"
    where = "higher" if shift > 0 else "lower"
    return f"the whole part sounds {size} {where} than its line in the score: its transposition is lost or another one"


def _shift(line: Content, part: Content, pairs: Iterable[tuple[int, int]]) -> int:
    """How many cents the part stands above the line as a whole; 0 where it does not, or where that is no matter."""
    offs: Counter[int] = Counter()
    busy = 0
    for a, b in pairs:
        one, other = line.tones[a], part.tones[b]
        if not one and not other:
            continue
        busy += 1
        low, its = _lowest(one), _lowest(other)
        if low is not None and its is not None and line.shapes[a] == part.shapes[b]:
            offs[its - low] += 1
    shift, count = offs.most_common(1)[0] if offs else (0, 0)
    return shift if busy and count >= WHOLE * busy and count > 1 else 0


def _lowest(bar: frozenset[Tone]) -> int | None:
    return min((height for _, _, height in bar if isinstance(height, int)), default=None)


def _moved(bar: frozenset[Tone], cents: int) -> frozenset[Tone]:
    return frozenset((at, length, height + cents if isinstance(height, int) else height) for at, length, height in bar)


def _alike(line: frozenset[Tone], part: Content, bar: int, may: frozenset[Tone]) -> bool:
    """Whether the bars are the same: what must be played is there, and nothing that neither plays nor cues."""
    own, also = part.tones[bar], part.may[bar]
    return line == own or (line - own <= also and own - line <= may)


def _notes(
    line: Content, part: Content, pairs: Iterable[tuple[int, int]], numbers: tuple[str, ...], tell: Tell
) -> Iterator[Disagreement]:
    """Runs of bars whose notes differ, each told by its first difference."""
    run: list[tuple[int, int]] = []
    for pair in pairs:
        if _alike(line.tones[pair[0]], part, pair[1], line.may[pair[0]]):
            continue
        if run and pair[0] != run[-1][0] + 1:
            yield _run(line, part, run, numbers, tell)
            run = []
        run.append(pair)
    if run:
        yield _run(line, part, run, numbers, tell)


def _run(line: Content, part: Content, run: list[tuple[int, int]], numbers: tuple[str, ...], tell: Tell) -> Disagreement:
    (a, b), last = run[0], run[-1][0]
    text = _first(line.tones[a] - part.may[b], part.tones[b] - line.may[a])
    if len(run) > 1:
        text += f"; {len(run)} bars differ"
    return tell("music.notes", text, bar=numbers[a], to_bar=numbers[last], bars=len(run))


def _first(line: frozenset[Tone], part: frozenset[Tone]) -> str:
    lost, added = sorted(line - part, key=_order), sorted(part - line, key=_order)
    moved = {
        its[2] - one[2] for one, its in zip(lost, added, strict=False) if isinstance(one[2], int) and isinstance(its[2], int)
    }
    if len(lost) == len(added) > 1 and len(moved) == 1 and [t[:2] for t in lost] == [t[:2] for t in added]:
        shift = moved.pop()
        if shift and shift % 1200 == 0:
            count = abs(shift) // 1200
            return f"the part is {count} octave{'s' if count > 1 else ''} {'higher' if shift > 0 else 'lower'} than the score"
    if lost and added and lost[0][0] == added[0][0]:
        one, its = lost[0], added[0]
        if one[2] == its[2]:
            return f"{name_of(one[2])} on {_beat(one)} lasts {_long(one)} in the score, {_long(its)} in the part"
        return f"on {_beat(one)} the score has {name_of(one[2])} where the part has {name_of(its[2])} (sounding)"
    if lost and (not added or _order(lost[0]) < _order(added[0])):
        return f"{name_of(lost[0][2])} on {_beat(lost[0])} is in the score and not in the part (sounding)"
    return (
        f"{name_of(added[0][2])} on {_beat(added[0])} is in the part and not in the score (sounding)"
        if added
        else "notes differ"
    )


def _order(tone: Tone) -> tuple[Fraction, Fraction, str]:
    return tone[0], tone[1], str(tone[2]).rjust(6)


def _beat(tone: Tone) -> str:
    return f"quarter {beat_text(tone[0] + 1)}"


def _long(tone: Tone) -> str:
    return "no time (a grace note)" if not tone[1] else f"{tone[1]} quarter{'s' if tone[1] != 1 else ''}"


def _signs(
    line: Content, part: Content, pairs: list[tuple[int, int]], numbers: tuple[str, ...], tell: Tell, shift: int
) -> Iterator[Disagreement]:
    """Signs on notes that both have. One finding a kind of sign, at its first place."""
    lost: dict[str, list[int]] = {}
    added: dict[str, list[int]] = {}
    for a, b in pairs:
        if line.signs[a] == part.signs[b]:
            continue
        its = {(at, height - shift if isinstance(height, int) else height, name) for at, height, name in part.signs[b]}
        common = {(t[0], t[2]) for t in line.tones[a]} & {(t[0], t[2]) for t in _moved(part.tones[b], -shift)}
        for sign in sorted(line.signs[a] - its, key=str):
            if sign[:2] in common and sign[2] not in OWN:
                lost.setdefault(sign[2], []).append(a)
        for sign in sorted(its - line.signs[a], key=str):
            if sign[:2] in common and sign[2] not in OWN:
                added.setdefault(sign[2], []).append(a)
    for name, places in sorted(lost.items()):
        yield tell("music.signs", f"{name} is in the score and not in the part{_times(places)}", **_span(places, numbers))
    for name, places in sorted(added.items()):
        yield tell("music.signs", f"{name} is in the part and not in the score{_times(places)}", **_span(places, numbers))


def _times(places: list[int]) -> str:
    return f" ({len(places)} places)" if len(places) > 1 else ""


def _span(places: list[int], numbers: tuple[str, ...]) -> dict[str, str]:
    return {"bar": numbers[places[0]], "to_bar": numbers[places[-1]]}


def _plain(
    kind: str,
    line: tuple[frozenset[str], ...],
    part: tuple[frozenset[str], ...],
    pairs: Iterable[tuple[int, int]],
    numbers: tuple[str, ...],
    tell: Tell,
    told: set[str | None],
    counts: Sequence[frozenset[str]] | None = None,
) -> Iterator[Disagreement]:
    """Texts of a bar that only one side has. counts: what of the part's own is asked of the score; None for all."""
    for a, b in pairs:
        lost, added = line[a] - part[b], (counts or part)[b] - line[a]
        if numbers[a] in told or not (lost or added):
            continue
        if lost and added:
            text = f"{_listed(lost)} in the score, {_listed(added)} in the part"
        else:
            text = f"{_listed(lost or added)} in the {'score and not in the part' if lost else 'part and not in the score'}"
        yield tell(kind, text, bar=numbers[a])


def _listed(texts: Iterable[str]) -> str:
    return ", ".join(f'"{text}"' for text in sorted(texts))

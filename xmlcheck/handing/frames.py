"""The frame of a part against that of the score: each difference told once, at its first place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Any

from xmlcheck.handing.compare import Tell
from xmlcheck.handing.frame import Bars, Frame, Placed
from xmlcheck.handing.values import Disagreement
from xmlcheck.partname import fold

CLOSE = Fraction(1, 100)
"""Quarter notes a minute by which two tempi may differ: what rounding in a file does (ours)."""


def bars_differ(bars: Bars, score: Frame, part: Frame, tell: Tell) -> Iterator[Disagreement]:
    """Bars that only one of the two has."""
    mine, its = len(score.numbers), len(part.numbers)
    count = f"the score has {mine} bars, the part {its}"
    for first, last in bars.missing:
        yield tell(
            "frame.bars", f"{count}: {_run(score.numbers, first, last)} of the score {_is(first, last)} not in the part",
            bar=score.numbers[first], to_bar=score.numbers[last],
        )  # fmt: skip
    for first, last in bars.extra:
        yield tell("frame.bars", f"{count}: {_run(part.numbers, first, last)} of the part {_is(first, last)} not in the score")


def _run(numbers: tuple[str, ...], first: int, last: int) -> str:
    return f"bar {numbers[first]}" if first == last else f"bars {numbers[first]}-{numbers[last]}"


def _is(first: int, last: int) -> str:
    return "is" if first == last else "are"


def frame_differs(bars: Bars, score: Frame, line: Frame, part: Frame, tell: Tell) -> Iterator[Disagreement]:
    """Numbers, meters, keys, tempo, rehearsal marks and repeats. line: the frame of the part's own line in the score."""
    texts = score.numbers
    if bars.same:
        off = [n for n, (mine, its) in enumerate(zip(texts, part.numbers, strict=True)) if mine != its]
        if off:
            yield tell(
                "frame.numbers",
                f"bar {texts[off[0]]} of the score is numbered {part.numbers[off[0]] or 'nothing'} in the part",
                bar=texts[off[0]],
            )
    yield from _first(_moved(line.meters, bars), _moved(part.meters, bars), "frame.meter", texts, tell, _meter)
    if _moved(line.keys, bars) != _moved(part.keys, bars):  # one of the two views is enough: some parts print no key at all
        yield from _first(_moved(line.concert, bars), _moved(part.concert, bars), "frame.key", texts, tell, _key)
    yield from _tempo(_moved(score.tempi, bars), _moved(part.tempi, bars), texts, tell)
    yield from _marks(score, part, bars, tell)
    lost, added = _apart(score.repeats, part.repeats, bars)
    for n, (at, text) in enumerate(sorted(lost) + sorted(added)):
        where = "score and not in the part" if n < len(lost) else "part and not in the score"
        yield tell("frame.repeats", f"{text} is in the {where}", bar=texts[at])


def _moved(placed: Iterable[Placed], bars: Bars) -> list[Placed] | dict[int, Any]:
    return list(placed) if bars.same else dict(placed)


def _first(
    mine: list[Placed] | dict[int, Any],
    its: list[Placed] | dict[int, Any],
    kind: str,
    texts: tuple[str, ...],
    tell: Tell,
    say: Any,
) -> Iterator[Disagreement]:
    """The first place where what is in force differs. With other bars on one side only what is in force at the start is asked."""
    if isinstance(mine, dict) or isinstance(its, dict):
        return
    for bar in sorted({bar for bar, _ in (*mine, *its)}):
        one, other = _in_force(mine, bar), _in_force(its, bar)
        if one != other:
            yield tell(kind, f"{say(one)} in the score, {say(other)} in the part", bar=texts[bar])
            return


def _in_force(placed: Iterable[Placed], bar: int) -> Any:
    return next((value for at, value in reversed(list(placed)) if at <= bar), None)


def _meter(beats: Any) -> str:
    return "no meter" if not beats else ", ".join(f"{count}/{unit}" for count, unit in beats)


TONICS = ("C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F")


def _key(value: Any) -> str:
    if value is None:
        return "no key"
    return f"the signature of {TONICS[value]} major (sounding)" if isinstance(value, int) else "a key signature of its own"


def _tempo(
    mine: list[Placed] | dict[int, Any], its: list[Placed] | dict[int, Any], texts: tuple[str, ...], tell: Tell
) -> Iterator[Disagreement]:
    if isinstance(mine, dict) or isinstance(its, dict):
        return
    if mine and not its:
        yield tell("frame.tempo", "the part gives no tempo", bar=texts[mine[0][0]])
        return
    one, other = ({(bar, at): rate for bar, (at, rate) in side} for side in (mine, its))
    for place in sorted({*one, *other}):
        rate, own = one.get(place), other.get(place)
        if rate is not None and own is not None and abs(rate - own) <= CLOSE:
            continue
        yield tell("frame.tempo", f"{_rate(rate)} in the score, {_rate(own)} in the part", bar=texts[place[0]])
        return


def _rate(rate: Fraction | None) -> str:
    return "no tempo change" if rate is None else f"{float(rate):g} quarters a minute"


def _apart(mine: frozenset[Placed], its: frozenset[Placed], bars: Bars) -> tuple[set[Placed], set[Placed]]:
    """What only the score has and what only the part has, in bars that both have, at the score's bars."""
    common = set(bars.of_part.values())
    one = {placed for placed in mine if placed[0] in common}
    other = {(bars.of_part[bar], text) for bar, text in its if bar in bars.of_part}
    return one - other, other - one


def _marks(score: Frame, part: Frame, bars: Bars, tell: Tell) -> Iterator[Disagreement]:
    texts = score.numbers
    lost, added = _apart(score.rehearsals, part.rehearsals, bars)
    for at, text in sorted(lost):
        here = [other for other in added if other[0] == at]
        there = [other for other in added if fold(other[1]) == fold(text)]
        if here:
            added.discard(here[0])
            yield tell("frame.rehearsal", f'rehearsal mark "{text}" of the score is "{here[0][1]}" in the part', bar=texts[at])
        elif there:
            added.discard(there[0])
            yield tell(
                "frame.rehearsal", f'rehearsal mark "{text}" stands at bar {texts[there[0][0]]} in the part', bar=texts[at]
            )
        else:
            yield tell("frame.rehearsal", f'rehearsal mark "{text}" is in the score and not in the part', bar=texts[at])
    for at, text in sorted(added):
        yield tell("frame.rehearsal", f'rehearsal mark "{text}" is in the part and not in the score', bar=texts[at])

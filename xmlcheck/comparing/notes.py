"""What happened to the notes of one block of bars."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from xmlcheck.comparing import costs
from xmlcheck.comparing.matching import Eye, Pair, Placed, match
from xmlcheck.comparing.raw import Raw, RawItem
from xmlcheck.comparing.telling import sung
from xmlcheck.comparing.tokens import SPANS, Token
from xmlcheck.model import CUE, GRACE, HIDDEN, OPTIONAL, SHAPED, SILENT, SMALL
from xmlcheck.pitch import STEPS

_FLAGS = (
    (CUE, "cue"), (GRACE, "grace"), (HIDDEN, "hidden"), (SILENT, "silent"), (SMALL, "small"), (OPTIONAL, "optional"),
    (SHAPED, "shaped head"),
)  # fmt: skip
Event = tuple[int, int, Raw | None]
"""Tick in the block, interval that the note moved by in cents (0: it stayed), and what was found at it."""


def changes(old: Sequence[Placed], new: Sequence[Placed], eye: Eye, number: int) -> tuple[list[Raw], list[Event]]:
    """What differs in a block, and its notes in order of time with how far they moved. number: of the block."""
    raws: list[Raw] = []
    events: list[Event] = []
    for pair in match(old, new, eye):
        at = (pair.new or pair.old)[0].at
        main = _main(pair, eye, (number, at))
        if main is not None:
            raws.append(main)
        if pair.old and pair.new:
            raws += _beside(pair, (number, at))
            if len(pair.old) == len(pair.new) == 1:
                events.append((at, main.interval if main is not None else 0, main))
    return raws, events


def _main(pair: Pair, eye: Eye, place: tuple[int, int]) -> Raw | None:
    """What happened to the note itself."""
    old, new = pair
    if not old:
        return Raw("note-added", place, (RawItem(None, new[0]),), costs.NOTE)
    if not new:
        return Raw("note-removed", place, (RawItem(old[0], None),), costs.NOTE)
    if len(old) + len(new) > 2:
        return _divided(pair, place)
    return _changed(old[0], new[0], eye, place)


def _divided(pair: Pair, place: tuple[int, int]) -> Raw:
    old, new = pair
    size = max(len(old), len(new))
    items = tuple(RawItem(old[n] if n < len(old) else None, new[n] if n < len(new) else None) for n in range(size))
    if _one_tone(old) and _one_tone(new):
        return Raw("tied-otherwise", place, items, costs.MARK, values={"old_notes": len(old), "new_notes": len(new)})
    return Raw("divided", place, items, costs.PIECES, values={"old_notes": len(old), "new_notes": len(new)})


def _one_tone(notes: Sequence[Placed]) -> bool:
    return all(item.head.tie for item in notes[:-1])


def _changed(old: Placed, new: Placed, eye: Eye, place: tuple[int, int]) -> Raw | None:
    one, other = old.head, new.head
    aspects: list[str] = []
    cost, interval, steps = 0.0, 0, 0
    apart = eye.cents(new) - eye.cents(old)
    if apart:
        aspects.append("pitch")
        cost += costs.PITCH
        interval, steps = apart, _steps(one.pitch(eye.basis), other.pitch(eye.basis), eye)
    moved, length = abs(new.at - old.at) > eye.slack, abs(other.length - one.length) > eye.slack
    if moved or length:
        aspects.append("rhythm")
        cost += costs.ONSET * moved + costs.LENGTH * length
    if not apart and one.pitch(eye.basis) != other.pitch(eye.basis):
        aspects.append("respelled")
        cost += costs.SPELLING
    if one.staff != other.staff:
        aspects.append("staff")
        cost += costs.STAFF
    kind = one.kind ^ other.kind
    if kind:
        aspects += [name for bit, name in _FLAGS if kind & bit]
        cost += costs.KIND if kind & (CUE | GRACE) else costs.FLAG
    if not aspects:
        return None
    if aspects != ["pitch"]:
        interval = 0  # such a note does not simply go along with others
    gone = ", ".join(name for bit, name in _FLAGS if kind & bit and one.kind & bit)
    came = ", ".join(name for bit, name in _FLAGS if kind & bit and other.kind & bit)
    name = aspects[0]
    if name not in ("pitch", "rhythm", "respelled", "staff") and not kind & (CUE | GRACE | HIDDEN | SILENT):
        name = "size"
    item = RawItem(old, new, gone, came)
    return Raw(name, place, (item,), cost, gone, came, ("", ""), interval, steps, {"aspects": aspects})


def _steps(old: int, new: int, eye: Eye) -> int:
    before, after = eye.lexicon.pitches[old], eye.lexicon.pitches[new]
    if before is None or after is None:
        return 0
    return STEPS.index(after.step) - STEPS.index(before.step) + 7 * (after.octave - before.octave)


def _beside(pair: Pair, place: tuple[int, int]) -> Iterator[Raw]:
    """What is at the note: signs, ties, syllables, printed values, the instrument that plays it."""
    old, new = pair.old[0], pair.new[0]
    one, other = old.head, new.head
    if old.code == new.code and len(pair.old) == len(pair.new) == 1:
        return
    before, after = pair.old[-1].head.tie, pair.new[-1].head.tie
    if before != after:
        was, now = "tied" if before else "", "tied" if after else ""
        yield Raw("tied", place, (RawItem(pair.old[-1], pair.new[-1], was, now),), costs.MARK, was, now)
    yield from _marks(old, new, one.marks, other.marks, place)
    if one.sung != other.sung:
        was, now = sung(one.sung), sung(other.sung)
        yield Raw("lyrics", place, (RawItem(old, new, was, now),), costs.MARK, was, now)
    if one.player != other.player:
        item = RawItem(old, new, one.player, other.player)
        yield Raw("player", place, (item,), costs.MARK, one.player, other.player)
    if one.length == other.length and len(pair.old) == len(pair.new) == 1:
        yield from _looks(old, new, place)


def _marks(old: Placed, new: Placed, before: Sequence[Token], after: Sequence[Token], place: tuple[int, int]) -> Iterator[Raw]:
    if before == after:
        return
    gone = sorted((Counter(before) - Counter(after)).elements())
    came = sorted((Counter(after) - Counter(before)).elements())
    for was, now in paired(gone, came):
        first = was or now or Token("", "")
        span = (first.name, first.type) if first.name in SPANS and first.type else ("", "")
        told = (was.says if was else "", now.says if now else "")
        yield Raw(first.category, place, (RawItem(old, new, *told),), costs.MARK, *told, span)


def paired(gone: Sequence[Token], came: Sequence[Token]) -> Iterator[tuple[Token | None, Token | None]]:
    """What one sign became: of one category, where neither has a start and a stop. The rest came or went."""
    left = list(came)
    for was in gone:
        span = was.name in SPANS and was.type
        now = next(
            (one for one in left if one.category == was.category and not span and not (one.name in SPANS and one.type)), None
        )
        if now is None:
            yield was, None
        else:
            left.remove(now)
            yield was, now
    for one in left:
        yield None, one


def _looks(old: Placed, new: Placed, place: tuple[int, int]) -> Iterator[Raw]:
    """Printed value, sign and head, where both files say one: a program that leaves them out loses nothing by it."""
    if not (old.head.look and new.head.look):
        return
    (kind, dots, ratio, sign, shape), (kind_, dots_, ratio_, sign_, shape_) = old.head.look, new.head.look
    if kind and kind_ and (kind, dots, ratio) != (kind_, dots_, ratio_):
        was, now = _value(kind, dots, ratio), _value(kind_, dots_, ratio_)
        yield Raw("printed-value", place, (RawItem(old, new, was, now),), costs.MARK, was, now)
    if sign and sign_ and sign != sign_ and old.head.written == new.head.written:
        yield Raw("printed-sign", place, (RawItem(old, new, str(sign), str(sign_)),), costs.MARK, str(sign), str(sign_))
    if (shape or "normal") != (shape_ or "normal"):
        was, now = str(shape or "normal"), str(shape_ or "normal")
        yield Raw("notehead", place, (RawItem(old, new, was, now),), costs.MARK, was, now)


def _value(kind: object, dots: object, ratio: object) -> str:
    dotted = " dotted" * int(str(dots))
    tuplet = f" {ratio[0]}:{ratio[1]}" if isinstance(ratio, tuple) else ""
    return f"{kind}{dotted}{tuplet}"

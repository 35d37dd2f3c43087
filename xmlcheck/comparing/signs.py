"""What happened to the signs beside the notes of one block of bars: dynamics, words, hairpins, tempi, repeats."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from xmlcheck.comparing import costs
from xmlcheck.comparing.lexicon import Lexicon
from xmlcheck.comparing.raw import Raw, RawItem, SignAt
from xmlcheck.comparing.tokens import SPANS
from xmlcheck.comparing.view import BarView


def placed_signs(bars: Sequence[BarView], first: int, lexicon: Lexicon) -> list[SignAt]:
    """All signs of consecutive bars."""
    found, start = [], 0
    for number, bar in enumerate(bars):
        for code, source in zip(bar.signs, bar.directions, strict=True):
            sign = lexicon.signs[code]
            at = bar.length if sign.at < 0 else sign.at
            found.append(SignAt(start + at, sign, first + number, source))
        start += bar.length
    return found


def changes(old: Sequence[SignAt], new: Sequence[SignAt], slack: int, number: int) -> Iterator[Raw]:
    """What differs: signs that are the same at one place are paired first, then those that moved, then those that changed."""
    left, right = list(old), list(new)
    for same in (_same, _moved, _changed):
        kept = []
        for one in left:
            near = [other for other in right if same(one, other, slack)]
            other = min(near, key=lambda item: abs(item.at - one.at), default=None)
            if other is None:
                kept.append(one)
                continue
            right.remove(other)
            if same is not _same:
                yield _raw(one, other, number)
        left = kept
    for one in left:
        yield _raw(one, None, number)
    for other in right:
        yield _raw(None, other, number)


def _same(old: SignAt, new: SignAt, slack: int) -> bool:
    return old.sign.token == new.sign.token and abs(old.at - new.at) <= slack and old.sign.staff == new.sign.staff


def _moved(old: SignAt, new: SignAt, slack: int) -> bool:
    return old.sign.token == new.sign.token


def _changed(old: SignAt, new: SignAt, slack: int) -> bool:
    one, other = old.sign.token, new.sign.token
    span = (one.name in SPANS and one.type) or (other.name in SPANS and other.type)
    return one.category == other.category and not span and abs(old.at - new.at) <= slack and old.sign.staff == new.sign.staff


def _raw(old: SignAt | None, new: SignAt | None, number: int) -> Raw:
    at = new or old
    if at is None:
        raise ValueError("a sign on neither side")
    token = at.sign.token
    span = (token.name, token.type) if token.name in SPANS and token.type and (old is None or new is None) else ("", "")
    was, now = old.sign.token.says if old else "", new.sign.token.says if new else ""
    return Raw(token.category, (number, at.at), (RawItem(old, new, was, now),), costs.MARK, was, now, span)

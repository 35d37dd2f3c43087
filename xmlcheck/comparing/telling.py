"""The words of a change: a sentence without its place, and a label of at most five words. In a musician's words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from xmlcheck.comparing.change import Item, Spot

_VALUES = {
    Fraction(8): "double whole", Fraction(4): "whole", Fraction(2): "half", Fraction(1): "quarter", Fraction(1, 2): "eighth",
    Fraction(1, 4): "16th", Fraction(1, 8): "32nd", Fraction(1, 16): "64th", Fraction(1, 32): "128th",
}  # fmt: skip
_INTERVALS = (
    "unison", "semitone", "tone", "minor third", "major third", "fourth", "tritone", "fifth", "minor sixth", "major sixth",
    "minor seventh", "major seventh",
)  # fmt: skip
_OTTAVE = {
    "down size=8": "8va", "up size=8": "8vb", "down size=15": "15ma", "up size=15": "15mb", "down size=22": "22ma", "up size=22": "22mb",
    "stop": "ottava stop",
}  # fmt: skip
FLAT, SHARP = "flat", "sharp"


def value(quarters: str | None) -> str:
    """A length in words: `dotted quarter`, `triplet eighth`; else in quarter notes."""
    if quarters is None:
        return "note"
    length = Fraction(quarters)
    for factor, word in (
        (Fraction(1), ""),
        (Fraction(3, 2), "dotted "),
        (Fraction(7, 4), "double-dotted "),
        (Fraction(2, 3), "triplet "),
    ):
        name = _VALUES.get(length / factor)
        if name is not None:
            return word + name
    return f"{length} of a quarter" if length < 1 else f"{length} quarters"


def interval(cents: int) -> str:
    """`up a tone`, `down an octave and a minor third`, `up 50 cents`."""
    way = "up" if cents > 0 else "down"
    semitones, rest = divmod(abs(cents), 100)
    if rest:
        return f"{way} {abs(cents)} cents"
    octaves, size = divmod(semitones, 12)
    above = "" if not octaves else "an octave" if octaves == 1 else f"{octaves} octaves"
    name = "" if not size else f"{'an' if _INTERVALS[size][0] in 'aeiou' else 'a'} {_INTERVALS[size]}"
    return f"{way} {' and '.join(piece for piece in (above, name) if piece)}"


def a_value(quarters: str | None) -> str:
    """`an eighth`, `a dotted quarter`."""
    name = value(quarters)
    return f"{'an' if name[0] in 'aeiou8' else 'a'} {name}"


def pitch(spot: Spot | None) -> str:
    """A note's written pitch, with the sounding one where it is another."""
    if spot is None or spot.written is None:
        return "a note without pitch"
    return spot.written if spot.sounding in (None, spot.written) else f"{spot.written} (sounds {spot.sounding})"


def note(spot: Spot | None) -> str:
    """`C4, dotted quarter`, `grace note D5`."""
    if spot is not None and spot.grace:
        return f"grace note {pitch(spot)}"
    return f"{pitch(spot)}, {value(spot.quarters if spot is not None else None)}"


def rhythm(item: Item) -> str:
    """How a note's time changed."""
    old, new = item.old, item.new
    if old is None or new is None:
        return ""
    pieces = []
    if old.quarters != new.quarters:
        pieces.append(f"{value(old.quarters)} is now {a_value(new.quarters)}")
    if old.beat != new.beat or old.at != new.at:
        pieces.append(f"{'it ' if pieces else ''}begins on beat {new.beat}, was beat {old.beat}")
    return "; ".join(pieces) or "rhythm"


def key(signature: Any) -> str:
    """A key signature: `2 sharps`, `no sharps or flats`, or its own signs."""
    if signature is None:
        return "no key signature"
    if isinstance(signature, int):
        if not signature:
            return "no sharps or flats"
        count, sign = abs(signature), SHARP if signature > 0 else FLAT
        return f"{count} {sign}{'' if count == 1 else 's'}"
    return " ".join(f"{step}{float(alter):+g}" for step, alter, *_ in signature) or "a key of its own"


def clef(one: Any) -> str:
    if one is None:
        return "no clef"
    sign, line, octave = one
    more = "" if not octave else f", octave {'up' if octave > 0 else 'down'}"
    return f"{sign} clef on line {line}{more}"


def transposition(one: Any) -> str:
    if one is None:
        return "as written"
    semitones, doubled = one
    size = Fraction(semitones)
    told = interval(round(size * 100)) if size else "as written"
    return told + (f", doubled an octave {doubled}" if doubled else "")


def tuning(one: Any) -> str:
    if one is None:
        return "no tuning given"
    strings, _, capo = one
    told = " ".join(name for _, name in strings) or "as before"
    return told + (f", capo {capo}" if capo else "")


def force(kind: str, states: Sequence[tuple[int, Any]]) -> str:
    """What is in force, staff by staff where they differ."""
    words: Mapping[str, Any] = {
        "meter": lambda one: one or "none", "key": key, "clef": clef, "transposition": transposition, "tuning": tuning,
    }  # fmt: skip
    told = words[kind]
    if not states:
        return "none" if kind == "meter" else str(told(None))
    if len(states) == 1 and states[0][0] == 0:
        return str(told(states[0][1]))
    return ", ".join(f"staff {staff}: {told(one)}" for staff, one in states)


def sung(syllables: Sequence[tuple[str, str, str]]) -> str:
    """`light- (1), road (2)`: syllables with a hyphen where the word goes on, and their verse where there are several."""
    told = [text + ("-" if syllabic in ("begin", "middle") else "") for _, syllabic, text in syllables]
    verses = [verse for verse, _, _ in syllables]
    return ", ".join(text if len(told) == 1 else f"{text} ({verse})" for verse, text in zip(verses, told, strict=True))


def counted(count: int, word: str) -> str:
    """`1 note`, `3 notes`."""
    return f"{count} {word}{'' if count == 1 else 's'}"


def said(text: str) -> str:
    """A sign's own text as it is read: `slur`, `mf`, `"sul pont."`, `staccato`."""
    name, _, rest = text.partition(" ")
    if name == "words":
        return f'"{rest}"'
    if name == "dynamics":
        return rest or "dynamic"
    if name == "tempo":
        return rest.removesuffix(" printed")
    if name == "octave-shift":
        return _OTTAVE.get(rest, "ottava")
    if name == "rehearsal":
        return rest or name
    if name == "wedge":
        return rest.partition(" ")[0] or "hairpin"
    return text.replace("-", " ")

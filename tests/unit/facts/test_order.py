"""The played order of bars. Bars are letters here: the order is written as the player would spell it.

Sources: MusicXML 4.0, elements repeat (times, after-jump), ending (number: which times it is played), sound (dacapo, dalsegno,
tocoda, fine, forward-repeat, time-only), quoted where used; "common practice, no source" where said.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from xmlcheck.facts.order import LONGEST, played_order
from xmlcheck.model import Barline, Direction, Mark, Measure, Part, Sound


def bars(text: str, numbers: str = "") -> Part:
    """A part of bars named by letters, with signs before and after them, separated by blanks:
    `|:` `:|` `:|x3` `:|after` `[1` `]` (stop) `)` (discontinue) `||` (final), `name:value` sound, `"words"`, `<sign>`."""
    names: list[str] = []
    lines: list[Barline] = []
    directions: list[Direction] = []
    tokens = text.split()
    for token in tokens:
        bar = max(0, len(names) - 1)
        right = 4 * len(names)
        if token.isalpha():
            names.append(token)
        elif token == "|:":
            lines.append(Barline(right, len(names), -1, "left", repeat="forward"))
        elif token.startswith(":|"):
            rest = token[2:]
            times = int(rest[1:]) if rest.startswith("x") else 2
            marks = ("after-jump",) if rest == "after" else ()
            lines.append(Barline(right, bar, -1, repeat="backward", times=times, marks=marks))
        elif token.startswith("["):
            lines.append(Barline(right, len(names), -1, "left", ending=(token[1:].replace("_", " "), "start")))
        elif token in ("]", ")"):
            lines.append(Barline(right, bar, -1, ending=("", "stop" if token == "]" else "discontinue")))
        elif token == "||":
            lines.append(Barline(right, bar, -1, style="light-heavy"))
        elif token[0] == '"':
            mark = Mark("direction", "words", value=token.strip('"').replace("_", " "))
            directions.append(Direction(right, right, bar, -1, (mark,)))
        elif token[0] == "<":
            name, _, _ = token.strip("<>").partition(":")
            directions.append(Direction(right, right, len(names), -1, (Mark("direction", name),)))
        else:
            name, value, *only = token.split(":")
            before = name in ("segno", "coda", "forward-repeat")
            attributes = [(name, value)] + [("time-only", item) for item in only]
            place = len(names) if before else bar
            directions.append(Direction(right, right, place, -1, (), sound=Sound(attributes=tuple(attributes))))
    numbered = numbers.split() or [str(n) for n in range(1, len(names) + 1)]
    measures = tuple(Measure(n, number, number, 4 * n, 4, -1, filled=4) for n, number in enumerate(numbered))
    return Part("P1", "", measures=measures, barlines=tuple(lines), directions=tuple(directions))


def played(text: str, numbers: str = "") -> str:
    letters = [token for token in text.split() if token.isalpha()]
    return "".join(letters[index] for index in played_order(bars(text, numbers)))


@pytest.mark.parametrize(
    ("written", "heard"),
    [
        ("A B C", "ABC"),
        ("A |: B :| C", "ABBC"),
        ("A B :| C", "ABABC"),  # no forward sign: from the beginning (common practice, no source)
        ("A :| B :| C", "AABBC"),  # ... or from the last repeat sign
        ("A |: B :|x4 C", "ABBBBC"),  # times: "the number of times the repeated section is played"
        ("|: A |: B :| C :| D", "ABBCABBCD"),  # nested forward signs
        ("A forward-repeat:yes B :| C", "ABBC"),  # "a forward repeat sign is implied but not displayed"
        ("A |: B C", "ABC"),  # a forward sign alone
        ("A :| || B C :| || D", "AABCBCD"),  # a final barline: the next movement repeats from its own start
    ],
)
def test_repeats(written: str, heard: str) -> None:
    assert played(written) == heard


# ending: "the number attribute indicates which times the ending is played".
@pytest.mark.parametrize(
    ("written", "heard"),
    [
        ("|: A [1 B ] :| [2 C ) D", "ABACD"),
        ("A [1 B ] :| [2 C ] D", "ABACD"),
        ("|: A [1,2 B ] :| [3 C ] D", "ABABACD"),
        ("|: A [1,_2 B ] :| [3 C ] D", "ABABACD"),
        ("|: A [1 B ] :| [2 C ] :| [3 D ] E", "ABACADE"),
        ("|: A [1 B C ] :| [2 D E ) F", "ABCADEF"),
        ("|: A [1,3 B ] :| [2,4 C ] :| D", "ABACABACD"),
        ("|: A [1 B ] :| C", "ABAC"),  # a first ending only
        ("|: A [1 B :| [2 C D", "ABACD"),  # the stop signs are missing
        ("|: A [ B ] :| [ C ] D", "ABACD"),  # "software knows that an ending is present, but cannot determine the type"
        ("|: A [1 B ] :| [2 C ] |: D [1 E ] :| [2 F ] G", "ABACDEDFG"),
        ("A [1 B ] :| [2 C D [1 E ] :| [2 F ] G", "ABACDEDFG"),  # the second bracket never closed; D repeats from after C
        ("A [1 B ] [2 C ] D", "ABCD"),  # brackets without a repeat sign: nothing repeats
    ],
)
def test_endings(written: str, heard: str) -> None:
    assert played(written) == heard


# sound: "dacapo indicates to go back to the beginning of the movement"; "fine ... the final note"; "a dalsegno or dacapo
# attribute indicates that the jump should occur the first time through, while a tocoda attribute ... the second time through".
@pytest.mark.parametrize(
    ("written", "heard"),
    [
        ("A B fine:yes C dacapo:yes", "ABCAB"),
        ("A B C dacapo:yes", "ABCABC"),
        ("A segno:s B C fine:yes D dalsegno:s", "ABCDBC"),
        ("A segno:s B C tocoda:c D dalsegno:s coda:c E F", "ABCDBCEF"),
        ("A tocoda:c B C dacapo:yes coda:c D", "ABCAD"),
        ("|: A tocoda:c B :| C coda:c D", "ABAD"),  # no jump back: the second time through
        ("A segno:x B dalsegno:x segno:y C dalsegno:y D", "ABBCCD"),  # names "distinguish" several jumps
        ("A segno:x B tocoda:p C dalsegno:x coda:p D tocoda:q E dalsegno:x coda:q F", "ABCBDEBCDF"),
        ("A || B fine:yes C dacapo:yes", "ABCAB"),  # bar numbers run on: no new movement
        ("A B dalsegno:s C", "ABC"),  # nowhere to go back to
        ("A B tocoda:c C dacapo:yes", "ABCABC"),  # no coda: played through
        ("|: A :| B dacapo:yes:2 C", "AABC"),  # time-only: never comes by a second time
    ],
)
def test_jumps(written: str, heard: str) -> None:
    assert played(written) == heard


def test_da_capo_goes_to_the_beginning_of_its_own_movement() -> None:
    assert played("A B || C D fine:yes E dacapo:yes", "1 2 1 2 3") == "ABCDECD"


# repeat: "after-jump indicates if the repeats are played after a jump due to a da capo or dal segno"; without it they are not.
@pytest.mark.parametrize(
    ("written", "heard"),
    [
        ("|: A :| |: B :| fine:yes C dacapo:yes", "AABBCAB"),
        ("|: A :|after B fine:yes C dacapo:yes", "AABCAAB"),
        ("|: A [1 B ] :| [2 C ] fine:yes D dacapo:yes", "ABACDAC"),  # the last ending after the jump
        ("|: A [1 B ] :| C fine:yes D dacapo:yes", "ABACDAC"),
        ("A segno:s |: B :| C tocoda:c D dalsegno:s coda:c E", "ABBCDBCE"),
        ("|: A segno:s B :| C dalsegno:s D", "ABABCBCD"),
    ],
)
def test_repeats_after_a_jump(written: str, heard: str) -> None:
    assert played(written) == heard


# What players read where the playback data are missing (common practice, no source).
@pytest.mark.parametrize(
    ("written", "heard"),
    [
        ('A B "Fine" C "D.C._al_Fine"', "ABCAB"),
        ('A B "FINE" C "Da_Capo_al_Fine"', "ABCAB"),
        ('A <segno> B "To_Coda" C "D.S._al_Coda" <coda> D', "ABCBD"),
        ('A <segno> B <coda> C D "D.S._al_Coda" <coda> E', "ABCDBCE"),
        ('A <segno> B C "D.S."', "ABCBC"),
        ('A "Fine" |: B "D.C._al_Fine" C :|', "ABCBCA"),  # inside a repeated passage: after it
        ('A "fine_pizz." B "to_the_coda_of_the_piece" C "DCM"', "ABC"),
    ],
)
def test_jumps_in_words(written: str, heard: str) -> None:
    assert played(written) == heard


def test_an_aim_in_words_holds_for_its_own_jump() -> None:
    text = 'segno:s A fine:yes B tocoda:c C dalsegno:s "D.S._al_Coda" coda:c D dacapo:yes "D.C._al_Fine"'
    assert played(text) == "ABCABDA"


# Seen in a published file; the standard wants positive integers.
def test_endings_numbered_0_1_5() -> None:
    assert played("|: A [0,_1,_5 B ] :| [2 C ] D") == "ABACD"
    assert played("|: A [0,_1,_5 B ] :| C") == "ABAC"


def test_signs_on_the_other_side_of_the_barline() -> None:
    part = bars("A B C")
    lines = (Barline(4, 0, -1, "right", repeat="forward"), Barline(8, 2, -1, "left", repeat="backward"))
    assert played_order(Part("P1", "", measures=part.measures, barlines=lines)) == (0, 1, 1, 2)


def test_segno_at_the_end_of_a_bar_means_the_next_one() -> None:
    part = bars("A B C")
    signs = (
        Direction(4, 4, 0, -1, (), sound=Sound(attributes=(("segno", "s"),))),
        Direction(12, 12, 2, -1, (), sound=Sound(attributes=(("dalsegno", "s"),))),
    )
    assert played_order(Part("P1", "", measures=part.measures, directions=signs)) == (0, 1, 2, 1, 2)


# Files often carry jumps in the first part only, and repeats in another.
def test_the_signs_of_all_parts_count() -> None:
    assert played_order(bars("A B fine:yes C dacapo:yes"), bars("|: A :| B C")) == (0, 0, 1, 2, 0, 1)


def test_no_bars() -> None:
    assert played_order(bars("")) == ()


def test_a_file_that_asks_for_too_much_is_cut_and_still_reaches_its_end() -> None:
    order = played_order(bars(" ".join("|: A :|x1000" for _ in range(40)) + " B"))
    assert len(order) <= LONGEST * 41 + 41
    assert order[-1] == 40


TOKENS = ["|:", ":|", ":|x3", ":|after", "[1", "[2", "[1,2", "[0,_1,_5", "[", "[3", "]", ")", "||"]
JUMPS = ["segno:s", "coda:c", "tocoda:c", "dalsegno:s", "dacapo:yes", "fine:yes", "<coda>", "<segno>", '"D.S._al_Coda"']


@settings(max_examples=300, deadline=None)
@given(st.lists(st.sampled_from(["A", "A", "A", *TOKENS]), max_size=30))
def test_whatever_the_repeat_signs_no_bar_is_lost(tokens: list[str]) -> None:
    count = tokens.count("A")
    order = played_order(bars(" ".join([*tokens, "A"])))
    assert set(order) == set(range(count + 1))
    assert len(order) <= (LONGEST + 1) * (count + 1)


@settings(max_examples=300, deadline=None)
@given(st.lists(st.sampled_from(["A", "A", "A", *TOKENS, *JUMPS]), max_size=30))
def test_whatever_the_signs_the_order_ends(tokens: list[str]) -> None:
    count = tokens.count("A") + 1
    order = played_order(bars(" ".join([*tokens, "A"])))
    assert order[0] == 0 or not tokens
    assert len(order) <= (LONGEST + 1) * count


class Counted(tuple[Barline, ...]):
    """Barlines that count how often they are gone through."""

    passes = 0

    def __iter__(self) -> Iterator[Barline]:
        Counted.passes += 1
        return super().__iter__()


def test_the_barlines_are_gone_through_once_not_once_a_bar() -> None:
    part = bars(" ".join("|: A [1 B ] :| [2 C ]" for _ in range(100)))
    played_order(replace(part, barlines=Counted(part.barlines)))
    assert 0 < Counted.passes <= 2


def test_a_jump_at_every_bar_does_not_square_the_order() -> None:
    order = played_order(bars(" ".join("segno:s A dacapo:yes dalsegno:s" for _ in range(400))))
    assert len(order) <= (LONGEST + 1) * 400

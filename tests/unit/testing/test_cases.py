"""Cases files: what they may say, what is compared, and that every assertion of a case can fail.

The rule under test is brought by a plugin folder written here, so that no built-in rule is needed.
"""

from __future__ import annotations

import json
import textwrap
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from xmlcheck.annotation import annotate
from xmlcheck.errors import BadPlugin
from xmlcheck.finding import Report
from xmlcheck.testing import trial, xsd
from xmlcheck.testing.cases import Case, is_cases, load
from xmlcheck.testing.trial import explain, problems, same

RULE = '''
from xmlcheck.plugin import Chair, Compass, Hit, Hits, rule

@rule
def low(chair: Chair, compass: Compass, spare: int = 0) -> Hits:
    """Notes under the compass, `spare` cents apart."""
    for tone in chair.tones:
        gap = compass.lowest.value.cents - tone.sounding.cents
        if tone.sounding.octave == 9:
            raise ValueError("octave 9")
        if gap > spare:
            yield Hit(at=(tone,), values={"lowest": compass.lowest.value, "gap": gap / 7}, rests_on=(compass.lowest,))
'''
CARD = """
schema = "rule-1"
id = "toy.low"
title = "Low"
grade = "halt"
label = "under {lowest}"
message = "{notes}: under {lowest}."
why = "The toy has no such note."
remedy = "Ask the player."
"""
PROFILE = """
schema = "profile-1"
id = "toy-lute"
names = { en = "toy lute" }
aliases = ["toylute"]
[compass]
lowest = { value = "D3", cite = ["a"], certainty = "documented" }
highest = { value = "D5", cite = ["a"], certainty = "documented" }
"""
HEAD = 'schema = "cases-1"\nrule = "toy.low"\nprofile = "toy-lute"\n'
Write = Callable[[str], tuple[Case, ...]]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A plugin folder that is not installed. Its name is its import name, so it is written once for this module."""
    plugin = tmp_path_factory.mktemp("plugins") / "toy_cases_plugin"
    rule = plugin / "rules" / "low"
    rule.mkdir(parents=True)
    (plugin / "profiles").mkdir()
    (plugin / "plugin.toml").write_text('schema = "plugin-1"\nname = "toy_cases_plugin"\nversion = "3"\n')
    (plugin / "profiles" / "toy-lute.toml").write_text(PROFILE)
    (rule / "rule.toml").write_text(CARD)
    (rule / "rule.py").write_text(RULE)
    return plugin


@pytest.fixture
def write(folder: Path) -> Write:
    def written(text: str) -> tuple[Case, ...]:
        path = folder / "rules" / "low" / "cases.toml"
        path.write_text(HEAD + textwrap.dedent(text), encoding="utf-8")
        return load(path)

    return written


FAIL = """
    [[fail]]
    name = "a semitone under the lowest string"
    notes = "r.q C#3 r.h"
    expect = [{ at = "1:2", grade = "halt", lowest = "D3" }]
"""


def test_a_plugin_folder_need_not_be_installed(write: Write) -> None:
    held, failed = write('[[pass]]\nname = "the lowest string"\nnotes = "D3.w"' + FAIL)
    assert (problems(held), problems(failed)) == ([], [])


def test_a_finding_where_none_may_be_is_told(write: Write) -> None:
    (case,) = write('[[pass]]\nname = "x"\nnotes = "r.q C3 r.h"')
    (text,) = problems(case)
    assert "Expected:\n    nothing\nFound:\n    at 1:2" in text
    assert '"C3: under D3."' in text
    told = explain(case, [text])
    assert told.startswith("toy.low: x\n")
    assert "Music:\n    r.q C3 r.h\nInstrument: toy-lute\n" in told


@pytest.mark.parametrize(
    "expect",
    [
        '{ at = "1:3" }', '{ at = "2:2" }', '{ grade = "query" }', '{ lowest = "D4" }', '{ part = "P2" }', "{ count = 2 }",
        '{ certainty = "memory" }', '{ absent = "D3" }', '{ also = ["toy.high"] }', '{ to_bar = "2" }', '{ at = "1:2" }, {}',
    ],
)  # fmt: skip
def test_every_named_key_is_compared(write: Write, expect: str) -> None:
    (case,) = write(FAIL.replace('{ at = "1:2", grade = "halt", lowest = "D3" }', expect))
    assert "Found:\n    at 1:2" in problems(case)[0]


def test_only_named_keys_are_compared(write: Write) -> None:
    (case,) = write(FAIL.replace('at = "1:2", grade = "halt", lowest = "D3"', ""))
    assert problems(case) == []


def test_several_findings_are_in_order_of_place(write: Write) -> None:
    (case,) = write("""
        [[fail]]
        name = "x"
        notes = "C3.q r.h. | R | R | meter=6/8 r.q {3:2 r.e r C3}"
        expect = [{ at = "1:1" }, { at = "4:4+1/3" }]
    """)
    assert problems(case) == []


@pytest.mark.parametrize(
    ("want", "value", "holds"),
    [
        (183, 183.4, True), (183, 183.6, False), (183.3, 183.333, True), (183.33, 183.3, False), ("D3", "D3", True), (3, "3", False),
        (True, 1, False), (1, True, False), ([1, "a"], (1.2, "a"), True), ([1], [1, 2], False), ({"a": 1}, {"a": 1.1}, True),
        ({"a": 1}, {"a": 1, "b": 2}, False), (1, None, False),
    ],
)  # fmt: skip
def test_numbers_are_compared_as_far_as_they_are_written(want: Any, value: Any, holds: bool) -> None:
    assert same(want, value) is holds


def test_settings_config_and_given(write: Write) -> None:
    cases = write("""
        [[pass]]
        name = "a setting of the rule"
        notes = "C#3.w"
        settings = { spare = 100 }
        [[pass]]
        name = "the same in the configuration"
        notes = "C#3.w"
        config = { settings = { "toy.low" = { spare = 100 } } }
        [[pass]]
        name = "the ensemble's instrument goes lower"
        notes = "C#3.w"
        config = { ensemble = { toy-lute = { compass = { lowest = { value = "C3", cite = [], certainty = "player" } } } } }
        [[fail]]
        name = "by the part's name"
        heading = "Toylute 2"
        recognise = true
        notes = "C#3.w"
        expect = [{}]
        [[fail]]
        name = "the second part only"
        parts = [{ name = "A", notes = "C#3.w", profile = "toy-lute" }, { name = "B", id = "Q", notes = "C#3.w" }]
        given = { Q = "toylute" }
        profile = "toy-lute"
        expect = [{ part = "P1" }, { part = "Q" }]
    """)
    assert [problem for case in cases for problem in problems(case)] == []


def test_a_whole_profile_in_the_case(write: Write) -> None:
    low = '{ value = "F#3", cite = ["a \\"quoted\\" word"], certainty = "memory", note = "ä" }'
    high = '{ value = "D5", cite = [], certainty = "memory" }'
    (case,) = write(f"""
        [[fail]]
        name = "x"
        notes = "F3.w"
        profile = {{ id = "inline", names = {{ en = "inline lute" }}, compass = {{ lowest = {low}, highest = {high} }} }}
        expect = [{{ at = "1:1", grade = "query", certainty = "memory", lowest = "F#3" }}]
    """)
    assert problems(case) == []


def test_a_rule_that_is_never_asked_proves_nothing(write: Write) -> None:
    unasked = '[[pass]]\nname = "x"\nnotes = "C3.w"\nprofile = { id = "bare" }\n'
    assert "The rule was never asked: toy.low (no compass)" in problems(write(unasked)[0])[0]
    assert problems(write(unasked + "asked = false")[0]) == []
    assert "asked = false, but the profile has all" in problems(write('[[pass]]\nname="x"\nnotes="D3.w"\nasked=false')[0])[0]


def test_a_rule_that_breaks_is_a_failure(write: Write) -> None:
    (text,) = problems(write('[[pass]]\nname = "x"\nnotes = "C9.w"')[0])
    assert "Rule toy.low of toy_cases_plugin failed on part P1" in text
    assert "octave 9" in text


def test_an_unknown_rule_and_bad_notes_are_told(write: Write) -> None:
    (case,) = write('[[pass]]\nname = "x"\nnotes = "D3.w H"')
    assert problems(case) == ["part 'Music': 'H' is not understood"]
    case = Case("x", "toy.absent", case.path, None, "D3.w", profile="toy-lute")
    assert problems(case)[0].startswith("No plugin brings the rule toy.absent.")
    case = Case("x", "toy.low", case.path, None, "D3.w", profile="no-such-lute")
    assert "no installed instrument is called 'no-such-lute'" in problems(case)[0]


def test_a_file_beside_the_cases(write: Write, folder: Path) -> None:
    text = '[[fail]]\nname = "x"\nfile = "low.musicxml"\nheading = ""\ngiven = { P1 = "toy-lute" }\nexpect = [{}]'
    (case,) = write(text)
    assert "low.musicxml: No such file" in problems(case)[0]
    (folder / "rules" / "low" / "low.musicxml").write_bytes(Case("x", "r", case.path, None, "C3.w").data())
    assert problems(case) == []
    assert "the file low.musicxml" in explain(case, [])


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('[[pass]]\nnotes = "C4"', "'name' is a required property"),
        ('[[fail]]\nname = "x"\nnotes = "C4"', "'expect' is a required property"),
        ('[[fail]]\nname = "x"\nnotes = "C4"\nexpect = []', "non-empty"),
        ('[[pass]]\nname = "x"\nnotes = "C4"\nexpect = [{}]', "expect"),
        ('[[pass]]\nname = "x"', "is not valid"),
        ('[[pass]]\nname = "x"\nnotes = "C4"\nfile = "a"', "is valid under each of"),
        ('[[pass]]\nname = "x"\nnote = "C4"\nnotes = "C4"', "note"),
        ('[[pass]]\nname = "x"\nnotes = "C4"\n[[pass]]\nname = "x"\nnotes = "C4"', "two cases are called 'x'"),
        ('[[fail]]\nname = "x"\nnotes = "C4"\nexpect = [{ at = "2" }]', "does not match"),
        ("pass = 3", "is not of type 'array'"),
        ("[[pass]", "not a cases file"),
    ],
)
def test_a_bad_file_is_told(write: Write, text: str, says: str) -> None:
    with pytest.raises(BadPlugin) as caught:
        write(text)
    assert says in str(caught.value)
    assert "cases.toml" in str(caught.value)


def test_files_of_other_formats_are_none() -> None:
    assert is_cases('schema = "cases-1"')
    assert is_cases('schema = "cases-1"\n[[')
    assert not is_cases('schema = "other"\nabout = "cases-1"')
    assert not is_cases("[[")


# Every assertion of the chain, broken on purpose.


def broken(monkeypatch: pytest.MonkeyPatch, write: Write, name: str, value: Any) -> str:
    (case,) = write(FAIL)
    assert problems(case) == []
    monkeypatch.setattr(trial, name, value)
    return "\n".join(problems(case))


def test_sees_marks_that_do_not_come_out(monkeypatch: pytest.MonkeyPatch, write: Write) -> None:
    told = broken(monkeypatch, write, "unmark", lambda data: data + b" ")
    assert "does not give the original bytes back" in told


def test_sees_a_new_schema_error(monkeypatch: pytest.MonkeyPatch, write: Write) -> None:
    if not xsd.available():
        pytest.skip(xsd.MISSING)
    told = broken(monkeypatch, write, "annotate", lambda *args: annotate(*args).replace(b"<words ", b'<words loud="yes" '))
    assert "Annotating adds a schema error: Element 'words', attribute 'loud'" in told


def test_sees_a_changed_original(monkeypatch: pytest.MonkeyPatch, write: Write) -> None:
    told = broken(monkeypatch, write, "annotate", lambda *args: annotate(*args).replace(b"<step>C", b"<step>D"))
    assert "Annotating: the file: without its check marks it is not the file that was checked" in told


def test_sees_a_mark_that_is_missing(monkeypatch: pytest.MonkeyPatch, write: Write) -> None:
    told = broken(monkeypatch, write, "annotate", lambda data, *_: data)
    assert told == "Finding 1 says that it is marked in the score, and is not." or "is not.\nFinding 2" in told


def test_sees_findings_that_change(monkeypatch: pytest.MonkeyPatch, write: Write) -> None:
    counter = iter(range(100))

    def changing(report: Report) -> bytes:
        return json.dumps(next(counter)).encode()

    assert "Two runs over the same bytes give different findings." in broken(monkeypatch, write, "_json", changing)


def test_sees_findings_that_break_their_schema(monkeypatch: pytest.MonkeyPatch, write: Write) -> None:
    true = Report.to_dict
    monkeypatch.setattr(Report, "to_dict", lambda self: {**true(self), "findings": [{}]})
    assert "The findings break their schema: $.findings[0]" in "\n".join(problems(write(FAIL)[0]))

"""The promises of the check, kept on written and on spoilt inputs; and each promise is one that can be broken.

A quick sample with fixed seeds; `-m long` and `python -m tests.fuzz.run` go further. What valid MusicXML is says the W3C schema
(test_written.py); what a spoilt file must get is the project's own promise: a clean refusal, or a check like any other.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings

from tests.fuzz import properties
from tests.fuzz.bounds import Hung, time_bound
from tests.fuzz.kinds import KINDS
from tests.fuzz.pen import Pen
from tests.fuzz.properties import Broken, check, examine
from tests.fuzz.run import one, verdict
from tests.fuzz.strategies import files
from xmlcheck.errors import Unreadable
from xmlcheck.testing.mini import Part
from xmlcheck.testing.mini import score as mini

SOUND = mini(Part("C3.q D5 E5 F5 | G5.w", name="Flute"))
QUICK, LONG = 45, 900


@pytest.mark.parametrize("count", [QUICK, pytest.param(LONG, marks=pytest.mark.long)])
def test_promises_are_kept(count: int) -> None:
    """Inputs 0 to `count` of seed 0, of each kind in turn."""
    kinds = tuple(KINDS)
    became: Counter[str] = Counter()
    for number in range(count):
        kind, data = one(0, number, kinds)
        what, broken = verdict(data)
        assert not broken, (number, kind, broken)
        became[what] += 1
    assert became["checked"] > count / 3, "most of what is written is checked"
    assert count - became["checked"] > count / 5, "much of what is spoilt is refused"


@settings(max_examples=10, derandomize=True, database=None)
@given(files())
def test_promises_are_kept_on_what_hypothesis_draws(data: bytes) -> None:
    with time_bound():
        assert examine(data) == "checked"


def test_an_input_is_the_same_each_time() -> None:
    for number in range(12):
        assert one(7, number, tuple(KINDS)) == one(7, number, tuple(KINDS))


def test_a_check_that_never_ends_is_seen() -> None:
    with pytest.raises(Hung), time_bound(0.05):
        sum(1 for _ in iter(int, 1))


@pytest.mark.parametrize("text", ["other.xml: stops.", "cue.musicxml: stops", f"cue.musicxml: {'a' * 600}."])
def test_what_is_no_clear_sentence_is_seen(text: str) -> None:
    with pytest.raises(Broken):
        properties.one_sentence(Unreadable(text))


def test_a_rule_that_fails_is_seen() -> None:
    report = replace(check(SOUND), notices=("Rule a.b of x failed on part P1 and is left out there: ValueError: x",))
    with pytest.raises(Broken):
        properties.no_rule_fails(report)


def _crash(*given: object, **named: object) -> None:
    raise ValueError("planted")


def _other_bytes(data: bytes) -> bytes:
    return SOUND + b" "


@pytest.mark.parametrize(
    ("name", "planted", "promise"),
    [
        ("check_source", _crash, "no unhandled exception"),
        ("compare_music", _crash, "no unhandled exception after the check"),
        ("unmark", _other_bytes, "unmark(annotate) is the original"),
        ("heard", lambda score: [(object(),)], "same notes before and after"),
    ],
)
def test_a_broken_promise_is_seen(name: str, planted: object, promise: str, monkeypatch: pytest.MonkeyPatch) -> None:
    assert examine(SOUND) == "checked"
    monkeypatch.setattr(properties, name, planted)
    with pytest.raises(Broken) as seen:
        examine(SOUND)
    assert seen.value.promise == promise


@pytest.mark.parametrize("change", [{"measure_index": 99}, {"measure_index": 1, "to_measure_index": 0}, {"anchor": 10_000}])
def test_a_place_that_does_not_exist_is_seen(change: dict[str, int]) -> None:
    report = check(SOUND)
    assert report.findings
    finding = replace(report.findings[0], part="P1", place=replace(report.findings[0].place, **change))  # type: ignore[arg-type]
    with pytest.raises(Broken, match="that exist"):
        properties.valid_findings(SOUND, replace(report, findings=(finding,)))


def test_findings_that_differ_are_seen() -> None:
    report = check(SOUND)
    other = replace(report, findings=(), plans=())
    with pytest.raises(Broken, match="same findings"):
        properties.annotated_again(SOUND, other)
    with pytest.raises(Broken, match="same bytes"):
        properties.deterministic(SOUND, other)


def test_pens_draw_all_of_a_list() -> None:
    pen = Pen.seeded(1)
    assert {pen.pick("abc") for _ in range(100)} == set("abc")
    assert {pen.maybe(50) for _ in range(100)} == {True, False}
    assert not any(pen.maybe(0) for _ in range(100))

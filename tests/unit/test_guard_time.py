"""Rules over their time, and values that several rules wait for: stopped in any thread, blamed, not waited for twice.

What no limit can end (a single call into C that does not come back) is told in tests/hostile/README.md, not tested.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import Any

import pytest

from tests.hostile.odd import Odd, blamed, checked, installed, odd_rule, usual
from xmlcheck.checking.guard import TIME_LIMIT, TooLong
from xmlcheck.config import Config
from xmlcheck.errors import BadConfig
from xmlcheck.plugin import Chair, ScoreFacts
from xmlcheck.registry import Registry
from xmlcheck.rule import Derived, Hit, Rule, needs

SLOW = Config(settings={"house.odd": {TIME_LIMIT: 0.3}})


@dataclass(frozen=True)
class Wick:
    """A derived value that no chair ever gets."""


COMPUTED: list[str] = []


def no_oil(chair: Chair) -> Wick:
    COMPUTED.append(chair.name)
    raise ValueError("no oil")


def burns_on(chair: Chair) -> Wick:
    COMPUTED.append(chair.name)
    while True:
        pass


def asks(chair: Chair, wick: Wick) -> Iterator[Hit]:
    yield Hit()


def two_that_ask(function: Odd) -> tuple[list[Rule], Registry]:
    """Two rules that ask for the same derived value."""
    COMPUTED.clear()
    one = odd_rule(asks)
    registry = replace(installed(), derived={**installed().derived, Wick: Derived(Wick, function, needs(function), "lamps")})
    return [one, replace(one, card=replace(one.card, id="house.other"))], registry


def test_a_derived_value_that_fails_is_named_and_computed_once_a_chair() -> None:
    rules, registry = two_that_ask(no_oil)
    report = checked(*rules, registry=registry)
    assert len(COMPUTED) == 2, "two chairs"
    told = [notice for notice in report.notices if "no oil" in notice]
    assert len(told) == 4
    assert all(notice.count("(in no_oil of lamps)") == 1 for notice in told), told
    assert report.findings == usual().findings


def runs_on(chair: Chair) -> Iterator[Hit]:
    yield Hit(at=chair.tones[:1])
    while True:
        pass


def runs_on_in_try(chair: Chair) -> Iterator[Hit]:
    while True:
        try:
            sum(range(100))
        except Exception:
            yield Hit()


def runs_on_in_finally(chair: Chair) -> Iterator[Hit]:
    try:
        while True:
            yield Hit(at=chair.tones[:1])
    finally:
        while True:
            pass


def clings(chair: Chair) -> Iterator[Hit]:
    """Catches two strikes before it gives in."""
    for _ in range(2):
        try:
            while True:
                pass
        except BaseException:
            continue
    while True:
        yield from ()


def sleeps(chair: Chair) -> Iterator[Hit]:
    while True:
        time.sleep(0.01)
        yield from ()


@pytest.mark.parametrize("function", [runs_on, runs_on_in_try, runs_on_in_finally, clings, sleeps])
def test_a_rule_over_its_time_is_stopped_and_not_asked_again(function: Odd) -> None:
    report = checked(odd_rule(function), config=SLOW)
    text = blamed(report)
    assert text.count("it took more than 0.3 seconds") == 1, "the second part is not asked for"


def test_a_derived_value_over_its_time_is_waited_for_once() -> None:
    rules, registry = two_that_ask(burns_on)
    limits = {rule.id: {TIME_LIMIT: 0.3} for rule in rules}
    report = checked(*rules, registry=registry, config=Config(settings=limits))
    assert COMPUTED == ["P1"]
    assert sum("(in burns_on of lamps)" in notice for notice in report.notices) == 2
    assert report.findings == usual().findings


def test_the_time_limit_holds_in_any_thread() -> None:
    with ThreadPoolExecutor(3) as pool:
        reports = list(pool.map(lambda _: checked(odd_rule(runs_on), config=SLOW), range(3)))
    for report in reports:
        assert "it took more than 0.3 seconds" in blamed(report)


def test_no_strike_comes_after_a_rule_has_ended() -> None:
    """Rules that end just about when their time does: either blamed or done, and never a strike outside."""

    def close_call(score: ScoreFacts) -> Iterator[Hit]:
        until = time.monotonic() + 0.05
        while time.monotonic() < until:
            pass
        yield from ()

    config = Config(settings={"house.odd": {TIME_LIMIT: 0.05}})
    bare = replace(installed(), rules=())
    for _ in range(20):
        report = checked(odd_rule(close_call), config=config, registry=bare)
        assert sum("house.odd" in notice for notice in report.notices) <= 1
    assert not [thread for thread in threading.enumerate() if thread.name == "xmlcheck time limit" and _stays(thread)]


def _stays(thread: threading.Thread) -> bool:
    thread.join(5)
    return thread.is_alive()


@pytest.mark.parametrize("limit", [0, -1, "60", True, float("nan"), None, 10**30])
def test_a_time_limit_is_seconds(limit: Any) -> None:
    config = Config(settings={"house.odd": {TIME_LIMIT: limit}})
    if limit is None or limit == 10**30:
        assert checked(odd_rule(silent), config=config).findings == usual().findings
        return
    with pytest.raises(BadConfig, match="expected seconds above 0"):
        checked(odd_rule(silent), config=config)


def silent(chair: Chair) -> Iterator[Hit]:
    yield from ()


def test_a_strike_is_no_exception_that_rules_catch() -> None:
    assert not issubclass(TooLong, Exception)

"""A rule that misbehaves in any way is blamed by name, and all other findings are as they are without it.

The ways are those that Python offers a function: to raise, to give back what it likes, to print. What cannot be guarded against
(the end of the process, values changed past their guard) is told in tests/hostile/README.md, not tested.
"""

from __future__ import annotations

import io
import os
import signal
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import redirect_stdout
from dataclasses import replace
from typing import Any

import pytest

from tests.hostile.odd import Odd, blamed, checked, odd_rule
from xmlcheck.finding import Place, Plan, PlanLine
from xmlcheck.plugin import Chair, ScoreFacts
from xmlcheck.rule import Hit


class Slippery(BaseException):
    pass


class Mute(Exception):
    def __str__(self) -> str:
        raise ValueError("no text")


def raises(chair: Chair) -> Iterator[Hit]:
    yield Hit(at=chair.tones[:1])  # what came before the fault is not kept
    raise ValueError("\x1b[31mlamp out\n" + "x" * 5000)


def raises_mute(chair: Chair) -> Iterator[Hit]:
    raise Mute


def raises_slippery(chair: Chair) -> Iterator[Hit]:
    raise Slippery("out")


def interrupts(chair: Chair) -> Iterator[Hit]:
    raise KeyboardInterrupt


def leaves(score: ScoreFacts) -> Iterator[Hit]:
    sys.exit(0)


def closes(chair: Chair) -> Iterator[Hit]:
    raise GeneratorExit


def recurses(chair: Chair) -> Iterator[Hit]:
    yield from recurses(chair)


def no_memory(chair: Chair) -> Iterator[Hit]:
    raise MemoryError


def assigns(chair: Chair) -> Iterator[Hit]:
    chair.tones[0].notes[0].onset = 4  # type: ignore[misc]
    yield Hit()


def nothing(chair: Chair) -> Iterator[Hit]:
    return None  # type: ignore[return-value]


def a_number(chair: Chair) -> Iterator[Hit]:
    return 7  # type: ignore[return-value]


def a_text(chair: Chair) -> Iterator[Hit]:
    return "lamp"  # type: ignore[return-value]


def tones(chair: Chair) -> Iterator[Hit]:
    yield from chair.tones  # type: ignore[misc]


def endless(chair: Chair) -> Iterator[Hit]:
    while True:
        yield Hit(at=chair.tones[:1])


def _gives(**given: Any) -> Odd:
    def gives(chair: Chair) -> Iterator[Any]:
        yield Hit(**({"at": chair.tones[:1]} | given))

    return gives


class Textless:
    def __str__(self) -> str:
        raise ValueError("lamp")


def foreign(chair: Chair) -> Iterator[Hit]:
    for other in chair.facts.chairs:
        if other.part is not chair.part:
            yield Hit(at=other.tones[:1])


def _moved(**places: int) -> Odd:
    def moved(chair: Chair) -> Iterator[Hit]:
        yield Hit(at=(replace(chair.notes[0], **places),))  # type: ignore[arg-type]

    return moved


def plan_of_nonsense(chair: Chair) -> Iterator[Any]:
    yield Plan("p", "tuning", chair.part.id, (PlanLine(Place(anchor=10**9), "x", {}),))


def plan_without_text(chair: Chair) -> Iterator[Any]:
    yield Plan("p", "tuning", chair.part.id, (PlanLine(Place(), 7, {}),))  # type: ignore[arg-type]


DEEP: Any = []
for _ in range(50):
    DEEP = [DEEP]
ODD: list[tuple[str, Odd, str]] = [
    ("raises", raises, "ValueError:  [31mlamp out x"),
    ("raises without a text", raises_mute, "Mute"),
    ("raises what is no Exception", raises_slippery, "Slippery: out"),
    ("raises KeyboardInterrupt", interrupts, "KeyboardInterrupt"),
    ("leaves by sys.exit", leaves, "SystemExit"),
    ("raises GeneratorExit", closes, "GeneratorExit"),
    ("recurses without end", recurses, "RecursionError"),
    ("has no memory", no_memory, "MemoryError"),
    ("assigns to a frozen value", assigns, "FrozenInstanceError"),
    ("gives back nothing", nothing, "TypeError"),
    ("gives back a number", a_number, "TypeError"),
    ("gives back a text", a_text, "it gave a value of the kind str, which is no hit"),
    ("gives tones for hits", tones, "which is no hit"),
    ("gives hits without end", endless, "more than"),
    ("a hit at a text", _gives(at="bar 1"), "at is"),
    ("a hit at texts", _gives(at=("bar 1",)), "no place in a score"),
    ("a hit at a tone of another part", foreign, "of another part or of none"),
    ("a hit at a bar that is not there", _moved(measure=10**6), "of another part or of none"),
    ("a hit at an element that is not there", _moved(anchor=10**9), "of another part or of none"),
    ("a hit at an element before the first", _moved(anchor=-7), "of another part or of none"),
    ("a hit at half a bar", _moved(measure=0.5), "no place in a score"),  # type: ignore[arg-type]
    ("values that are no table", _gives(values=["x"]), "the values of a hit"),
    ("keys that are no texts", _gives(values={1: "x"}), "the values of a hit"),
    ("a value that is no number", _gives(values={"x": float("nan")}), "a value is nan"),
    ("a value without end in a list", _gives(values={"x": [float("inf")]}), "a value is inf"),
    ("values in values in values", _gives(values={"x": DEEP}), "without an end"),
    ("a generator for a value", _gives(values={"x": iter([1])}), "told once only"),
    ("a value that has no text", _gives(values={"x": Textless()}), "ValueError: lamp"),
    ("rests on a text", _gives(rests_on=("x",)), "nobody vouches"),
    ("rests on a number", _gives(rests_on=4), "rests_on is"),
    ("a grade of its own", _gives(grade="halt"), "the grade of a hit"),
    ("a group that is none", _gives(group=4), "is no text"),
    ("alternatives that are none", _gives(alternatives=(4,)), "alternatives is"),
    ("a plan that is none", _gives(plan="x"), "its plan"),
    ("a plan for an element that is not there", plan_of_nonsense, "another part or of none"),
    ("a plan without a text", plan_without_text, "in the place of a text"),
]


@pytest.mark.parametrize(("function", "said"), [row[1:] for row in ODD], ids=[row[0] for row in ODD])
def test_a_rule_that_misbehaves_is_blamed_and_nothing_else_changes(function: Odd, said: str) -> None:
    assert said in blamed(checked(odd_rule(function)))


def test_a_claim_rule_that_misbehaves_takes_nothing_away() -> None:
    assert "lamp out" in blamed(checked(odd_rule(raises, "claim")))
    assert "another part" in blamed(checked(odd_rule(foreign, "claim")))


def test_a_hit_in_a_part_that_is_not_there() -> None:
    def elsewhere(score: ScoreFacts) -> Iterator[Hit]:
        yield Hit(part="P9")

    assert "'P9', which is not in the score" in blamed(checked(odd_rule(elsewhere)))


def test_a_user_s_interrupt_is_no_rule_s_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(score: ScoreFacts) -> Iterator[Hit]:
        os.kill(os.getpid(), signal.SIGINT)
        for _ in range(10**7):
            pass
        yield from ()

    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        with pytest.raises(KeyboardInterrupt):
            checked(odd_rule(interrupted))
    finally:
        signal.signal(signal.SIGINT, before)


def prints(chair: Chair) -> Iterator[Hit]:
    print("lamp \x1b[31m")
    print("oil", file=sys.stderr)
    sys.stdout.buffer.write(b"wick")
    sys.stdout.writelines(["a", "b"])
    yield from ()


def test_what_a_rule_prints_is_not_shown() -> None:
    out = io.TextIOWrapper(io.BytesIO(), "utf-8")
    stop = threading.Event()

    def other() -> None:
        while not stop.is_set():
            print("from another thread")
            time.sleep(0.001)

    with redirect_stdout(out):
        thread = threading.Thread(target=other)
        thread.start()
        try:
            report = checked(odd_rule(prints))
        finally:
            stop.set()
            thread.join()
        assert sys.stdout is out
        print("afterwards")
    out.flush()
    lines = set(out.buffer.getvalue().decode().split("\n"))
    assert lines == {"from another thread", "afterwards", ""}
    text = blamed(report)
    assert text.count("Rule house.odd of house printed") == 1
    assert "printed 42 characters" in text

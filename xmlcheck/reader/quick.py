"""Faster construction of frozen values. A frozen dataclass sets each field through a guard; a note has twenty-one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields
from typing import Any, ParamSpec, TypeVar, cast

P = ParamSpec("P")
T = TypeVar("T")


def quick(kind: Callable[P, T]) -> Callable[P, T]:
    """What `kind(...)` makes, five times as fast. All fields are needed, in order.

    The value is built as an unfrozen class with the same slots and then given its class, so the result is frozen like any
    other. `__post_init__` is not run: for a class that has one, or no slots of its own, `kind` itself is returned.
    """
    slots = getattr(kind, "__slots__", ())
    names = [one.name for one in fields(cast(Any, kind))]
    if list(slots) != names or hasattr(kind, "__post_init__"):
        return kind
    body = "".join(f"        self.{name} = {name}\n" for name in names)
    scope: dict[str, Any] = {"kind": kind}
    exec(  # as the dataclass decorator does: the field names are the arguments
        f"class Twin:\n    __slots__ = {tuple(names)!r}\n    def __init__(self, {', '.join(names)}):\n{body}"
        "        self.__class__ = kind\n",
        scope,
    )
    return cast("Callable[P, T]", scope["Twin"])

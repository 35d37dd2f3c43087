"""Faster construction of frozen values. A frozen dataclass sets each field through a guard; a note has twenty-one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING, fields
from typing import Any, ParamSpec, TypeVar, cast

P = ParamSpec("P")
T = TypeVar("T")


def quick(kind: Callable[P, T]) -> Callable[P, T]:
    """What `kind(...)` makes, several times as fast.

    The value is built as an unfrozen class with the same slots and then given its class, so the result is frozen like any
    other; a `__post_init__` runs as ever. For a class without slots of its own, `kind` itself is returned.
    """
    parameters = fields(cast(Any, kind))
    slots = tuple(one.name for one in parameters)
    names = tuple(one.name for one in parameters if one.init)
    if tuple(getattr(kind, "__slots__", ())) != slots:
        return kind
    ready = "        self.__post_init__()\n" if hasattr(kind, "__post_init__") else ""
    defaults = {one.name: one.default for one in parameters if one.default is not MISSING}
    given = ", ".join(f"{name}=defaults[{name!r}]" if name in defaults else name for name in names)
    body = "".join(f"        self.{name} = {name}\n" for name in names)
    scope: dict[str, Any] = {"kind": kind, "defaults": defaults}
    exec(  # as the dataclass decorator does: the field names are the parameters
        f"class Twin:\n    __slots__ = {slots!r}\n    def __init__(self, {given}):\n{body}        self.__class__ = kind\n{ready}",
        scope,
    )
    return cast("Callable[P, T]", scope["Twin"])

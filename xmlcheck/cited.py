"""Values that carry who says so. A leaf module: every fact about an instrument is a `Cited` value or a record with `cite`."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from xmlcheck.finding import Certainty

T_co = TypeVar("T_co", covariant=True)


class Vouched(Protocol):
    """Anything that says who vouches for it: a `Cited` value, or a record such as one technique or reading convention."""

    @property
    def cite(self) -> tuple[str, ...]: ...

    @property
    def certainty(self) -> Certainty: ...


@dataclass(frozen=True, slots=True)
class Cited(Generic[T_co]):
    """A value with its sources (keys into the profile's `sources`), certainty, a note, and the layer it came from."""

    value: T_co
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""
    origin: str = ""


def weakest(values: Iterable[Vouched]) -> Certainty:
    """The lowest certainty among the values a conclusion rests on; DOCUMENTED where it rests on none."""
    return min((value.certainty for value in values), key=lambda certainty: certainty.rank, default=Certainty.DOCUMENTED)

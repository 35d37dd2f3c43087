"""Instruments beside the chair's own: the other members of its family, and the one played before it in the part."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from xmlcheck.profile import Profile


@dataclass(frozen=True, slots=True)
class Before:
    """The profile of what the part's player had before; None at the start of the part, or where it is not known."""

    profile: Profile | None = None


FIRST = Before()


class Siblings:
    """Profiles of the same family and tradition as `profile`, without itself, by id. Loaded on first use."""

    def __init__(self, profile: Profile, load: Callable[[Profile], tuple[Profile, ...]]) -> None:
        self.profile = profile
        self._load = load
        self._all: tuple[Profile, ...] | None = None

    @property
    def all(self) -> tuple[Profile, ...]:
        """The members; empty for a profile that names no family."""
        if self._all is None:
            self._all = self._load(self.profile)
        return self._all

"""The other members of an instrument's family, read when a rule asks what they could hold."""

from __future__ import annotations

from collections.abc import Callable

from xmlcheck.profile import Profile


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

"""Collects what is worth telling about a file: one notice a kind and part, with the first place and how often."""

from __future__ import annotations

from dataclasses import dataclass, field

from xmlcheck.model import Notice

_LONGEST = 60


@dataclass(slots=True)
class Notices:
    """The notices of one reading, in order of their first place. count: how many were added, repeats included."""

    count: int = 0
    _found: dict[tuple[str, str], tuple[str, str, int]] = field(default_factory=dict)

    def add(self, kind: str, text: str, part: str = "", measure: str = "") -> None:
        """Notes `text` under a kind. Repeats of a kind in a part are counted, and only the first is told."""
        self.count += 1
        first, bar, count = self._found.get((kind, part), (text, measure, 0))
        self._found[kind, part] = first, bar, count + 1

    def told(self) -> tuple[Notice, ...]:
        """All notices, each with its count where there was more than one."""
        return tuple(
            Notice(kind, text if count == 1 else f"{text} (and {count - 1} more such)", part, measure)
            for (kind, part), (text, measure, count) in self._found.items()
        )


def shown(text: str | None) -> str:
    """A text from the file as it may stand in a notice: quoted, cut where it is long."""
    if text is None:
        return "nothing"
    text = " ".join(text.split())
    return repr(text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…")

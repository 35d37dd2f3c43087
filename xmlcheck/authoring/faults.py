"""What is amiss in a plugin folder: file, line, one sentence."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from xmlcheck.authoring.blanks import Path as Way
from xmlcheck.authoring.lines import line_of, path_of


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing amiss. line: from 1. remark: worth knowing, and nothing is refused for it."""

    file: Path
    line: int
    says: str
    remark: bool = False

    def __str__(self) -> str:
        head, *rest = self.says.splitlines() or [""]
        more = "".join(f"\n    {line}".rstrip(" ") for line in rest)
        return f"{self.file}:{self.line}: {'worth knowing: ' if self.remark else ''}{head}{more}"


def at(file: Path, way: Way, says: str, remark: bool = False) -> Fault:
    """A fault at a value of a TOML file."""
    return Fault(file, line_of(_text(file), way), says, remark)


def worded(file: Path, message: str) -> Fault:
    """A fault at the value that the message itself names."""
    return at(file, path_of(message), message)


def _text(file: Path) -> str:
    try:
        return file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return ""

"""The house pattern of file names."""

from __future__ import annotations

from xmlcheck.errors import BadConfig
from xmlcheck.handing.cue import CueAnswer
from xmlcheck.handing.values import FileEntry

FIELDS = ("cue", "title", "part", "revision")


def expected(pattern: str, entry: FileEntry, cue: CueAnswer) -> list[str]:
    """What a file is to be called, without suffix: by its own heading, or by its line in the score. Raises BadConfig."""
    title = cue.score.header.title if cue.score is not None else ""
    names = ["Score"] if entry.role == "score" else list(dict.fromkeys([*entry.line, entry.part or ""]))
    revision = (cue.score.revision if cue.score is not None else "") or entry.revision or ""
    try:
        return [pattern.format(cue=cue.group.name, title=title, part=name, revision=revision).strip() for name in names]
    except (KeyError, IndexError, ValueError):
        fields = ", ".join(f"{{{name}}}" for name in FIELDS)
        raise BadConfig(f"handoff.toml: naming: {pattern!r} has a field that is none of {fields}.") from None

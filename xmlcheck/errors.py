"""Errors that a user can meet. Each carries one clear sentence; the command line prints it and exits with 2."""

from __future__ import annotations

_LONGEST = 160
"""Characters of somebody else's words in a sentence of ours."""


def harmless(text: str) -> str:
    """A text without what could steer a terminal: control characters, line breaks, signs that turn the direction, halves of
    characters. Names of files and texts out of them can hold all of these; each becomes a blank.
    """
    return text if text.isprintable() else "".join(sign if sign.isprintable() else " " for sign in text)


def brief(text: object) -> str:
    """Words of a file, a zip or a parser as they may stand in a sentence: cut where they are long."""
    words = str(text)
    return words if len(words) <= _LONGEST else words[: _LONGEST - 1] + "…"


class XmlcheckError(Exception):
    """Base of all errors of this tool. `str(error)` is one sentence: file, part, bar where known, and what to do."""

    def __str__(self) -> str:
        return harmless(super().__str__())


class Unreadable(XmlcheckError):
    """The bytes cannot be read: missing, no permission, not XML, truncated, not MusicXML."""


class Unsupported(XmlcheckError):
    """Well-formed, but refused on purpose: entity declarations, foreign roots, stateful encodings."""


class TooLarge(XmlcheckError):
    """Over a safety limit: size, nesting depth, zip ratio or entry count."""


class BadConfig(XmlcheckError):
    """A configuration file, option or findings file that does not say what it must."""


class BadPlugin(XmlcheckError):
    """A plugin, profile, rule card or cases file that cannot be used; names the plugin, its version and the cause."""


class WriteFailed(XmlcheckError):
    """An output could not be written; the input and earlier outputs are intact."""


class SourceChanged(XmlcheckError):
    """Taking the annotations out does not give the recorded original back: the file was edited after the check."""

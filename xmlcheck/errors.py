"""Errors that a user can meet. Each carries one clear sentence; the command line prints it and exits with 2."""

from __future__ import annotations


class XmlcheckError(Exception):
    """Base of all errors of this tool. `str(error)` is one sentence: file, part, bar where known, and what to do."""


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

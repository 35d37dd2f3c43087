"""Finds what live players cannot play or could misread in MusicXML, and says why, who says so and what to do.

    import xmlcheck

    report = xmlcheck.check("cue.musicxml")              # a path, or the bytes
    marked = xmlcheck.annotate(data, report)             # bytes in, bytes out, only ever added to
    assert xmlcheck.unmark(marked) == data
    score = xmlcheck.read("cue.musicxml")                # frozen values, for notebooks
    for outcome in xmlcheck.check_paths(["cues/"]): ...  # one outcome per file

Nothing is imported before it is asked for, so that the command line starts at once.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from xmlcheck.annotation import annotate as annotate
    from xmlcheck.annotation import unmark as unmark
    from xmlcheck.comparing import Comparison as Comparison
    from xmlcheck.comparing import compare as compare
    from xmlcheck.config import Config as Config
    from xmlcheck.errors import XmlcheckError as XmlcheckError
    from xmlcheck.finding import Finding as Finding
    from xmlcheck.finding import Grade as Grade
    from xmlcheck.finding import Report as Report
    from xmlcheck.handing.answer import handoff as handoff
    from xmlcheck.paths import Choices as Choices
    from xmlcheck.paths import Outcome as Outcome
    from xmlcheck.paths import check as check
    from xmlcheck.paths import check_paths as check_paths
    from xmlcheck.paths import read as read
    from xmlcheck.registry import discover as discover
    from xmlcheck.version import VERSION as __version__

_HOME = {
    "Choices": "paths",
    "Comparison": "comparing",
    "Config": "config",
    "Finding": "finding",
    "Grade": "finding",
    "Outcome": "paths",
    "Report": "finding",
    "XmlcheckError": "errors",
    "__version__": "version",
    "annotate": "annotation",
    "check": "paths",
    "check_paths": "paths",
    "compare": "comparing",
    "discover": "registry",
    "handoff": "handing.answer",
    "read": "paths",
    "unmark": "annotation",
}
__all__ = [
    "Choices", "Comparison", "Config", "Finding", "Grade", "Outcome", "Report", "XmlcheckError",
    "__version__", "annotate", "check", "check_paths", "compare", "discover", "handoff", "read", "unmark",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'xmlcheck' has no attribute {name!r}")
    value = getattr(import_module(f"xmlcheck.{_HOME[name]}"), "VERSION" if name == "__version__" else name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *_HOME})

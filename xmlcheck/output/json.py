"""The findings file: a report as JSON text (schema `findings-1`), and back."""

from __future__ import annotations

import json
import re
from typing import Any

from xmlcheck.errors import BadConfig
from xmlcheck.finding import Report

_STEERING = re.compile("[\x7f-\x9f\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff]")
"""What could steer a terminal on which the JSON is shown, or cannot be encoded; the values stay the same, spelt `\\u…`."""


def text(report: Report) -> str:
    """The findings file: indented, one newline at the end. Equal reports give equal texts."""
    return _dumps(report.to_dict(), indent=2) + "\n"


def line(report: Report) -> str:
    """The same on one line, without the newline, for a stream of several reports."""
    return _dumps(report.to_dict(), indent=None)


def parse(content: str | bytes, name: str) -> Report:
    """The report of a findings file from outside. Raises BadConfig, telling what is not as the schema says."""
    from xmlcheck import schemas

    try:
        data: Any = json.loads(content)
    except ValueError as error:
        raise BadConfig(f"{name}: not JSON ({error}).") from None
    wrong = schemas.validate("findings-1", data)
    if wrong:
        more = f" (and {len(wrong) - 1} more)" if len(wrong) > 1 else ""
        raise BadConfig(f"{name}: not a findings file: {wrong[0]}{more}")
    return Report.from_dict(data)


def _dumps(data: Any, indent: int | None) -> str:
    # A value that JSON cannot hold would make a file that no other program reads: NaN is refused.
    return _STEERING.sub(_escaped, json.dumps(data, ensure_ascii=False, indent=indent, allow_nan=False))


def _escaped(match: re.Match[str]) -> str:
    return f"\\u{ord(match[0]):04x}"

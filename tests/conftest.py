"""Fixtures for all tests: reports made by hand, so that outputs are tested without rules."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from xmlcheck import source as sources
from xmlcheck.finding import Certainty, Finding, Grade, Place, Report, SourceInfo

# A busy machine makes slow examples, not wrong ones: times decide nothing here.
settings.register_profile("patient", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("patient")

MakeFinding = Callable[..., Finding]
MakeReport = Callable[..., Report]


@pytest.fixture(scope="session")
def make_finding() -> MakeFinding:
    """A finding with number and anchor; all else may be given by name, `voice` and `staff` included."""

    def make(number: int, anchor: int | None, voice: str | None = None, staff: int | None = None, **given: Any) -> Finding:
        plain = Finding(
            id=f"f{number}",
            number=number,
            rule="compass.below",
            grade=Grade.HALT,
            certainty=Certainty.DOCUMENTED,
            part="P1",
            chair=None,
            label="below compass: G3",
            message="",
            why="",
            remedy="",
            place=Place(anchor=anchor, voice=voice, staff=staff),
            values={},
        )
        return replace(plain, **given)

    return make


@pytest.fixture(scope="session")
def make_report() -> MakeReport:
    """A report about these bytes with these findings."""

    def make(data: bytes, findings: Iterable[Finding] = (), **given: Any) -> Report:
        source = sources.original(sources.from_bytes(data, "cue.musicxml"))
        info = SourceInfo(
            name=source.name,
            sha256=source.sha256,
            member_sha256=source.member_sha256,
            bytes=len(data),
            encoding=source.encoding,
            container=source.member,
            musicxml="4.0",
        )
        plain = Report(tool=("xmlcheck", "0.1.0"), plugins=(), source=info, parts=(), findings=tuple(findings))
        return replace(plain, **given)

    return make

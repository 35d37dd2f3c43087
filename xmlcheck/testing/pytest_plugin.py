"""pytest collects every `cases.toml` with schema = "cases-1" under the collected paths: each case is a test.

Loaded by pytest itself wherever xmlcheck is installed, so that a third party's test-suite is data only. Nothing of xmlcheck
is imported before the first such file is met.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from xmlcheck.testing.cases import Case

_NAME = "cases.toml"


class CaseFailed(Exception):
    """A case does not hold; the text says why in plain words."""


class CasesFile(pytest.File):
    """One `cases.toml`."""

    def collect(self) -> Iterator[CaseItem]:
        from xmlcheck.errors import BadPlugin
        from xmlcheck.testing.cases import load

        try:
            cases = load(self.path)
        except BadPlugin as error:
            raise self.CollectError(str(error)) from None
        for case in cases:
            yield CaseItem.from_parent(self, name=f"{case.rule}: {case.name}", case=case)


class CaseItem(pytest.Item):
    """One case, named by its rule and its own name."""

    def __init__(self, *, case: Case, **rest: Any) -> None:
        super().__init__(**rest)
        self.case = case

    def runtest(self) -> None:
        from xmlcheck.testing.trial import explain, problems

        wrong = problems(self.case)
        if wrong:
            raise CaseFailed(explain(self.case, wrong))

    def repr_failure(self, excinfo: pytest.ExceptionInfo[BaseException], style: Any = None) -> Any:
        """The words alone for a case that does not hold; a traceback for anything else."""
        if isinstance(excinfo.value, CaseFailed):
            return str(excinfo.value)
        return super().repr_failure(excinfo, style)

    def reportinfo(self) -> tuple[Path, int | None, str]:
        return self.path, None, f"case {self.name}"  # not the bare name: pytest would write its dots as "::"


def pytest_collect_file(file_path: Path, parent: pytest.Collector) -> CasesFile | None:
    """A cases file, known by its name and its schema line."""
    if file_path.name != _NAME:
        return None
    from xmlcheck.testing.cases import is_cases

    text = file_path.read_text(encoding="utf-8", errors="replace")
    return CasesFile.from_parent(parent, path=file_path) if is_cases(text) else None


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """Says so where the schema of the standard is not installed: the one assertion that is then left out."""
    ran = [report for name in ("passed", "failed") for report in terminalreporter.stats.get(name, ())]
    cases = sum(report.nodeid.partition("::")[0].endswith(_NAME) for report in ran)
    if not cases:
        return
    from xmlcheck.testing import xsd

    if not xsd.available():
        terminalreporter.write_line(f"{cases} cases without one assertion: {xsd.MISSING}", yellow=True)

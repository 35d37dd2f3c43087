"""What changed since the last export of a part: the last readable state of each, kept on disk, and the comparison with it."""

from __future__ import annotations

import hashlib
import json
import os
import zipfile
from pathlib import Path
from tempfile import TemporaryDirectory
from types import TracebackType

from xmlcheck.comparing import Comparison, compare_revisions, revision
from xmlcheck.comparing.revision import Revision
from xmlcheck.errors import WriteFailed, XmlcheckError
from xmlcheck.finding import Report
from xmlcheck.paths import Outcome
from xmlcheck.source import read_source

_SCORE, _REPORT = "score", "report"


class Previous:
    """The last readable export by path, packed, in a private temporary folder that goes when the `with` ends.

    with Previous() as previous:
        for outcome in watch(folder, previous=previous):
            comparison = previous.since(outcome)

    Memory does not grow with the number of exports. An export that could not be read takes no other's place, and one that was
    deleted keeps its place: many programs delete the old file before they write the new one.
    """

    def __init__(self) -> None:
        self._temporary = TemporaryDirectory(prefix="xmlcheck-", ignore_cleanup_errors=True)
        self.folder = Path(self._temporary.name)

    def __enter__(self) -> Previous:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self._temporary.cleanup()

    def note(self, path: Path) -> None:
        """Keeps a file that is there at the start, unchecked; what cannot be read is passed over. Raises WriteFailed."""
        try:
            source = read_source(path)
        except XmlcheckError:
            return
        self._keep(path, source.container or source.data, None)

    def since(self, outcome: Outcome) -> Comparison | None:
        """What changed from the last readable export of this path to this one, which takes its place.

        Findings are compared too where the last one was checked. None for the first export of a path, and for one without a
        report. Raises WriteFailed where the export cannot be kept, XmlcheckError where the comparison itself fails.
        """
        report, data = outcome.report, outcome.data
        if report is None or data is None:
            return None
        try:
            before = self._kept(outcome.path)
            if before is None:
                return None
            old, was = before
            return compare_revisions(old, revision(data, report.source.name), (was, report) if was is not None else None)
        except Exception as error:  # a fault of ours in one comparison; the others are still made
            told = f"{outcome.path}: could not be compared with the last export ({type(error).__name__}: {error})"
            raise XmlcheckError(f"{told}; please report it.") from error
        finally:
            self._keep(outcome.path, data, report)

    def _place(self, path: Path) -> Path:
        return self.folder / hashlib.sha256(os.fsencode(path)).hexdigest()

    def _keep(self, path: Path, data: bytes, report: Report | None) -> None:
        place = self._place(path)
        part = place.with_suffix(".part")
        try:
            with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as packed:
                packed.writestr(_SCORE, data)
                if report is not None:
                    packed.writestr(_REPORT, json.dumps(report.to_dict()))
            os.replace(part, place)
        except OSError as error:
            raise WriteFailed(
                f"{path}: cannot be kept for the next comparison ({error.strerror or error}); make room in {self.folder.parent}."
            ) from None

    def _kept(self, path: Path) -> tuple[Revision, Report | None] | None:
        """The last export and its report; None where there is none, or where it was cut short before it was ever checked."""
        try:
            with zipfile.ZipFile(self._place(path)) as packed:
                data = packed.read(_SCORE)
                report = Report.from_dict(json.loads(packed.read(_REPORT))) if _REPORT in packed.namelist() else None
        except FileNotFoundError:
            return None
        try:
            return revision(data, path.name), report
        except XmlcheckError:
            return None

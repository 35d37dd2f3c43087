"""Outputs on disk: their names, and writing them so that nothing is ever lost or left half done.

An input is never overwritten. A file that is already there is replaced only where it is an output of this tool that nobody
has edited since.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import secrets
import stat
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from xmlcheck import lexer
from xmlcheck.annotation import annotate
from xmlcheck.config import Marks
from xmlcheck.errors import BadConfig, Unreadable, WriteFailed, XmlcheckError
from xmlcheck.finding import SCHEMA, Report
from xmlcheck.output import json as findings_file
from xmlcheck.paths import STDIN, SUFFIXES, Found
from xmlcheck.source import read_source


@dataclass(frozen=True, slots=True)
class Target:
    """Where the outputs of one input go: a folder, and the name before `.checked.musicxml` and `.findings.json`."""

    folder: Path
    base: str

    def checked(self, packed: bool) -> Path:
        """The annotated file; packed: it is a zip."""
        return self.folder / f"{self.base}.checked{'.mxl' if packed else '.musicxml'}"

    @property
    def findings(self) -> Path:
        return self.folder / f"{self.base}.findings.json"

    @property
    def report(self) -> Path:
        """The report as a page."""
        return self.folder / f"{self.base}.report.html"

    def player(self, packed: bool) -> Path:
        """The player's copy."""
        return self.folder / f"{self.base}.player{'.mxl' if packed else '.musicxml'}"


def targets(found: Iterable[Found], out: Path | None) -> dict[Path, Target]:
    """The target of each input but standard input: beside it, or under `out`, which mirrors the folder it was found in.

    `cue.xml` gives `cue`, but `cue.xml` where the folder has another score `cue`. Raises BadConfig where two inputs meet.
    """
    result: dict[Path, Target] = {}
    taken: dict[tuple[str, str], Path] = {}
    listed: dict[Path, list[str]] = {}
    for item in found:
        if item.path == STDIN:
            continue
        parent = item.path.parent
        if parent not in listed:
            listed[parent] = [name for name in _listing(parent) if name.lower().endswith(SUFFIXES)]
        folder = parent if out is None else out / (parent.relative_to(item.root) if item.root is not None else "")
        target = Target(folder, _base(item.path.name, listed[parent]))
        key = (str(target.folder.resolve()), target.base.casefold())
        if key in taken:
            raise BadConfig(
                f"{taken[key]} and {item.path} would both be written to {target.findings}; "
                "give --out and the one folder that holds both, or check them one by one."
            )
        taken[key] = item.path
        result[item.path] = target
    return result


def _base(name: str, names: Iterable[str]) -> str:
    stem = _stem(name)
    return name if any(other != name and _stem(other).casefold() == stem.casefold() for other in names) else stem


def _stem(name: str) -> str:
    return name[: -len(Path(name).suffix)] if name.lower().endswith(SUFFIXES) else name


def _listing(folder: Path) -> list[str]:
    try:
        return os.listdir(folder)
    except OSError as error:
        raise Unreadable(f"{folder}: cannot be listed ({error.strerror}).") from None


def outputs(
    target: Target,
    report: Report,
    data: bytes,
    marks: Marks,
    named: frozenset[Path] = frozenset(),
    html: bool = False,
) -> tuple[Path, ...]:
    """Writes the annotated file and the findings file of one input; returns their paths.

    html: the report as a page too.

    named: resolved paths of the inputs named one by one, which may be annotated files themselves; an input found in a folder is
    none, so `replaceable` protects it. Raises WriteFailed, leaving nothing behind, and what `annotate` raises.
    """
    packed = report.source.container is not None
    checked, findings = target.checked(packed), target.findings
    files = {checked: annotate(data, report, marks), findings: findings_file.text(report).encode()}
    if html:
        from xmlcheck.output import html as pages  # templates and pictures are loaded for those who want them only

        files[target.report] = pages.make(report, pages.document_of(report, data, report.source.name)).encode()
    for path in files:
        if path.resolve() in named:
            raise WriteFailed(f"{path}: is an input of this run and is not overwritten; give --out another folder.")
        free(path, "give --out another folder")
    write(files)
    return tuple(files)


def free(path: Path, way_out: str) -> None:
    """Raises WriteFailed where something is at this path that is no untouched output of this tool. way_out: what else to do."""
    try:
        found = path.lstat()
    except FileNotFoundError:
        return
    except OSError as error:
        raise _failed(path, error) from None
    if stat.S_ISLNK(found.st_mode):
        raise WriteFailed(f"{path}: is a link, and outputs are not written through links; move it away, or {way_out}.")
    if not replaceable(path):
        raise WriteFailed(f"{path}: is there already and is no untouched output of this tool; move it away, or {way_out}.")


def replaceable(path: Path) -> bool:
    """Whether a file is an output of this tool that nobody has edited since."""
    try:
        if not path.is_file():
            return False
        if path.name.lower().endswith(".json"):
            content = json.loads(path.read_bytes())
            return isinstance(content, dict) and content.get("schema") == SCHEMA and "findings" in content
        if path.name.lower().endswith(".html"):
            from xmlcheck.output.html.render import own_untouched

            return own_untouched(path.read_bytes())
        source = read_source(path)
    except (OSError, ValueError, RecursionError, XmlcheckError):
        return False
    stripped = lexer.strip(source.data, source.encoding)
    return stripped.marks > 0 and hashlib.sha256(stripped.data).hexdigest() == stripped.recorded


def write(files: Mapping[Path, bytes]) -> None:
    """Writes files all or none: each to a temporary name in its folder, flushed to disk, then renamed.

    Makes missing folders. Raises WriteFailed with one sentence; then no temporary file is left and every file is as it was. A
    kill leaves each file whole, old or new, and perhaps hidden files `.xmlcheck-….part`, which no run takes for a score.
    """
    waiting: list[_Waiting] = []
    path = Path()
    try:
        for path, data in files.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            waiting.append(_Waiting(_temporary(path), path))
            _flushed(waiting[-1].temporary, data)
        for item in waiting:
            path = item.path
            item.keep()
            os.replace(item.temporary, path)
            item.renamed = True
    except BaseException as error:  # an interrupt too: nothing half done stays
        for item in waiting:
            item.undo()
        if isinstance(error, OSError):
            raise _failed(path, error) from None
        raise
    for item in waiting:
        item.forget()


def _failed(path: Path, error: OSError) -> WriteFailed:
    return WriteFailed(f"{path}: cannot be written ({error.strerror or error}); choose another folder.")


def _temporary(path: Path) -> Path:
    return path.parent / f".xmlcheck-{secrets.token_hex(6)}.part"


def _flushed(path: Path, data: bytes) -> None:
    """Writes a new file and sees its bytes on the disk."""
    with path.open("xb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())


@dataclass(slots=True)
class _Waiting:
    """One file on its way: its temporary name, its place, what was there before under another name, whether it has arrived."""

    temporary: Path
    path: Path
    before: Path | None = None
    renamed: bool = False

    def keep(self) -> None:
        """Gives what is there a second name: putting it back then needs no room on the disk."""
        if not self.path.exists():
            return
        before = _temporary(self.path)
        try:
            os.link(self.path, before)
        except OSError:  # a file system without links
            _flushed(before, self.path.read_bytes())
        self.before = before

    def undo(self) -> None:
        """Puts back what was there and takes the rest away."""
        with contextlib.suppress(OSError):
            if self.renamed and self.before is not None:
                os.replace(self.before, self.path)
            elif self.renamed:
                self.path.unlink()
        with contextlib.suppress(OSError):
            self.temporary.unlink(missing_ok=True)
        self.forget()

    def forget(self) -> None:
        if self.before is not None:
            with contextlib.suppress(OSError):
                self.before.unlink(missing_ok=True)

"""What is known of a watched folder: which exports are on their way, which states were told."""

from __future__ import annotations

import hashlib
import os
import stat
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from xmlcheck import paths as paths_of
from xmlcheck.errors import Unreadable
from xmlcheck.paths import SUFFIXES, Choices, Found, Outcome

Stamp = tuple[int, int, int]
"""Size, time of change in nanoseconds, and inode: an export renamed into place has a new inode."""


@dataclass(frozen=True, slots=True)
class Pace:
    """Seconds: how long a file must stand still, how long an unreadable one is waited for, how often the folder is swept.

    The figures are engineering choices; no source.
    """

    settle: float = 0.4
    patience: float = 5.0
    sweep: float = 3.0
    tick: float = 0.1


@dataclass(slots=True)
class _Pending:
    stamp: Stamp
    since: float
    tried: bool = False


@dataclass(slots=True)
class Watch:
    """What is known of the folder. done: stamp and sha256 of the last state that was told, by path."""

    folder: Path
    choices: Choices
    pace: Pace = field(default_factory=Pace)
    pending: dict[Path, _Pending] = field(default_factory=dict)
    done: dict[Path, tuple[Stamp, str]] = field(default_factory=dict)

    def begin(self, existing: bool) -> None:
        """Takes note of what is in the folder; with `existing` it is checked, else only what changes from now on."""
        for path in _scores(self.folder):
            stamp = _stamp(path)
            if stamp is not None and not existing:
                self.done[path] = (stamp, "")
            elif stamp is not None:
                self.pending[path] = _Pending(stamp, time.monotonic())

    def changed(self, paths: Iterable[Path]) -> None:
        """Notes files that may have changed."""
        for path in paths:
            if _candidate(path):
                self._look(path)

    def sweep(self) -> None:
        """Looks over the whole folder: new, changed and vanished files."""
        seen = set()
        for path in _scores(self.folder):
            seen.add(path)
            self._look(path)
        for path in [path for path in self.done if path not in seen]:
            del self.done[path]

    def _look(self, path: Path) -> None:
        stamp = _stamp(path)
        if stamp is None:
            self.pending.pop(path, None)
            return
        before = self.pending.get(path)
        if before is None and self.done.get(path, (None, ""))[0] == stamp:
            return
        if before is None or before.stamp != stamp:
            self.pending[path] = _Pending(stamp, time.monotonic())

    def ready(self, at_once: Callable[[], bool] = lambda: False) -> Iterator[Outcome]:
        """Checks what is complete by now; an unreadable file is told once its patience is over. at_once: begin no other file."""
        now = time.monotonic()
        for path in sorted(self.pending):
            if at_once():
                return
            item = self.pending[path]
            self._look(path)
            if self.pending.get(path) is not item or now - item.since < self.pace.settle:
                continue
            over = now - item.since >= self.pace.patience
            if item.tried and not over:
                continue
            outcome = self._check(path, item, over)
            if outcome is not None:
                yield outcome

    def _check(self, path: Path, item: _Pending, over: bool) -> Outcome | None:
        try:
            digest = hashlib.sha256(path.read_bytes()).hexdigest()
        except OSError:
            self.pending.pop(path, None)
            return None
        if self.done.get(path, (None, ""))[1] == digest:
            self._settle(path, item.stamp, digest)
            return None
        outcome = paths_of.outcome(Found(path, self.folder), self.choices)
        if _stamp(path) != item.stamp:
            return None  # it changed while it was read: the next look starts anew
        if isinstance(outcome.error, Unreadable) and not over:
            item.tried = True
            return None
        self._settle(path, item.stamp, digest)
        return outcome if outcome.skipped is None else None

    def _settle(self, path: Path, stamp: Stamp, digest: str) -> None:
        self.pending.pop(path, None)
        self.done[path] = (stamp, digest)


def _candidate(path: Path) -> bool:
    name = path.name.lower()
    return name.endswith(SUFFIXES) and not name.startswith(".") and ".checked." not in name and ".player." not in name


def _scores(folder: Path) -> Iterator[Path]:
    for place, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith((".", "__MACOSX")))
        for name in sorted(files):
            path = Path(place, name)
            if _candidate(path):
                yield path


def _stamp(path: Path) -> Stamp | None:
    try:
        found = path.stat()
    except OSError:
        return None
    if not stat.S_ISREG(found.st_mode):  # a FIFO would be waited for
        return None
    return found.st_size, found.st_mtime_ns, found.st_ino

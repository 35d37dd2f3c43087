"""A folder watched while a copyist exports: each export is checked once, when it is complete.

Complete means: size and time of change have stood still for `settle` seconds, the bytes read are those of one unchanged file,
and they can be read as a score. What cannot is given `patience` seconds from its last change before it is called unreadable.
The file system tells of changes; a look over the folder every `sweep` seconds finds what it did not tell (network drives).
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from pathlib import Path

from xmlcheck.errors import Unreadable, XmlcheckError
from xmlcheck.paths import Choices, Outcome
from xmlcheck.watch.previous import Previous
from xmlcheck.watch.state import Pace, Watch

__all__ = ["Pace", "Previous", "Watch", "watch"]


def watch(
    folder: Path,
    choices: Choices | None = None,
    *,
    stop: Callable[[], bool] = lambda: False,
    at_once: Callable[[], bool] = lambda: False,
    pace: Pace | None = None,
    existing: bool = False,
    polling: bool | None = None,
    previous: Previous | None = None,
) -> Iterator[Outcome]:
    """One outcome for each complete state of each score that appears or changes in the folder, until `stop` says so.

    existing: check what is there at the start too. polling: watch by looking instead of by the file system's word (None: as the
    file system allows). What is complete when `stop` says so is still checked; `at_once` ends that too, after the file in work.
    previous: takes note of the files that are left alone at the start, so that the first export can be held against them.
    Raises Unreadable where the folder is none, XmlcheckError where the extra `watch` is not installed.
    """
    if not folder.is_dir():
        raise Unreadable(f"{folder}: no such folder to watch.")
    pace = pace or Pace()
    state = Watch(folder, choices or Choices(), pace)
    state.begin(existing)
    if previous is not None:
        for path in state.done:
            previous.note(path)
    swept = time.monotonic()
    for changes in _changes(folder, pace, polling):
        state.changed(changes)
        if time.monotonic() - swept >= pace.sweep:
            state.sweep()
            swept = time.monotonic()
        yield from state.ready(at_once)
        if stop():
            state.sweep()
            if state.pending and not at_once():
                time.sleep(pace.settle)  # what the sweep has just found may have been complete for long
            yield from state.ready(at_once)
            return


def _changes(folder: Path, pace: Pace, polling: bool | None) -> Iterator[tuple[Path, ...]]:
    """Batches of changed paths, an empty one at least every tick."""
    try:
        import watchfiles
    except ImportError:
        raise XmlcheckError('Watching a folder needs the extra "watch": pip install "xmlcheck[watch]".') from None
    tick = round(pace.tick * 1000)
    roots = (folder.absolute(), folder.resolve())
    while True:
        try:
            batches = watchfiles.watch(
                roots[0],
                watch_filter=None,
                debounce=tick,
                step=min(50, tick),
                rust_timeout=tick,
                yield_on_timeout=True,
                raise_interrupt=False,
                force_polling=polling,
                ignore_permission_denied=True,
            )
            for batch in batches:
                yield tuple(path for _, name in batch if (path := _as_swept(Path(name), folder, roots)) is not None)
            return
        except (OSError, RuntimeError):  # the folder is away, a name is no text, no watch is to be had: sweep, and try again
            again = time.monotonic() + pace.sweep
            while time.monotonic() < again:
                time.sleep(pace.tick)
                yield ()


def _as_swept(path: Path, folder: Path, roots: tuple[Path, ...]) -> Path | None:
    """A path as the sweep spells it, so that a file has one name only, though the folder was given as a relative path or a link.

    None for what is not seen to be in the folder; the sweep finds it if it is.
    """
    return next((folder / path.relative_to(root) for root in roots if path.is_relative_to(root)), None)

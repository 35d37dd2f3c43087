"""Engraving in a child process: where a score ends it or holds it up, one picture is lost, and why is kept in words.

`with child():` gives one process to all drawings made within, started with the first and ended with the block.
"""

from __future__ import annotations

import json
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from contextvars import ContextVar

from xmlcheck.engrave_child import ABSENT, READY, receive, send

LIMIT = 10.0
"""Seconds for one drawing: a bar or two take some hundredths of one."""
START_LIMIT = 30.0
"""Seconds until a child is ready: a tenth of one as a rule, more from a cold or guarded disk."""
DEATHS = 3
"""Children lost in one block after which no more are started."""

_WORDS = "so the place is told in words."
STOPPED = f"The engraver stopped over this excerpt, {_WORDS}"
TOO_LONG = f"The engraver took too long over this excerpt, {_WORDS}"
GIVEN_UP = f"The engraver stopped over several excerpts before this one, {_WORDS}"
NOT_STARTED = f"The engraver could not be started, {_WORDS}"

_RUN = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[1])\n"
    "from xmlcheck import engrave_child; engrave_child.main(float(sys.argv[2]))"
)
"""Finds modules where this process does, and not in the working folder (-P), where anything may lie beside a score."""


class Lost(Exception):
    """No drawing of this score was to be had; the text says why, for the page."""


class Child:
    """The process, its deaths, and what was lost by them: the reason by the score's bytes."""

    def __init__(self) -> None:
        self.lost: dict[bytes, str] = {}
        self._process: subprocess.Popen[bytes] | None = None
        self._deaths = 0
        self._absent = self._refused = False
        self._lock = threading.Lock()

    def draw(self, data: bytes) -> str:
        """The score as SVG, empty where verovio cannot read it or is not there; raises Lost. What was lost is not tried again."""
        with self._lock:
            try:
                if data in self.lost:
                    raise Lost(self.lost[data])
                return self._drawn(data)
            except Lost as lost:
                self.lost[data] = str(lost)
                raise

    def close(self) -> None:
        """Ends the process, whatever it does, and waits for its end."""
        process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        for pipe in (process.stdin, process.stdout):
            if pipe is not None:
                with suppress(OSError):  # what was not yet written has no reader
                    pipe.close()
        process.wait()

    def _drawn(self, data: bytes) -> str:
        if self._process is not None and self._process.poll() is not None:
            self.close()  # ended from outside while it had nothing to do: no score's fault
        if self._process is None and not self._absent:
            self._start()
        if self._absent:
            return ""
        began = time.monotonic()
        answer = self._answer(data)
        if answer is None:
            self.close()
            self._deaths += 1
            raise Lost(TOO_LONG if time.monotonic() - began >= LIMIT else STOPPED)
        return answer.decode("utf-8")

    def _start(self) -> None:
        if self._refused:
            raise Lost(NOT_STARTED)
        if self._deaths >= DEATHS:
            raise Lost(GIVEN_UP)
        greeting = None
        with suppress(OSError):
            if not getattr(sys, "frozen", False):  # else `executable` is no interpreter, but the program over again
                self._process = process = _popen()
                timer = threading.Timer(START_LIMIT, process.kill)
                timer.daemon = True
                timer.start()
                greeting = self._answer(None)
                timer.cancel()
        if greeting != READY:
            self.close()
            self._absent = greeting == ABSENT
            self._refused = not self._absent
            if self._refused:
                raise Lost(NOT_STARTED)

    def _answer(self, score: bytes | None) -> bytes | None:
        """What the child says to a score, or of itself when it has started; None where it has ended."""
        process = self._process
        if process is None or process.stdin is None or process.stdout is None:
            return None
        try:
            if score is not None:
                send(process.stdin, score)
            return receive(process.stdout)
        except OSError:  # it ended before it had read the score
            return None
        except BaseException:
            self.close()  # interrupted: an answer that comes late is not to be taken for the next one's
            raise


def _popen() -> subprocess.Popen[bytes]:
    paths = json.dumps([path for path in sys.path if isinstance(path, str)])
    return subprocess.Popen(
        [sys.executable or "", "-I" if sys.flags.isolated else "-P", "-c", _RUN, paths, str(LIMIT)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
    )


_OPEN: ContextVar[Child | None] = ContextVar("engraver", default=None)


@contextmanager
def child() -> Iterator[Child]:
    """The child of the block around, or one for this block, which is gone after it."""
    around = _OPEN.get()
    if around is not None:
        yield around
        return
    made = Child()
    token = _OPEN.set(made)
    try:
        yield made
    finally:
        _OPEN.reset(token)
        made.close()

"""Bounds on time and memory for one input."""

from __future__ import annotations

import os
import resource
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType

SECONDS, FOR_A_MEGABYTE = 10.0, 5.0
"""Processor seconds for one input and for each megabyte of its score, its whole examination included: seven checks or so, two
comparisons, and more. Other programs' time does not count."""

ROOM = 1 << 30
"""Bytes that a fuzzing process may take beyond those at its start: an input of a few hundred kilobytes must never need them."""


class Hung(BaseException):
    """An input took longer than SECONDS. Not an Exception, so that nothing on the way takes it for a rule's fault."""


@contextmanager
def time_bound(seconds: float = SECONDS) -> Iterator[None]:
    """Raises Hung where the block takes more processor time. For the main thread."""

    def late(number: int, frame: FrameType | None) -> None:
        raise Hung(f"over {seconds:g} s of processor time")

    before = signal.signal(signal.SIGPROF, late)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def memory_bound(room: int = ROOM) -> None:
    """Lets this process take so many bytes more than it has now; then Python raises MemoryError. Holds for good."""
    now = _status("VmSize")
    _, hard = resource.getrlimit(resource.RLIMIT_AS)
    resource.setrlimit(resource.RLIMIT_AS, (now + room, hard))


def peak_growth(work: Callable[[], object]) -> int:
    """Bytes by which the peak of resident memory grows while a child process does this. Linux only: /proc.

    The child is a copy of this process, so that modules and plugins loaded before do not count.
    """
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        answer = "0"
        try:
            with open("/proc/self/clear_refs", "w") as file:
                file.write("5")  # the peak starts anew
            before = _status("VmRSS")
            work()
            answer = str(_status("VmHWM") - before)
        finally:
            os.write(writing, answer.encode())
            os._exit(0)
    os.close(writing)
    with os.fdopen(reading) as pipe:
        answer = pipe.read()
    os.waitpid(child, 0)
    return int(answer)


def _status(key: str) -> int:
    with open("/proc/self/status") as file:
        line = next(line for line in file if line.startswith(key))
    return int(line.split()[1]) * 1024

"""The process that engraves: reads scores from standard input and answers each with its SVG. Nothing but verovio runs in it.

A library written in C++ can end the whole process over one odd score; here that costs one picture. Started by
`xmlcheck.engrave_apart`. A frame is a length of four bytes, most significant first, and so many bytes.
"""

from __future__ import annotations

import faulthandler
import os
import signal
import struct
import sys
from typing import IO, Any

READY, ABSENT = b"ready", b"absent"
"""The first frame from the child: whether verovio is there."""
_LENGTH = struct.Struct(">I")


def send(pipe: IO[bytes], data: bytes) -> None:
    """Writes one frame; OSError where nobody reads any more."""
    pipe.write(_LENGTH.pack(len(data)) + data)
    pipe.flush()


def receive(pipe: IO[bytes]) -> bytes | None:
    """Reads one frame, waiting for it; None where the other side has ended."""
    head = pipe.read(_LENGTH.size)
    if len(head) < _LENGTH.size:
        return None
    (length,) = _LENGTH.unpack(head)
    data = pipe.read(length)
    return data if len(data) == length else None


def main(limit: float) -> None:
    """Answers every score until there are no more: with its SVG, or with nothing where verovio cannot read it.

    limit: seconds for one drawing; after them the process ends by itself, so that it does too when nobody waits for it any more.
    """
    signal.signal(signal.SIGINT, signal.SIG_DFL)  # an interrupt ends it at once, in the midst of a drawing too
    _leave_no_core()
    source, sink, nowhere = os.fdopen(0, "rb"), os.fdopen(os.dup(1), "wb"), os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)  # what the library may print is no part of an answer
    toolkit = _toolkit()
    send(sink, ABSENT if toolkit is None else READY)
    while toolkit is not None and (data := receive(source)) is not None:
        faulthandler.dump_traceback_later(limit, exit=True, file=nowhere)  # a thread of C: it needs no turn from the library
        svg = toolkit.renderToSVG(1) if toolkit.loadData(data.decode("utf-8")) else ""
        faulthandler.cancel_dump_traceback_later()
        send(sink, svg.encode("utf-8"))


def _leave_no_core() -> None:
    """A crash is expected here, and writes no memory image to the disk."""
    if sys.platform != "win32":
        import resource

        resource.setrlimit(resource.RLIMIT_CORE, (0, resource.getrlimit(resource.RLIMIT_CORE)[1]))


def _toolkit() -> Any:
    try:
        import verovio
    except ImportError:
        return None
    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    toolkit.setOptions(
        {
            "adjustPageHeight": True,
            "adjustPageWidth": True,
            "breaks": "none",
            "footer": "none",
            "header": "none",
            "mnumInterval": 1,
            "pageMarginBottom": 30,
            "pageMarginLeft": 30,
            "pageMarginRight": 30,
            "pageMarginTop": 0,
            "pageWidth": 60000,
            "smuflTextFont": "none",
            "svgFormatRaw": True,
            "svgRemoveXlink": True,
            "xmlIdSeed": 1,
        }
    )
    return toolkit

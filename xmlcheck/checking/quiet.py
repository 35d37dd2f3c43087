"""What rules print is heard and not shown: it would stand in the middle of a table, or make JSON that nobody can read."""

from __future__ import annotations

import sys
import threading
from typing import Any

SHOWN = 80
"""Characters kept of what was printed."""
_lock = threading.Lock()
_listeners: dict[int, Quiet] = {}
"""By thread: a program that uses this one as a library goes on printing from its other threads."""
_real: list[tuple[Any, Any]] = []


class Quiet:
    """Listens to the thread that begins it. who: whoever runs at the moment. heard: characters and their beginning, by who."""

    def __init__(self) -> None:
        self.who = ""
        self.heard: dict[str, tuple[int, str]] = {}

    def begin(self) -> None:
        """From here on nothing that this thread prints is shown."""
        with _lock:
            if not _listeners:
                _real[:] = [(sys.stdout, _Stream(sys.stdout)), (sys.stderr, _Stream(sys.stderr))]
                sys.stdout, sys.stderr = _real[0][1], _real[1][1]
            _listeners[threading.get_ident()] = self

    def end(self) -> None:
        """What this thread prints is shown again."""
        with _lock:
            _listeners.pop(threading.get_ident(), None)
            if not _listeners:
                (out, our_out), (err, our_err) = _real
                sys.stdout = out if sys.stdout is our_out else sys.stdout  # somebody may have put theirs in its place
                sys.stderr = err if sys.stderr is our_err else sys.stderr

    def hear(self, text: str) -> int:
        """Notes what was printed."""
        count, begins = self.heard.get(self.who, (0, ""))
        self.heard[self.who] = count + len(text), (begins + text)[:SHOWN]
        return len(text)


class _Stream:
    """A stream in the place of another: threads that are listened to write to their listener, all else goes on to it."""

    def __init__(self, real: Any) -> None:
        self._real = real

    def __getattr__(self, name: str) -> Any:
        return getattr(self._real, name)

    def write(self, text: Any) -> int:
        listener = _listeners.get(threading.get_ident())
        if listener is not None:
            return listener.hear(text if isinstance(text, str) else bytes(text).decode("utf-8", "replace"))
        return int(self._real.write(text)) if self._real is not None else len(text)

    def writelines(self, lines: Any) -> None:
        for line in lines:
            self.write(line)

    @property
    def buffer(self) -> Any:
        return _Stream(self._real.buffer)

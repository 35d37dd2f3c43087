"""Lets Python's search for circular garbage rest while many small values are made that are kept anyway."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collector_at_rest() -> Iterator[None]:
    """No search for circular garbage inside, which a score's frozen values cannot form; reference counts free as ever.

    A score of many notes would be searched again and again while it grows. Where several threads overlap, the first one to
    leave lets the collector run again: slower, not wrong.
    """
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()

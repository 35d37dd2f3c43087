"""Rules kept to themselves: what one does wrong is blamed on it by name, and the findings of all others stay as they are.

A rule that raises anything, takes too long, gives what is no hit, gives hits without end or prints, is left out where it did so.
A watchdog thread looks on while rules run and throws an exception into the thread of one that is over its time. It costs two
numbers and a lock for each question that a rule is asked. What it cannot end: a single call into C that does not come back (a
sleep, a read, one huge multiplication), and a rule that catches everything, BaseException too, again and again. What cannot be
seen: a rule that writes into frozen values past their guard (`object.__setattr__`), or to the file descriptors themselves.
"""

from __future__ import annotations

import dis
import threading
from collections.abc import Callable, Mapping
from contextlib import suppress
from time import monotonic
from types import TracebackType
from typing import Any

from xmlcheck.checking.ask import Desk, Unanswered
from xmlcheck.checking.hits import Nonsense, Reach
from xmlcheck.checking.quiet import Quiet
from xmlcheck.errors import BadConfig, BadPlugin, harmless
from xmlcheck.finding import Plan
from xmlcheck.model import Score
from xmlcheck.rule import Hit, Rule

SECONDS = 60.0
"""Time limit for one rule on one chair; rules take well under a second on a part of 100,000 notes. An engineering choice."""
TIME_LIMIT = "time_limit"
"""The setting of any rule that gives it another limit, in seconds."""
TICK = 0.25
MOST, MOST_BY_NOTE = 10_000, 10
"""Hits of one rule on one chair: so many, and so many for each note of the score. More is a rule without an end."""
_LONGEST = 300


class TooLong(BaseException):
    """Thrown into a rule that is over its time. No Exception, so that a rule's own `except Exception` does not catch it."""


class Guard:
    """Asks rules for their hits. Enter it once for a run of rules; `notices` gets the blame.

    seconds: the time limit where a rule's settings give none.
    """

    def __init__(self, score: Score, notices: list[str], seconds: float = SECONDS) -> None:
        self._notices, self._seconds = notices, seconds
        self._reach = Reach(score)
        self._most = MOST + MOST_BY_NOTE * sum(len(part.notes) for part in score.parts)
        self._thread = threading.get_ident()
        self._lock, self._over = threading.Lock(), threading.Event()
        self._since, self._limit, self._struck = 0.0, seconds, False
        self._out: set[str] = set()
        self._quiet = Quiet()

    def __enter__(self) -> Guard:
        self._quiet.begin()
        self._dog = threading.Thread(target=self._watch, name="xmlcheck time limit", daemon=True)
        with suppress(RuntimeError):  # no more threads to be had: then without a limit
            self._dog.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._over.set()
        self._quiet.end()
        for rule, (count, text) in self._quiet.heard.items():
            self._notices.append(f"Rule {rule} printed {count} characters, not shown here: {harmless(text)}")

    def hits(self, rule: Rule, desk: Desk | None, arguments: Callable[[], Mapping[str, Any]], limit: Any) -> list[Hit | Plan]:
        """All that a rule says of a chair (None: the whole score); nothing where it fails. limit: seconds, None for the usual.

        Raises ask.Unanswered, BadConfig for a limit that is none, and KeyboardInterrupt where a user asks for the end.
        """
        if rule.id in self._out:
            return []
        seconds = self._seconds if limit is None else _seconds(rule, limit)
        found: list[Hit | Plan] = []
        part = desk.chair.part if desk is not None else None
        try:
            self._begin(rule, seconds)
            try:
                answers = rule.check(**arguments())
                try:
                    for hit in answers:
                        self._reach.check(hit, part)
                        found.append(hit)
                        if len(found) > self._most:
                            raise Nonsense(f"it gave more than {self._most} hits")
                finally:
                    if hasattr(answers, "close"):
                        answers.close()
            finally:
                self._end()
        except Unanswered:
            self._end()
            raise
        except BaseException as error:
            self._end()  # a strike may have come within the first
            if isinstance(error, KeyboardInterrupt) and not _on_purpose(error):
                raise
            self._blame(rule, desk, error, seconds)
            return []
        return found

    def _begin(self, rule: Rule, seconds: float) -> None:
        self._quiet.who = f"{rule.id} of {rule.card.plugin}"
        self._limit = seconds
        self._since = monotonic()

    def _end(self) -> None:
        """After this no strike comes, and one that was on its way is taken back."""
        with self._lock:
            self._since = 0.0
            struck, self._struck = self._struck, False
        if struck:
            _throw(self._thread, None)

    def _watch(self) -> None:
        while not self._over.wait(min(TICK, self._limit)):
            with self._lock:
                if self._since and monotonic() - self._since > self._limit:
                    self._struck = True
                    _throw(self._thread, TooLong)

    def _blame(self, rule: Rule, desk: Desk | None, error: BaseException, seconds: float) -> None:
        where = f"part {desk.chair.part.id}" if desk is not None else "the whole score"
        if isinstance(error, TooLong):
            self._out.add(rule.id)
            cause = f"it took more than {seconds:g} seconds; it is not asked again in this file"
        elif isinstance(error, Nonsense):
            cause = str(error)
        else:
            cause = told(error)
        notes = "".join(f" ({note})" for note in getattr(error, "__notes__", ()))
        self._notices.append(f"Rule {rule.id} of {rule.card.plugin} failed on {where} and is left out there: {cause}{notes}")


def _seconds(rule: Rule, limit: Any) -> float:
    if isinstance(limit, bool) or not isinstance(limit, (int, float)) or not limit > 0:
        raise BadConfig(f'settings."{rule.id}".{TIME_LIMIT}: expected seconds above 0, found {limit!r}.')
    return min(float(limit), threading.TIMEOUT_MAX)


def told(error: BaseException) -> str:
    """An exception in one line: its kind, and its own text as far as it has one."""
    try:
        text = str(error)
    except Exception:  # an exception whose text fails, too
        text = "it has no text"
    text = harmless(text if len(text) <= _LONGEST else text[:_LONGEST] + "…")
    return text if isinstance(error, BadPlugin) else f"{type(error).__name__}: {text}"


def _throw(thread: int, kind: type[BaseException] | None) -> None:
    """Sets (None: takes back) an exception that a thread meets at its next step. Elsewhere than in CPython: nothing."""
    import ctypes  # loaded for those that are over their time only

    with suppress(AttributeError):
        ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(thread), ctypes.py_object(kind) if kind else None)


def _on_purpose(error: BaseException) -> bool:
    """Whether an exception was raised by a `raise` in Python, not by a signal: then it is the rule's, not the user's."""
    trace: TracebackType | None = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    return trace is not None and trace.tb_frame.f_code.co_code[trace.tb_lasti] == dis.opmap["RAISE_VARARGS"]

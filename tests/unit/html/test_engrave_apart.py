"""The engraver in its own process: a score that ends it or holds it up costs one picture, and nothing is left running.

The deaths are made here: the command that starts the child is given a toolkit that does what the score's text says. One score
is real: it is valid by the standard (staff-size is a non-negative decimal, MusicXML 4.0), and verovio 6.4.1 divides by it.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO, Any

import pytest

from xmlcheck import engrave, engrave_apart
from xmlcheck.engrave_apart import GIVEN_UP, NOT_STARTED, STOPPED, TOO_LONG, Child, Lost, child
from xmlcheck.engrave_child import receive
from xmlcheck.excerpt import Excerpt

verovio = pytest.mark.skipif(not engrave.available(), reason="verovio is not installed (extra: report)")
posix = pytest.mark.skipif(sys.platform == "win32", reason="asks for a process by signal 0, which ends it on Windows")

TOLD_WHAT_TO_DO = """
import json, sys; sys.path[:] = json.loads(sys.argv[1])
import os, signal
from xmlcheck import engrave_child
class Toolkit:
    def loadData(self, text):
        self.text = text
        return text != "unreadable"
    def renderToSVG(self, page):
        if "die" in self.text:
            os.kill(os.getpid(), signal.SIGFPE)
        while "hang" in self.text:
            pass
        if "fault" in self.text:
            raise ValueError(self.text)
        if "noise" in self.text:
            os.write(1, b"a message")
            print("another", flush=True)
        return f"{self.text} {os.getpid()}"
engrave_child._toolkit = Toolkit
engrave_child.main(float(sys.argv[2]))
"""
Started = list[int]


@pytest.fixture
def started(monkeypatch: pytest.MonkeyPatch) -> Iterator[Started]:
    """Process ids of the children that were started, which do as they are told; none runs after the test."""
    ids: Started = []
    popen = engrave_apart._popen

    def kept() -> subprocess.Popen[bytes]:
        process = popen()
        ids.append(process.pid)
        return process

    monkeypatch.setattr(engrave_apart, "_popen", kept)
    monkeypatch.setattr(engrave_apart, "_RUN", TOLD_WHAT_TO_DO)
    yield ids
    assert sys.platform == "win32" or not any(map(there, ids)), "no child is left, nor its entry in the table of processes"


def there(pid: int) -> bool:
    """Whether a process is there, be it only as an entry that nobody has asked for."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def soon(happened: Callable[[], bool]) -> bool:
    end = time.monotonic() + 20
    while not happened() and time.monotonic() < end:
        time.sleep(0.02)
    return happened()


def why(engraver: Child, score: bytes) -> str:
    with pytest.raises(Lost) as lost:
        engraver.draw(score)
    assert engraver.lost[score] == str(lost.value)
    return str(lost.value)


def pid_of(answer: str) -> int:
    return int(answer.split()[-1])


def test_one_child_for_all_drawings_within_and_none_without_a_drawing(started: Started) -> None:
    with child():
        pass
    assert started == []
    with child() as outer:
        first = outer.draw(b"one")
        with child() as inner:
            assert inner is outer
            second = inner.draw("zwei, drüben".encode())
        third = outer.draw(b"three" * 100_000)
    assert first.startswith("one ")
    assert second.startswith("zwei, drüben ")
    assert third.startswith("three" * 100_000)
    assert [pid_of(answer) for answer in (first, second, third)] == started * 3
    assert len(started) == 1
    with child() as after:
        assert after is not outer


def test_a_score_that_cannot_be_read_is_nothing_to_draw(started: Started) -> None:
    with child() as engraver:
        assert engraver.draw(b"unreadable") == ""
        assert engraver.lost == {}


@pytest.mark.parametrize("deadly", [b"die", b"fault", b"not UTF-8: \xff"])
def test_a_death_costs_one_picture(started: Started, deadly: bytes) -> None:
    with child() as engraver:
        before = pid_of(engraver.draw(b"good"))
        assert why(engraver, deadly) == STOPPED
        assert why(engraver, deadly) == STOPPED, "the same score is not tried again"
        after = pid_of(engraver.draw(b"good"))
    assert started == [before, after]
    assert before != after


def test_after_a_few_deaths_no_more_are_tried(started: Started) -> None:
    with child() as engraver:
        said = [why(engraver, f"die {number}".encode()) for number in range(5)]
        assert why(engraver, b"good") == GIVEN_UP
    assert said == [STOPPED] * engrave_apart.DEATHS + [GIVEN_UP] * 2
    assert len(started) == engrave_apart.DEATHS == 3
    with child() as engraver:
        assert engraver.draw(b"good"), "the next page begins anew"


def test_a_drawing_that_takes_too_long_costs_one_picture(started: Started, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engrave_apart, "LIMIT", 0.5)
    with child() as engraver:
        engraver.draw(b"good")
        start = time.monotonic()
        assert why(engraver, b"hang") == TOO_LONG
        assert 0.5 <= time.monotonic() - start < 5
        assert engraver.draw(b"good")
        time.sleep(0.6)
        assert engraver.draw(b"good"), "the limit is that of a drawing, not of the child"
    assert len(started) == 2


def test_what_the_engraver_prints_is_no_part_of_an_answer(started: Started) -> None:
    with child() as engraver:
        assert engraver.draw(b"noise") == f"noise {started[0]}"
        assert engraver.draw(b"quiet") == f"quiet {started[0]}"


@posix
def test_a_child_ended_from_outside_between_two_drawings_costs_none(started: Started) -> None:
    with child() as engraver:
        engraver.draw(b"good")
        os.kill(started[0], signal.SIGKILL)
        process = engraver._process
        assert process is not None
        assert soon(lambda: process.poll() is not None)
        assert engraver.draw(b"good")
        assert engraver.lost == {}
    assert len(started) == 2


def test_an_interrupt_leaves_no_answer_for_the_next_drawing(started: Started, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(_: IO[bytes]) -> bytes | None:
        monkeypatch.setattr("xmlcheck.engrave_apart.receive", receive)
        raise KeyboardInterrupt

    with child() as engraver:
        engraver.draw(b"first")
        monkeypatch.setattr("xmlcheck.engrave_apart.receive", interrupted)
        with pytest.raises(KeyboardInterrupt):
            engraver.draw(b"interrupted")
        assert engraver.draw(b"last").startswith("last ")


@pytest.mark.parametrize("run", ["pass", "import time; time.sleep(1000)", "print('no frame at all' * 3)"])
def test_what_never_gets_ready_is_not_started_again(started: Started, monkeypatch: pytest.MonkeyPatch, run: str) -> None:
    monkeypatch.setattr(engrave_apart, "_RUN", run)
    monkeypatch.setattr(engrave_apart, "START_LIMIT", 1.0)
    with child() as engraver:
        assert [why(engraver, b"one"), why(engraver, b"two")] == [NOT_STARTED] * 2
    assert len(started) == 1


@pytest.mark.parametrize(("name", "value"), [("executable", ""), ("executable", "no/such/python"), ("frozen", True)])
def test_without_an_interpreter_nothing_is_started(
    started: Started, monkeypatch: pytest.MonkeyPatch, name: str, value: Any
) -> None:
    monkeypatch.setattr(sys, name, value, raising=False)
    with child() as engraver:
        assert why(engraver, b"one") == NOT_STARTED
    assert started == []


def test_without_verovio_there_is_nothing_to_draw_and_nothing_is_lost(
    started: Started, monkeypatch: pytest.MonkeyPatch
) -> None:
    absent = TOLD_WHAT_TO_DO.replace("engrave_child._toolkit = Toolkit", "engrave_child._toolkit = lambda: None")
    monkeypatch.setattr(engrave_apart, "_RUN", absent)
    with child() as engraver:
        assert [engraver.draw(b"one"), engraver.draw(b"two")] == ["", ""]
        assert engraver.lost == {}
    assert len(started) == 1


PROGRAM = f"""
from xmlcheck import engrave_apart
engrave_apart._RUN = {TOLD_WHAT_TO_DO!r}
engrave_apart.LIMIT = 4.0
with engrave_apart.child() as engraver:
    print(engraver.draw(b"good"), flush=True)
    engraver.draw(b"hang")
"""
"""Not guarded by `if __name__ == "__main__"`: it would start itself over where a child began with its parent's program."""


@posix
@pytest.mark.parametrize("sign", [signal.SIGINT, signal.SIGTERM, getattr(signal, "SIGKILL", signal.SIGTERM)])
def test_nothing_is_left_when_the_parent_is_interrupted_in_a_drawing(tmp_path: Path, sign: signal.Signals) -> None:
    """At once by an interrupt, else when the drawing's time is over."""
    script = tmp_path / "program.py"
    script.write_text(PROGRAM, encoding="utf-8")
    path = os.pathsep.join(path for path in sys.path if path)
    with subprocess.Popen(
        [sys.executable, str(script)], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env={**os.environ, "PYTHONPATH": path}
    ) as parent:
        assert parent.stdout is not None
        pid = pid_of(parent.stdout.readline().decode())
        assert there(pid)
        time.sleep(0.2)
        parent.send_signal(sign)
        parent.wait(20)
        if sign == signal.SIGINT:
            assert not there(pid)
        assert parent.stdout.read() == b"", "the program ran once"
    assert soon(lambda: not running(pid))


def running(pid: int) -> bool:
    """Whether it runs still; an orphan that has ended waits for whoever took it over."""
    state = Path(f"/proc/{pid}/stat")
    if not there(pid) or not Path("/proc/self/stat").exists():
        return there(pid)
    return state.exists() and state.read_text().rpartition(")")[2].split()[0] != "Z"


SCORE = """<score-partwise version="4.0"><part-list><score-part id="P1"><part-name/></score-part></part-list><part id="P1">
<measure number="1"><attributes><divisions>2</divisions><staff-details><staff-size>{size}</staff-size></staff-details></attributes>
<note id="a1"><pitch><step>C</step><octave>5</octave></pitch><duration>3</duration><type>quarter</type><dot/></note></measure></part>
</score-partwise>"""


def excerpt(size: str) -> Excerpt:
    return Excerpt(SCORE.format(size=size).encode(), frozenset({"a1"}), ("1",))


@verovio
def test_a_valid_score_that_ends_the_engraver() -> None:
    """Found by fuzzing: a staff of no size, and a dot. Where a later verovio draws it there is a picture."""
    engrave._drawn.cache_clear()
    with engrave.child():
        odd = engrave.picture(excerpt("0"), (), "odd")
        assert (engrave.lost(excerpt("0")) == STOPPED) if odd is None else (engrave.lost(excerpt("0")) == "")
        shown = engrave.picture(excerpt("100"), (), "plain")
        assert shown is not None
        assert 'data-note="a1"' in shown.svg
        assert engrave.lost(excerpt("100")) == ""
    assert engrave.lost(excerpt("0")) == "", "known within the block"


@verovio
def test_a_picture_alone_has_a_child_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    engrave._drawn.cache_clear()
    made: list[Child] = []
    close = Child.close

    def kept(self: Child) -> None:
        made.append(self)
        close(self)

    monkeypatch.setattr(Child, "close", kept)
    assert engrave.picture(excerpt("100"), (), "plain") is not None
    assert len(made) == 1
    assert made[0]._process is None


@verovio
def test_nothing_in_the_working_folder_is_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Scores lie in folders of anybody's making: a module there must not stand in for the library, or for Python's own."""
    for name in ("verovio", "json", "xmlcheck", "struct"):
        (tmp_path / f"{name}.py").write_text("open('ran', 'w').close()\nraise SystemExit\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "path", [path for path in sys.path if path])
    engrave._drawn.cache_clear()
    assert engrave.picture(excerpt("100"), (), "plain") is not None
    assert not (tmp_path / "ran").exists()


def test_the_engraver_is_not_loaded_here() -> None:
    code = (
        "import sys\nfrom xmlcheck import engrave\nengrave.clefs()\n"
        "print(engrave.available(), [name for name in sys.modules if 'verovio' in name])\n"
    )
    path = os.pathsep.join(path for path in sys.path if path)
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env={**os.environ, "PYTHONPATH": path}
    )
    assert done.stdout.split() == [str(engrave.available()), "[]"]

"""Rows: names and ids. What a file says of itself is shown harmlessly on a terminal and in a page, and never used as a path.

Signs that steer: the control characters C0 and C1 (ISO 6429) and the Unicode signs that turn the direction of writing; XML 1.0
allows C1 in texts, so an escape sequence can open with U+009B.
"""

from __future__ import annotations

from pathlib import Path

from tests.hostile.row import Row, bar, named, score

GOOD = score()
CSI, OSC, TURN, BELL = "\x9b31m", "\x9d0;lamp\x9c", "\u202e", "\x07"
SCRIPT = "&lt;script>alert(1)&lt;/script>&lt;img src=x onerror=alert(1)>"
PART = '<score-part id="{0}"><part-name>{1}</part-name></score-part>'


def _part(id: str, name: str = "Violin") -> bytes:
    return score(listed=PART.format(id, name)).replace(b'<part id="P1"', f'<part id="{id}"'.encode())


def _long_path(folder: Path) -> Path:
    """A path of over 4,096 bytes, the limit of Linux; nothing can be there."""
    return folder.joinpath(*(["lamp" * 50] * 25), "cue.musicxml")


def _output_too_long(folder: Path) -> Path:
    """A name of 255 bytes, the limit of most file systems: it can be read, but names of outputs are longer."""
    return named("x" * 246 + ".musicxml", GOOD)(folder)


NAMES = (
    Row("a part without an id", GOOD.replace(b'<part id="P1">', b"<part>"), "checked", "no id"),
    Row("a listed part without an id", GOOD.replace(b'<score-part id="P1">', b"<score-part>"), "checked", "not in the part-list"),
    Row("no part-list", GOOD.replace(b"part-list", b"part-lost"), "checked", "not in the part-list"),
    Row("a root without content", b"<score-partwise/>", "checked"),
    Row("a part without bars", score().split(b"<measure")[0] + b"</part></score-partwise>", "checked"),
    Row("bars without numbers", GOOD.replace(b' number="1"', b""), "checked"),
    Row("two parts of one id", score(bars=f'</part><part id="P1">{bar(number=1)}'), "checked"),
    Row("two listed parts of one id", score(listed=PART.format("P1", "Violin") + PART.format("P1", "Viola")), "checked"),
    Row("an id of markup", _part("P&lt;b>&amp;&quot;&apos;"), "checked"),
    Row("an id like a path", _part("../../../etc/hostname"), "checked"),
    Row("an empty id", _part(""), "checked"),
    Row("an id of 100,000 letters", _part("P" * 100_000), "checked"),
    Row("an id with signs that steer", _part(f"P{CSI}{TURN}"), "checked", "", CSI),
    Row("braces and percent signs in names", _part("P{0}%s{label}", "{message} %(x)s {0.__class__}"), "checked"),
    Row("a title with an escape sequence (U+009B)", score(title=f"Lamp{CSI}"), "checked", "", CSI),
    Row("a part name with escape sequences and turned signs", _part("P1", f"Violin{CSI}{OSC}{TURN}"), "checked", "", CSI),
    Row("words with escape sequences", score(
        first=f"<direction><direction-type><words>arco{CSI} pizz.{OSC}</words></direction-type></direction>"), "checked", "", CSI),
    Row("a bar number with an escape sequence", score(bars=bar(number=f"2{CSI}").replace("<octave>4", "<octave>1")),
        "checked", "", CSI),
    Row("a script in title, part name and bar number", score(
        title=SCRIPT, listed=PART.format("P1", f"Violin {SCRIPT}"),
        bars=bar(number=SCRIPT.replace('"', "")).replace("<octave>4", "<octave>1")), "checked"),
    Row("a note value that is text with an escape sequence", score(duration=f"4{CSI}"), "checked", "", CSI),
    Row("1,000 combining marks on one letter", score(title="a" + "\u0301" * 1000), "checked"),
    Row("a file name with an escape sequence", named("cue\x1b[31m\x1b]0;lamp\x07.musicxml", GOOD), "checked"),
    Row("a file name with an escape sequence, refused", named("cue\x1b[31m\x1b]0;lamp\x07.musicxml", b"lamp"), "refused",
        "is not XML"),
    Row("a file name with a new line", named("cue\nxmlcheck: all is well.musicxml", GOOD), "checked"),
    Row("a file name with a new line, refused", named("cue\nxmlcheck: all is well.musicxml", b""), "refused", "is empty"),
    Row("a file name that is not UTF-8", named(b"cue\xff\xfe.musicxml", GOOD), "checked"),
    Row("a file name that is not UTF-8, refused", named(b"cue\xff\xfe.musicxml", b""), "refused", "is empty"),
    Row("a file name that turns the direction", named(f"cue{TURN}lmxcisum.musicxml", GOOD), "checked"),
    Row("a file name of markup and quotes", named("<b>&\"'cue.musicxml", GOOD), "checked"),
    Row("a file name of braces and percent signs", named("{0}%s%(x)s.musicxml", GOOD), "checked"),
    Row("a file name of blanks and a dot", named("  .musicxml", GOOD), "checked"),
    Row("a file name without a suffix", named("cue", GOOD), "checked"),
    Row("a name so long that its outputs have none", _output_too_long, "refused", "cannot be written"),
    Row("a path longer than the system allows", _long_path, "refused"),
    Row("an empty path", lambda folder: Path(""), "refused"),
)  # fmt: skip

"""Whether the cost of a note stays the same from a thousand notes to a million."""

from __future__ import annotations

from functools import partial

from tests.benchmarks.measure import seconds, table
from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.registry import discover
from xmlcheck.source import from_bytes

SIZES = (1_000, 10_000, 100_000, 1_000_000)
_STEPS = "GABCDEFGFEDCBAGAB"


def quartet(notes: int) -> bytes:
    """Four string parts of so many notes in all: quavers on scales, eight to the bar, a slur over each half bar."""
    names = ("Violin I", "Violin II", "Viola", "Violoncello")
    octaves, bars = (5, 4, 4, 3), max(1, notes // 32)
    listed = "".join(f'<score-part id="P{n}"><part-name>{name}</part-name></score-part>' for n, name in enumerate(names, 1))
    parts = []
    for number, octave in enumerate(octaves, 1):
        own = [f'<part id="P{number}">']
        for bar in range(bars):
            own.append(f'<measure number="{bar + 1}">')
            if not bar:
                own.append(_attributes(octave))
            own += [_note(_STEPS[(bar + beat) % len(_STEPS)], octave, beat) for beat in range(8)]
            own.append("</measure>")
        parts.append("".join(own) + "</part>")
    head = '<?xml version="1.0" encoding="UTF-8"?>\n<score-partwise version="4.0"><part-list>'
    return f"{head}{listed}</part-list>{''.join(parts)}</score-partwise>".encode()


def _attributes(octave: int) -> str:
    sign, line = ("G", 2) if octave > 3 else ("F", 4)
    return (
        "<attributes><divisions>2</divisions><key><fifths>0</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time>"
        f"<clef><sign>{sign}</sign><line>{line}</line></clef></attributes>"
        '<direction><direction-type><words>Moderato</words></direction-type><sound tempo="100"/></direction>'
    )


def _note(step: str, octave: int, beat: int) -> str:
    slur = {0: "start", 3: "stop", 4: "start", 7: "stop"}.get(beat)
    notations = f'<notations><slur number="1" type="{slur}"/></notations>' if slur else ""
    pitch = f"<pitch><step>{step}</step><octave>{octave}</octave></pitch>"
    return f"<note>{pitch}<duration>1</duration><voice>1</voice><type>eighth</type>{notations}</note>"


def growth() -> str:
    """The table of microseconds a note."""
    registry, rows = discover(), []
    for size in SIZES:
        source = from_bytes(quartet(size), f"{size} notes")
        count = sum(part.notes for part in check_source(source, registry, Config()).parts)
        taken = seconds(partial(check_source, source, registry, Config()), 5 if size < 100_000 else 1)
        rows.append((f"{count:,}", taken, 1e6 * taken / count))
    first = rows[1][2]
    told = [(*row, row[2] / first) for row in rows]
    return table("Growth of a check", ("notes", "seconds", "microseconds a note", "against 10,000 notes"), told)

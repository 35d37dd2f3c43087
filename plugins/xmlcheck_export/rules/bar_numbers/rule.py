"""Bar numbers that jump, come twice, or differ between parts."""

from __future__ import annotations

from collections.abc import Iterator

from xmlcheck.plugin import Hit, Hits, Measure, Part, ScoreFacts, rule
from xmlcheck_export.values import at_bar, nominal

MOST_DIGITS = 9
"""Figures of a bar number; more of them count no bars."""


@rule
def bar_numbers(score: ScoreFacts) -> Hits:
    """One hit for each number that does not follow the last one, and for each part whose numbers differ from the first's.

    A new count after a closing barline, bars that share a number because they are two halves of one, and hidden numbers are
    common and silent.
    """
    parts = [part for part in score.together if part.measures]
    if not parts:
        return
    first = parts[0]
    for measure, before in _jumps(first, score.score.resolution):
        fault = "jump"
        values = {"number": measure.number, "before": before.number, "fault": fault}
        yield Hit(at=(at_bar(measure),), values=values, part=first.id, group=fault)
    for part in parts[1:]:
        pairs = zip(first.measures, part.measures, strict=False)
        other = next(((one, two) for one, two in pairs if one.number != two.number), None)
        if other is not None:
            values = {"number": other[1].number, "before": other[0].number, "fault": "differ from the first part's"}
            yield Hit(at=(at_bar(other[1]),), values=values, part=part.id, group="differ")


def _jumps(part: Part, resolution: int) -> Iterator[tuple[Measure, Measure]]:
    """Bars whose number does not follow, with the last numbered bar before."""
    closing = {
        line.measure for line in part.barlines if line.location != "left" and line.style in ("light-heavy", "heavy-heavy")
    }
    closing |= {line.measure for line in part.barlines if line.repeat == "backward"}
    full = nominal(part, resolution)
    last: Measure | None = None
    for measure in part.measures:
        if measure.implicit or not measure.number.isdecimal() or len(measure.number) > MOST_DIGITS:
            continue
        if last is not None:
            step = int(measure.number) - int(last.number)
            halves = step == 0 and last.length + measure.length <= full.get(measure.index, 0)
            restart = measure.index - 1 in closing and int(measure.number) <= 1
            if step != 1 and not halves and not restart:
                yield measure, last
        last = measure

"""Onsets that no grid of written music holds, and the grid that explains them best."""

from __future__ import annotations

from xmlcheck.plugin import Chair, Hit, Hits, Plan, PlanLine, rule
from xmlcheck_export.derived import Timing


@rule
def time_unquantised(chair: Chair, timing: Timing) -> Hits:
    """One hit for each onset off every grid, in a part that has enough of them; the plan tells what each bar becomes."""
    if not timing.played:
        return
    places, measures = chair.facts.places(chair.part), chair.part.measures
    lines = tuple(
        PlanLine(places.place(bar.index, measures[bar.index].onset), f"becomes {bar.becomes}", {"becomes": bar.becomes})
        for bar in timing.bars
    )
    plan = Plan(f"{chair.name}-grid", "grid", chair.part.id, lines)
    shared = {
        "share": round(100 * timing.share),
        "divisions": list(timing.divisions),
        "error": round(timing.error, 3),
        "level": timing.level,
    }
    for bar in timing.bars:
        for tone in bar.off:
            yield Hit(at=(tone,), values={**shared, "becomes": bar.becomes}, plan=plan)

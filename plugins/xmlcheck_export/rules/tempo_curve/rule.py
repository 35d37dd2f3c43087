"""Tempo marks so many that they are a recorded curve."""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction

from xmlcheck.plugin import Hit, Hits, ScoreFacts, rule
from xmlcheck_export.values import Spot


@rule
def tempo_curve(score: ScoreFacts, fewest: int = 8, per_bar: float = 0.5, run: int = 8) -> Hits:
    """One hit a score with `fewest` tempi and `per_bar` of them a bar or more, or a run of `run` small steps within few bars."""
    tempo, parts = score.tempo, [part for part in score.score.parts if part.measures]
    if not tempo.given or not parts:
        return
    steps = [(tempo.ticks[0], tempo.rates[0])]
    for tick, rate in zip(tempo.ticks, tempo.rates, strict=True):
        if rate != steps[-1][1]:
            steps.append((tick, rate))
    bars = parts[0].measures
    index = [bisect_right([bar.onset for bar in bars], tick) - 1 for tick, _ in steps] if len(steps) >= fewest else []
    dense = len(steps) >= fewest and len(steps) >= per_bar * len(bars)
    crowded = any(index[n + run - 1] - index[n] <= run // 4 for n in range(len(index) - run + 1))
    if not dense and not crowded:
        return
    rates = [float(rate) for _, rate in steps]
    values = {
        "changes": len(steps), "bars": len(bars), "slowest": round(min(rates), 1), "fastest": round(max(rates), 1),
        "plain": _plain(steps),
    }  # fmt: skip
    yield Hit(at=(Spot(steps[0][0], max(index[0], 0)),), values=values, part=parts[0].id)


def _plain(steps: list[tuple[int, Fraction]]) -> str:
    """The curve in words: where it starts, where it leads, its middle."""
    first, last = float(steps[0][1]), float(steps[-1][1])
    if max(first, last) < 1.04 * min(first, last):
        return f"It stays near {round(sum(float(rate) for _, rate in steps) / len(steps))}."
    return f"It goes from {round(first)} to {round(last)}."

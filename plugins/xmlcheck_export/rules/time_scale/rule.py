"""A part whose steps of time are counted by another note than the quarter."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

from xmlcheck.plugin import Hit, Hits, Part, ScoreFacts, rule
from xmlcheck_export.values import ends, nominal, real, worth

SCALES = {
    Fraction(2): "twice", Fraction(4): "four times", Fraction(8): "eight times",
    Fraction(1, 2): "half", Fraction(1, 4): "a quarter", Fraction(1, 8): "an eighth",
}  # fmt: skip


@rule
def time_scale(score: ScoreFacts, fewest: int = 4, share: float = 0.9) -> Hits:
    """One hit a part whose bars with notes are all too long, or all too short, by one power of two.

    A part whose notes show their values must show the same factor there: a meter that was never meant is no wrong scale.
    """
    for part in score.score.parts:
        full = nominal(part, score.score.resolution)
        lengths = Counter(
            (max(end - part.measures[bar].onset, part.measures[bar].filled), full[bar])
            for bar, end in ends(part).items()
            if full.get(bar)
        )
        ratios: Counter[Fraction] = Counter()
        for (length, meter), times in lengths.items():
            ratios[Fraction(length, meter)] += times
        if ratios.total() < fewest:
            continue
        ratio, count = ratios.most_common(1)[0]
        if ratio in SCALES and count >= share * ratios.total() and _values_agree(part, ratio, score.score.resolution):
            yield Hit(values={"times": SCALES[ratio], "factor": float(ratio)}, part=part.id)


def _values_agree(part: Part, ratio: Fraction, resolution: int) -> bool:
    valued = [(Fraction(note.duration, resolution), value) for note in part.notes if real(note) and (value := worth(note))]
    return not valued or sum(length == value * ratio for length, value in valued) >= 0.9 * len(valued)

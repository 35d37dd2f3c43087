"""Parts with other bars or meters than the rest of the score."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

from xmlcheck.plugin import Hit, Hits, ScoreFacts, rule
from xmlcheck_export.values import at_bar, common, nominal, told


@rule
def parts_unequal(score: ScoreFacts) -> Hits:
    """One hit for each part with more or fewer bars than most, and one for the first bar of a part in another meter's length.

    A part whose bars are as long as the others' in spite of its meter only lacks the sign: that is told too, as a meter.
    """
    parts = [part for part in score.together if part.measures]
    if len(parts) < 2:
        return
    counts = Counter(len(part.measures) for part in parts)
    usual = max(counts, key=lambda count: (counts[count], count))
    meters = [nominal(part, score.score.resolution) for part in parts]
    shared = common(meters)
    for part, own in zip(parts, meters, strict=True):
        count = len(part.measures)
        if count != usual:
            bars = abs(count - usual)
            fault = f"{bars} bar{'s' if bars > 1 else ''} {'less' if count < usual else 'more'}"
            said = f"This part has {count} bars, the others {usual}"
            yield Hit(at=(at_bar(part.measures[-1]),), values={"fault": fault, "told": said}, part=part.id)
        away = []
        for measure in part.measures:
            length = own.get(measure.index)
            if length is not None and length != shared[measure.index]:
                away.append((measure, length, shared[measure.index]))
        if away:
            q, c = (told(Fraction(item, score.score.resolution)) for item in away[0][1:])
            said = f"This part is in a meter of {q} quarter notes here, the others in {c}"
            places = tuple(at_bar(measure) for measure, _, _ in away)
            yield Hit(at=places, values={"fault": "other meter than above", "told": said}, part=part.id)

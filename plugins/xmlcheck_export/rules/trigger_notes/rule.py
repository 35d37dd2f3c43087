"""Trigger notes in the track of a sampled patch: claimed, so that no other rule takes them for music."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from statistics import median

from xmlcheck.plugin import BadPlugin, Chair, Grade, Hit, Hits, Plan, PlanLine, Tone, rule
from xmlcheck_export.derived import Triggers
from xmlcheck_export.values import told


@rule
def trigger_notes(chair: Chair, triggers: Triggers) -> Hits:
    """One hit for each trigger note. Outside the compass it is as certain as the compass; inside it is asked."""
    if triggers.unclear:
        raise BadPlugin(triggers.unclear)
    if not triggers.tones:
        return
    counts = Counter(tone.sounding.name for tone in triggers.tones)
    numbers = {tone.sounding.name: tone.sounding.cents // 100 for tone in triggers.tones}
    cluster = triggers.cluster
    listed = dict.fromkeys(f"{tone.sounding.name} {item.technique}" for tone, item in triggers.named)
    values = {
        "pitches": [
            f"{name} (MIDI {numbers[name]}) {count}x" for name, count in sorted(counts.items(), key=lambda i: numbers[i[0]])
        ],
        "signs": list(cluster.signs) if cluster is not None else [],
        "listed": list(listed),
    }
    plan = Plan(f"{chair.name}-triggers", "triggers", chair.part.id, _lines(chair, triggers.tones))
    outside = cluster is not None and cluster.outside
    rests_on = (cluster.limit,) if cluster is not None and cluster.limit is not None else ()
    for tone in triggers.tones:
        yield Hit(at=(tone,), values=values, rests_on=rests_on, grade=None if outside else Grade.QUERY, plan=plan)


def _lines(chair: Chair, triggers: Sequence[Tone]) -> tuple[PlanLine, ...]:
    """One line a trigger: where it stands, and what follows it up to the next."""
    places, resolution = chair.facts.places(chair.part), chair.facts.score.resolution
    own = set(triggers)
    music = [tone for tone in chair.tones if tone not in own]
    lines = []
    for index, trigger in enumerate(triggers):
        end = triggers[index + 1].onset if index + 1 < len(triggers) else None
        following = [tone for tone in music if trigger.onset <= tone.onset and (end is None or tone.onset < end)]
        text = f"{trigger.sounding.name} (MIDI {trigger.sounding.cents // 100}): {_described(following, resolution)}"
        values = {"pitch": trigger.sounding.name, "notes": len(following)}
        lines.append(PlanLine(places.place(trigger.measure, trigger.onset), text, values))
    return tuple(lines)


def _described(tones: Sequence[Tone], resolution: int) -> str:
    if not tones:
        return "nothing follows before the next trigger"
    length = told(Fraction(median(tone.duration for tone in tones)).limit_denominator(1000) / resolution)
    groups = ("articulations", "technical", "ornaments")
    marks = Counter(mark.name for tone in tones for mark in tone.first.marks if mark.group in groups)
    usual = [name for name, count in marks.most_common(2) if 2 * count >= len(tones)]
    count = f"{len(tones)} note{'s' if len(tones) > 1 else ''}"
    return f"then {count} of about {length} quarter" + (f", {' and '.join(usual)}" if usual else ", unmarked")

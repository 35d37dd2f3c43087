"""Parts that do not say what the kettledrums are tuned to."""

import re

from xmlcheck.plugin import Chair, Hit, Hits, Match, Plan, PlanLine, rule
from xmlcheck_struck.facets import Kettles
from xmlcheck_struck.tuning import Change, Tuning

_LETTER = r"(?:[A-H](?:es|is|s|[#b♯♭]|[ -](?:flat|sharp))?|(?:do|ut|re|ré|mi|fa|sol|la|si)(?:[ -]?(?:bémol|bem|dièse|diesis|bemolle|#|b))?)"
_LIST = re.compile(
    rf"(?<!\w){_LETTER}\d?(?!\w)(?:\s*(?:[,;/+&-]|und|and|et|e|en|y)?\s*(?<!\w){_LETTER}\d?(?!\w))+", re.IGNORECASE
)
"""Two or more names of notes in a row: a tuning, in letters or syllables (common practice, no source)."""


@rule
def unsaid(chair: Chair, kettles: Kettles, tuning: Tuning, match: Match) -> Hits:
    """One hit for a part that names no tuning in its heading, its words or its data, with the tuning that its notes need."""
    if not tuning.opening or _said(chair, match):
        return
    opening = ", ".join(pitch.name for _, pitch in tuning.opening)
    places = chair.facts.places(chair.part)

    def told(change: Change) -> str:
        return f"bar {places.place(change.tone.measure, change.tone.onset).bar} {change.before.name} to {change.after.name}"

    lines = [PlanLine(places.place(chair.tones[0].measure, chair.tones[0].onset), f"Tune {opening}", {"pitches": opening})]
    for change in tuning.changes:
        place = places.place(change.tone.measure, change.tone.onset)
        text = f"{change.drum.title}: {change.before.name} to {change.after.name}"
        lines.append(
            PlanLine(place, text, {"from": change.before.name, "to": change.after.name, "seconds": round(change.seconds, 1)})
        )
    plan = Plan(f"tuning-{chair.name}", "tuning", chair.part.id, tuple(lines))
    changes = "; ".join(told(change) for change in tuning.changes[:4])
    more = f" and {len(tuning.changes) - 4} more" if len(tuning.changes) > 4 else ""
    values = {"opening": opening, "changes": changes + more, "drums": [drum.title for drum in tuning.drums]}
    yield Hit(values=values, rests_on=tuning.drums, plan=plan)


def _said(chair: Chair, match: Match) -> bool:
    if match.key or any(tuning.strings for tuning in chair.part.tunings):
        return True
    heading = " ".join((chair.part.name, chair.part.display_name))
    return any(_LIST.search(text) for text in (heading, *(item.words for item in chair.directions if item.words)))

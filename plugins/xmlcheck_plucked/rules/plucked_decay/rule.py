"""Plucked notes written much longer than they are heard."""

from xmlcheck.plugin import Chair, Hit, Hits, Techniques, rule
from xmlcheck_plucked.facets import Plucking
from xmlcheck_plucked.lasting import RINGS, in_force, signed
from xmlcheck_strings.derived import Stroke


@rule
def decay(
    chair: Chair, plucking: Plucking, touch: Stroke, techniques: Techniques | None, times: float = 1.5, alone: bool = True
) -> Hits:
    """One hit for each note longer than `times` its decay, with neither tremolo, roll nor l.v. The last note of the part, and a
    note over which others go on (with `alone`), ring as they may."""
    seconds = plucking.decay_seconds
    if seconds is None or touch.bow is not None or not chair.tones:
        return
    ids = plucking.sustains.value if plucking.sustains is not None else ()
    marks = tuple(mark for item in (techniques.has if techniques else ()) if item.id in ids for mark in item.marks)
    lasting = in_force(chair, techniques, (*ids, "let-ring"), RINGS)
    last = chair.tones[-1].onset
    for index, sonority in enumerate(chair.sonorities):
        tone = max(sonority.struck, key=lambda item: item.end)
        length = chair.seconds(tone.onset, tone.end)
        if length <= times * seconds.value or tone.onset >= last or signed(tone, marks) or lasting(tone.onset):
            continue
        following = chair.sonorities[index + 1].onset if index + 1 < len(chair.sonorities) else tone.end
        if alone and chair.seconds(tone.onset, min(following, tone.end)) <= times * seconds.value:
            continue
        values = {"seconds": round(length, 1), "decay": f"{seconds.value:g}"}
        yield Hit(at=(tone,), values=values, rests_on=(seconds,))

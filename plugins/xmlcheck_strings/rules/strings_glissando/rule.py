"""Slides whose two ends lie on no one string."""

from bisect import bisect_right
from collections.abc import Iterator
from operator import attrgetter

from xmlcheck.plugin import Chair, Hit, Hits, Tone, Vouched, rule
from xmlcheck_strings.derived import Heights
from xmlcheck_strings.facets import Fingerboard, Strings
from xmlcheck_strings.stringing import Stringing

SLIDES = ("glissando", "slide")


@rule
def glissando(chair: Chair, strings: Strings, fingerboard: Fingerboard, stringing: Stringing, height: Heights) -> Hits:
    """One hit for each slide from a note to the note that ends it. Ends that no string gives at all are another rule's."""
    for start, end in _slides(chair):
        board = stringing.board_at(start.onset)
        first = {stop.string for stop in board.stops(height(start))}
        last = {stop.string for stop in board.stops(height(end))}
        if not first or not last or first & last:
            continue
        tops = [board.neck.tops[n] for n in first]
        limit = f"a string of {start.sounding.name} is stopped up to {max(tops):g} semitones above its open pitch"
        values = {"before": start.sounding, "after": end.sounding, "limit": limit}
        used: list[Vouched] = [strings.courses[n] for n in sorted(first) if n < len(strings.courses)]
        yield Hit(at=(start, end), values=values, rests_on=(*used, fingerboard.highest))


def _slides(chair: Chair) -> Iterator[tuple[Tone, Tone]]:
    """Each pair of a starting and a stopping sign of one number, or the next tone of the line where the end is not marked."""
    for line in chair.lines:
        ends = {name: [tone for tone in line if _stops(tone, name)] for name in SLIDES}
        for tone in line:
            for mark in tone.notes[-1].marks:
                if mark.name not in SLIDES or mark.type != "start" or tone.harmonic:
                    continue
                after = bisect_right(ends[mark.name], tone.onset, key=attrgetter("onset"))
                end = ends[mark.name][after] if after < len(ends[mark.name]) else None
                if end is not None and not end.harmonic:
                    yield tone, end


def _stops(tone: Tone, name: str) -> bool:
    return any(mark.name == name and mark.type == "stop" for note in tone.notes for mark in note.marks)

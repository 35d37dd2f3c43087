"""Notes that playback sounds and the page does not show."""

from __future__ import annotations

from bisect import bisect_right

from xmlcheck.plugin import Chair, Grade, Hit, Hits, rule


@rule
def note_hidden(chair: Chair) -> Hits:
    """One hit for each hidden note; tidy where a printed note sounds at the same time, for then it is a played ornament."""
    hidden = [note for note in chair.notes if note.hidden]
    if not hidden:
        return
    shown = [(note.onset, note.end) for note in chair.notes if not note.hidden and not note.cue]
    starts = [start for start, _ in shown]
    reach, latest = [], 0
    for _, end in shown:
        latest = max(latest, end)
        reach.append(latest)
    for note in hidden:
        index = bisect_right(starts, note.onset) - 1
        beside = index >= 0 and reach[index] > note.onset
        told = "beside printed ones" if beside else "where nothing else is printed"
        yield Hit(at=(note,), values={"beside": told}, grade=Grade.TIDY if beside else None)

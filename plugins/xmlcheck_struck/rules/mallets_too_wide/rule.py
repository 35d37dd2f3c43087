"""Chords for which two mallets in one hand have to open too far."""

from collections.abc import Iterable, Sequence

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_struck.derived import Sounding
from xmlcheck_struck.facets import Mallets, MalletSpan
from xmlcheck_struck.striking import broken


@rule
def too_wide(chair: Chair, mallets: Mallets, height: Sounding, slack: int = 1) -> Hits:
    """One hit for each chord of three or four struck notes that no sharing between the hands brings within their span.

    Hands do not cross: one takes the lower notes, the other the upper. `slack` semitones are let pass.
    """
    if not mallets.spans or chair.players not in (None, 1):
        return
    for sonority in chair.sonorities:
        by_height = {height(tone): tone for tone in sonority.struck}
        pitches = sorted(by_height)
        if not 3 <= len(pitches) <= mallets.at_once.value or broken(sonority.struck):
            continue
        excess, semitones, span = min(_shared(pitches, mallets.spans), key=lambda item: item[0])
        if excess > slack:
            values = {"semitones": semitones, "limit": span.semitones}
            yield Hit(at=tuple(by_height[pitch] for pitch in pitches), values=values, rests_on=(span,))


def _shared(pitches: Sequence[int], spans: Iterable[MalletSpan]) -> list[tuple[int, int, MalletSpan]]:
    """(semitones beyond, semitones, limit) of the worse hand, for each way to share three or four notes between two hands."""
    ordered = sorted(spans, key=lambda span: span.start.cents)
    found = []
    for cut in range(len(pitches) - 2, 3):
        hands = [hand for hand in (pitches[:cut], pitches[cut:]) if len(hand) == 2]
        opened = []
        for low, high in hands:
            span = next((span for span in reversed(ordered) if span.start.cents <= low), ordered[0])
            opened.append(((high - low) // 100 - span.semitones, (high - low) // 100, span))
        found.append(max(opened, key=lambda item: item[0]))
    return found

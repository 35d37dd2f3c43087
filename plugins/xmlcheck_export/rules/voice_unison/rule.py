"""Unisons split over two voices in the part of a player who sounds one note."""

from __future__ import annotations

from xmlcheck.plugin import Chair, Hit, Hits, Polyphony, Tone, rule


@rule
def voice_unison(chair: Chair, polyphony: Polyphony) -> Hits:
    """One hit for each place where two voices begin the same pitch together, for a single player of a one-note instrument."""
    if polyphony.at_once.value != 1 or (chair.players or 1) > 1:
        return
    first: dict[tuple[int, int], Tone] = {}
    for tone in chair.tones:
        other = first.setdefault((tone.onset, tone.sounding.cents), tone)
        if other is not tone and other.voice != tone.voice and chair.for_one_player(tone.onset):
            yield Hit(at=(other, tone), rests_on=(polyphony.at_once,))

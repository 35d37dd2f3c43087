"""A part whose octave is given by the clef and by the transposition, and counted twice."""

from __future__ import annotations

from xmlcheck.plugin import Chair, Compass, Hit, Hits, rule


@rule
def pitch_octave_clef(chair: Chair, compass: Compass, fewest: int = 8) -> Hits:
    """One hit where clef and transposition move by the same octave and only one reading of the two fits the compass."""
    clef = next((clef for clef in chair.part.clefs if clef.octave), None)
    given = next((item for item in chair.part.transposes if not item.for_part and item.octave), None)
    tones = [tone for tone in chair.tones if not tone.harmonic]
    if clef is None or given is None or clef.octave != given.octave or len(tones) < fewest:
        return
    low, high = compass.lowest.value.cents, compass.highest.value.cents

    def share(shift: int) -> float:
        return 100 * sum(low <= tone.sounding.cents + shift <= high for tone in tones) / len(tones)

    as_sounding, once = share(0), share(-1200 * clef.octave)
    if once >= 95 and as_sounding < 60:
        values = {
            "reading": "Counted once",
            "share_there": round(once),
            "share_here": round(as_sounding),
        }
        yield Hit(at=(given,), values=values, rests_on=(compass.lowest, compass.highest))

"""Chords and overlaps of more notes than one player can sound together."""

from fractions import Fraction

from xmlcheck.plugin import Chair, Grade, Hit, Hits, Polyphony, mentions, rule

MULTIPHONIC = ("multiphonic", "multiphonics", "M.P.", "Mehrklang", "Mehrklänge", "multiphonique", "son multiple", "multifonico",
               "multifónico", "sing and play", "singen und spielen")  # fmt: skip
"""Words that ask a wind for several notes at once (common practice, no source)."""


@rule
def too_many(chair: Chair, polyphony: Polyphony, shortest_quarters: float = 0.125) -> Hits:
    """One hit for each sonority over the limit that lasts longer than a hair's overlap (`shortest_quarters`).

    Where words, the heading, two voices on a staff or passes of an overdub let several share the line, it is a query; a section
    whose players have one note each divides in two of itself. A rolled chord is sounded one note after the other, and a bar in
    which words ask for a multiphonic is the player's matter.
    """
    limit = polyphony.at_once
    ringing = polyphony.ringing is not None and polyphony.ringing.value
    shortest = Fraction(shortest_quarters).limit_denominator(64) * chair.facts.score.resolution
    multiphonics = {item.measure for item in mentions(chair.directions, MULTIPHONIC)}
    for sonority in chair.sonorities:
        asked = len({tone.sounding.cents for tone in sonority.struck}) if ringing else sonority.pitches
        if asked <= limit.value or sonority.end - sonority.onset < shortest:
            continue
        single = chair.for_one_player(sonority.onset)
        if asked <= limit.value * (chair.players or (2 if limit.value == 1 and not single else 1)):
            continue
        if sonority.measure in multiphonics:
            continue
        if limit.value > 1 and all(tone.has("arpeggiate") for tone in sonority.struck):
            continue
        one = single and len({tone.voice for tone in sonority.tones}) == 1 and not chair.session.overdub
        values = {"asked": asked, "limit": limit.value}
        yield Hit(at=(sonority,), values=values, rests_on=(limit,), grade=None if one else Grade.QUERY)

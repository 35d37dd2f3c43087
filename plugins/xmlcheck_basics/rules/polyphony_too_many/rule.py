"""Chords and overlaps of more notes than one player can sound together."""

from fractions import Fraction

from xmlcheck.plugin import Chair, Grade, Hit, Hits, Polyphony, rule


@rule
def too_many(chair: Chair, polyphony: Polyphony, shortest_quarters: float = 0.125) -> Hits:
    """One hit for each sonority over the limit that lasts longer than a hair's overlap (`shortest_quarters`).

    Where words, the heading or two voices on a staff let several players share the line, it is a query. A rolled chord is
    sounded one note after the other.
    """
    limit, players = polyphony.at_once, chair.players or 1
    shortest = Fraction(shortest_quarters).limit_denominator(64) * chair.facts.score.resolution
    for sonority in chair.sonorities:
        if sonority.pitches <= limit.value * players or sonority.end - sonority.onset < shortest:
            continue
        if limit.value > 1 and all(tone.has("arpeggiate") for tone in sonority.struck):
            continue
        one = chair.for_one_player(sonority.onset) and len({tone.voice for tone in sonority.tones}) == 1
        values = {"asked": sonority.pitches, "limit": limit.value}
        yield Hit(at=(sonority,), values=values, rests_on=(limit,), grade=None if one else Grade.QUERY)

"""Notes inside the compass that no string gives: between open strings, between frets, beyond the last stop."""

from xmlcheck.plugin import Chair, Compass, Grade, Hit, Hits, Vouched, rule
from xmlcheck_strings.derived import Heights
from xmlcheck_strings.facets import Fingerboard, Strings
from xmlcheck_strings.stringing import Stringing
from xmlcheck_strings.telling import open_strings


@rule
def no_string(
    chair: Chair, strings: Strings, fingerboard: Fingerboard | None, compass: Compass, stringing: Stringing, height: Heights
) -> Hits:
    """One hit for each tone. Notes outside the compass or below all strings are left to the compass rules, unless the part's own
    tuning took the string away; a tuning in common use may give the note."""
    usual = min(pitch.cents for pitch in stringing.usual)
    for tone in chair.tones:
        cents = height(tone)
        if tone.harmonic or stringing.board_at(tone.onset).stops(cents) or cents > compass.highest.value.cents:
            continue
        open = open_strings(stringing, tone.onset)
        if cents < min(usual, *(pitch.cents for pitch in open)):
            continue
        near = [f"open {pitch.name}" for pitch in open if abs(pitch.cents - cents) < 300]
        values = {"pitch": tone.sounding, "tuning": stringing.told_at(tone.onset), "nearest": " or ".join(near)}
        used: tuple[Vouched, ...] = strings.courses
        if fingerboard is not None:
            last = max(pitch.cents for pitch in open) + 100 * fingerboard.highest.value
            used = (fingerboard.highest,) if cents > last else (*strings.courses, fingerboard.frets)
        yield Hit(at=(tone,), values=values, rests_on=used, grade=None if chair.for_one_player(tone.onset) else Grade.QUERY)

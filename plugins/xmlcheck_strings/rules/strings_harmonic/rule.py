"""Harmonics off the nodes of the strings, or wider than the hand."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_strings.derived import Heights
from xmlcheck_strings.facets import Hand, Harmonics, Strings
from xmlcheck_strings.nodes import judge
from xmlcheck_strings.stringing import Stringing


@rule
def harmonic(
    chair: Chair, strings: Strings, harmonics: Harmonics, hand: Hand | None, stringing: Stringing, height: Heights
) -> Hits:
    """One hit for each harmonic that no string gives where the file says how it is made. An unmarked circle is left alone where the
    written pitch is a node or a partial of some string, or can be stopped: then an artificial harmonic is meant."""
    used = tuple(item for item in (harmonics.natural, harmonics.artificial) if item is not None)
    for tone in chair.tones:
        if not tone.harmonic:
            continue
        board = stringing.board_at(tone.onset)
        moved = height(tone) - tone.sounding.cents
        fault = judge(tone, board, harmonics, moved)
        if fault is not None:
            values = {"asked": fault.asked, "nearest": fault.nearest}
            yield Hit(at=(tone,), values=values, rests_on=used)

"""Chords that clash on a letter only as they are spelled."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_zither.facets import Pedals
from xmlcheck_zither.harps import PedalPlan


@rule
def spelling(chair: Chair, plan: PedalPlan, pedals: Pedals) -> Hits:
    """One hit for each chord with two forms of one letter that another spelling takes apart."""
    for index in plan.hidden:
        chord = plan.chords[index]
        if chord.uses[0].turn > 1:
            continue
        names = plan.spelled(plan.free, index)
        forms: dict[str, set[int]] = {}
        for use in chord.uses:
            forms.setdefault(use.tone.sounding.step, set()).add(use.pitch_class)
        tones = tuple(use.tone for use in chord.uses if len(forms[use.tone.sounding.step]) > 1)
        letters = dict.fromkeys(tone.sounding.step for tone in tones)
        asked = "; ".join(" ".join(t.sounding.name for t in tones if t.sounding.step == letter) for letter in letters)
        better = " ".join(names[tone.sounding.cents // 100 % 12] for tone in tones)
        short = " ".join(better.split()[:2])
        yield Hit(at=chord.tones, values={"asked": asked, "better": better, "short": short}, rests_on=(pedals.positions,))

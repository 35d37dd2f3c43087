"""Loud in a soft register, soft in a loud one."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_winds.derived import LEVELS, Choice, Lines, Loudness
from xmlcheck_winds.facets import Register, Registers


@rule
def dynamics(
    chair: Chair, registers: Registers, melody: Lines, loudness: Loudness, choice: Choice | None, margin: int = 2
) -> Hits:
    """One hit for each tone whose dynamic is at least `margin` marks beyond what its register gives. Hairpins are passed over."""
    for line in melody.lines:
        for step in line:
            level = loudness.at(step.tone.onset)
            if level is None:
                continue
            cents = choice.height(step.tone) if choice is not None else step.cents
            if choice is not None and not choice.written:
                cents -= choice.at(step.tone.onset).lowest.cents - choice.usual.lowest.cents
            band = next((band for band in registers.bands if band.lowest.cents - 50 <= cents < band.highest.cents + 50), None)
            can = _can(band, level, margin) if band is not None else ""
            if band is not None and can:
                values = {"asked": LEVELS[level], "register": band.title, "can": can}
                yield Hit(at=(step.tone,), values=values, rests_on=(band,), group=f"{band.id}-{level}")


def _can(band: Register, level: int, margin: int) -> str:
    if band.loudest is not None and level - LEVELS.index(band.loudest) >= margin:
        return f"{band.loudest} at most"
    if band.softest is not None and LEVELS.index(band.softest) - level >= margin:
        return f"{band.softest} at the softest"
    return ""

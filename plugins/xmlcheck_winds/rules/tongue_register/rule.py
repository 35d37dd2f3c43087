"""Staccato, accents and repeated notes in a register that is not tongued."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_winds.derived import Choice, Lines
from xmlcheck_winds.facets import Registers

STROKES = ("staccato", "staccatissimo", "spiccato", "detached-legato", "double-tongue", "triple-tongue")


@rule
def register(chair: Chair, registers: Registers, melody: Lines, choice: Choice | None) -> Hits:
    """One hit for each tone with a sign of tonguing, or equal to the one before it, in a register that says tongued = false."""
    bands = [band for band in registers.bands if not band.tongued]
    for line in melody.lines if bands else ():
        before = None
        for step in line:
            again = before is not None and before.meets and before.cents == step.cents
            before = step
            if not again and not step.tone.has(*STROKES):
                continue
            moved = 0
            if choice is not None and not choice.written:
                moved = choice.at(step.tone.onset).lowest.cents - choice.usual.lowest.cents
            for band in bands:
                if band.lowest.cents - 50 <= step.cents - moved < band.highest.cents + 50:
                    yield Hit(at=(step.tone,), values={"register": band.title}, rests_on=(band,), group=band.id)

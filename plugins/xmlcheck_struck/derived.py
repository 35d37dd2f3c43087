"""What the rules of struck instruments share, computed once a chair: heights, hands, drums and their tunings."""

from __future__ import annotations

from dataclasses import dataclass

from xmlcheck.plugin import Chair, Techniques, Tone, derived
from xmlcheck_basics.derived import ReadAs
from xmlcheck_struck.facets import Kettles, Ring, Strokes
from xmlcheck_struck.lasting import Lasting, lasting
from xmlcheck_struck.pieces import Limbs, limbs
from xmlcheck_struck.tuning import Tuning, plan


@dataclass(frozen=True)
class Sounding:
    """Sounding cents of a tone under the reading of the part that fits best."""

    read: ReadAs | None

    def __call__(self, tone: Tone) -> int:
        return self.read.height(tone) if self.read is not None else tone.sounding.cents


@derived
def sounding(read: ReadAs | None) -> Sounding:
    """The part's reading, or the file's own pitches."""
    return Sounding(read)


@derived
def made_to_last(chair: Chair, ring: Ring, techniques: Techniques | None) -> Lasting:
    """Where words or signs make a struck note last."""
    return lasting(chair, ring, techniques)


@derived
def tuning(chair: Chair, kettles: Kettles, height: Sounding) -> Tuning:
    """Which drum plays which note, and when each drum is retuned."""
    return plan(chair, kettles, height)


@derived
def played_by(chair: Chair, strokes: Strokes) -> Limbs:
    """What hands and feet strike together."""
    return limbs(chair, strokes)

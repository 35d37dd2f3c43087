"""Left-hand chords that no button board has ready."""

from itertools import combinations_with_replacement

from xmlcheck.plugin import Chair, Hit, Hits, Tone, Wording, covering, rule, spans
from xmlcheck_keyboard.facets import Buttons

FREE = (
    "F.B.",
    "FB",
    "free bass",
    "M.B.",
    "MIII",
    "BB",
    "B.B.",
    "Melodiebass",
    "Einzeltonmanual",
    "bassi sciolti",
    "basses chromatiques",
)
READY = ("S.B.", "SB", "Stradella", "Standardbass", "MII", "standard bass")
"""Words for the two boards (the composer's guides cited by profiles name M.B., B.B. and S.B.; the rest is common practice)."""
ROOTS = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
LEFT = 2
"""The staff of the left hand."""


@rule
def no_chord(chair: Chair, buttons: Buttons, fewest_notes: int = 3) -> Hits:
    """One hit for each chord on the lower staff that neither one chord button gives, nor two, with a bass note or without."""
    if buttons.board.value == "free" or chair.part.staves < LEFT or not buttons.chords:
        return
    ready = {
        _set(chord.semitones, root): f"{name} {chord.title}" for chord in buttons.chords for root, name in enumerate(ROOTS)
    }
    full = {_set((*chord.semitones, 7), root) for chord in buttons.chords if 4 in chord.semitones for root in range(12)}
    full |= {_set((*chord.semitones, 6), root) for chord in buttons.chords if 9 in chord.semitones for root in range(12)}
    single = {*ready, *full}
    pairs = {one | other for one, other in combinations_with_replacement(single, 2)}
    free = covering(spans(chair.directions, [Wording("free", FREE, READY, True)]))
    for sonority in chair.sonorities:
        tones = [tone for tone in sonority.struck if tone.staff == LEFT]
        notes = frozenset(tone.sounding.cents // 100 % 12 for tone in tones)
        if len(notes) < fewest_notes or free(sonority.onset, LEFT) or _has(notes, tones, pairs):
            continue
        nearest = min(ready, key=lambda chord: (len(chord ^ notes), ready[chord]))
        values = {"told": ", ".join(tone.sounding.name for tone in tones), "nearest": ready[nearest]}
        yield Hit(at=tuple(tones), values=values, rests_on=(*buttons.chords, buttons.board))


def _set(semitones: tuple[int, ...], root: int) -> frozenset[int]:
    return frozenset((root + step) % 12 for step in semitones)


def _has(notes: frozenset[int], tones: list[Tone], pairs: set[frozenset[int]]) -> bool:
    """Whether buttons give these notes, the lowest as a bass button or as part of the chord."""
    lowest = min(tones, key=lambda tone: tone.sounding.cents).sounding.cents // 100 % 12
    return notes in pairs or (notes - {lowest}) in pairs

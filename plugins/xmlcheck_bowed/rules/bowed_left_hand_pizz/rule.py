"""Notes to be plucked by the left hand while its fingers are taken."""

from xmlcheck.plugin import Chair, Hit, Hits, Techniques, Tone, rule
from xmlcheck_strings.board import Board
from xmlcheck_strings.derived import Heights, Stroke
from xmlcheck_strings.facets import Hand
from xmlcheck_strings.stringing import Stringing


@rule
def left_hand_pizz(
    chair: Chair,
    hand: Hand,
    techniques: Techniques,
    touch: Stroke,
    stringing: Stringing,
    height: Heights,
    same_hand_seconds: float = 0.3,
) -> Hits:
    """One hit for each note with the plus sign that is to sound with another on the only string that gives either, or that is
    stopped, follows within `same_hand_seconds`, and lies higher on the string than the hand reaches from where it is."""
    used = tuple(item for item in (hand.reach_mm, hand.reach_semitones, hand.fingers) if item is not None)
    if touch.bow is None or not any("stopped" in item.marks for item in techniques.has):
        return
    before: Tone | None = None
    for sonority in chair.sonorities:
        for tone in sonority.struck:
            if not tone.has("stopped") or not touch.bowed(tone.onset, tone.staff):
                continue
            board = stringing.board_at(tone.onset)
            others = [item for item in sonority.tones if item is not tone and not item.has("stopped")]
            taken = next((item for item in others if _one_string(board, height(tone), height(item))), None)
            held, reason = "", ""
            if taken is not None:
                held, reason = taken.sounding.name, "both lie on one string"
            elif before is not None and chair.seconds(before.onset, tone.onset) <= same_hand_seconds:
                within = _within(board, height(before), height(tone))
                reason = "" if within else f"the hand is at {before.sounding.name}, and no finger above it plucks"
            if reason:
                yield Hit(at=(tone,), values={"pitch": tone.sounding, "held": held, "reason": reason}, rests_on=used)
        before = sonority.struck[0]


def _one_string(board: Board, plucked: int, held: int) -> bool:
    """Whether only one string gives both notes."""
    strings = {stop.string for stop in board.stops(plucked)} | {stop.string for stop in board.stops(held)}
    return len(strings) == 1


def _within(board: Board, before: int, plucked: int) -> bool:
    """Whether the plucked note is an open string, or lies within the hand from where the note before is stopped."""
    return board.mask(plucked) == board.anywhere or bool(board.mask(before) & board.mask(plucked))

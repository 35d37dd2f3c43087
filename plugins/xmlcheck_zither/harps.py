"""Pedal harps, lever harps and mandal zithers: what each chord needs of pedals and levers, and whether there is time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from xmlcheck.plugin import Pitch, Tone
from xmlcheck_zither.facets import Levers, NamedTuning, Pedals, Picks, StringSet
from xmlcheck_zither.planning.levers import Board, Row, Wanted
from xmlcheck_zither.planning.pedals import LETTERS, NATURAL, POSITIONS, Spelled, as_written, options
from xmlcheck_zither.planning.settings import Change, Option, Way, changes, fewest
from xmlcheck_zither.planning.windows import Job, Late, placed
from xmlcheck_zither.uses import Played, Struck, Use

KEPT = 60
"""Settings of the levers that are followed side by side; beyond them the plan says what bound holds."""
NEAR = 0.2
"""Seconds before and after a note in which the hand that plays it does not move a lever (ours, no source)."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to play the part. way: what each chord needs. moved: the changes. late: those for which no time was found."""

    way: Way
    moved: tuple[Change, ...]
    late: tuple[Late, ...]

    def late_changes(self) -> tuple[tuple[Change, float], ...]:
        """(change, seconds too late), in the order of the music."""
        found = [(late.job.item, late.seconds) for late in self.late]
        return tuple(sorted(((c, s) for c, s in found if isinstance(c, Change)), key=lambda pair: pair[0].chord))


@dataclass(frozen=True)
class PedalPlan:
    """The part on a pedal harp. chords: struck groups with notes that pedals reach. written: as it is spelled; free: as its
    sounds can be spelled with the fewest changes. hidden: chords whose spelling clashes though another does not; clashes: chords
    that no setting gives. fixed: strings without a pedal that are asked for in two pitches: (string, tones)."""

    chords: tuple[Struck, ...]
    written: Reading
    free: Reading
    hidden: tuple[int, ...]
    clashes: tuple[int, ...]
    fixed: tuple[tuple[str, tuple[Tone, ...]], ...]

    def spelled(self, reading: Reading, chord: int) -> dict[int, str]:
        """How a reading names each pitch class of a chord: pitch class to `B#`."""
        return {
            (NATURAL[LETTERS[letter]] + position) % 12: LETTERS[letter] + ("b" * -position or "#" * position)
            for letter, position in reading.way.needed[chord]
        }


def pedal_plan(played: Played, pedals: Pedals) -> PedalPlan:
    """Both readings of the part, and where pedals come too late. Feet work side by side, each at its own documented pace."""
    positions = pedals.positions.value
    fixed = {(item.step, item.octave) for item in pedals.fixed.value} if pedals.fixed is not None else set()
    chords, notes = [], []
    alone: dict[tuple[str, int], dict[int, Tone]] = {}
    for struck in played.struck:
        spelled = []
        for use in struck.uses:
            item = use.tone.sounding
            whole = int(item.alter) if item.alter == int(item.alter) else None
            if whole is None:
                continue
            if (item.step, item.octave) in fixed:
                alone.setdefault((item.step, item.octave), {}).setdefault(whole, use.tone)
            else:
                spelled.append(Spelled(item.step, whole))
        if spelled:
            chords.append(struck)
            notes.append(tuple(spelled))
    free = [options(chord, positions) for chord in notes]
    written = [options(as_written(chord), positions) for chord in notes]
    hidden = tuple(n for n, (own, other) in enumerate(zip(written, free, strict=True)) if other and not own)
    clashes = tuple(n for n, other in enumerate(free) if not other)
    kept = [own or other for own, other in zip(written, free, strict=True)]
    return PedalPlan(
        tuple(chords),
        _pedalled(chords, kept, pedals),
        _pedalled(chords, free, pedals),
        hidden,
        clashes,
        tuple((f"{step}{octave}", tuple(tones.values())) for (step, octave), tones in alone.items() if len(tones) > 1),
    )


def _pedalled(chords: Sequence[Struck], choices: Sequence[Sequence[Option]], pedals: Pedals) -> Reading:
    way = fewest(choices, len(LETTERS))
    moved = changes([(chord.start, chord.start) for chord in chords], way.needed)
    late: list[Late] = []
    if pedals.one_foot is not None:
        for foot in (pedals.left.value, pedals.right.value):
            jobs = [Job(change, change.release, change.deadline) for change in moved if LETTERS[change.item] in foot]
            late += placed(jobs, 1 / pedals.one_foot.value)[1]
    return Reading(way, moved, tuple(late))


@dataclass(frozen=True)
class LeverPlan:
    """The part on strings with levers. tuning: the base that serves it best (all levers down). board: its strings.

    reading: the part as written; free: with other strings of the same pitch allowed everywhere, where the written ones leave no
    time. unreachable: notes that no string has in this base; anywhere: pitches that some base has. clashes: chords that ask two
    pitches of one string.
    """

    tuning: NamedTuning
    board: Board
    chords: tuple[Struck, ...]
    reading: Reading
    free: Reading
    unreachable: tuple[Use, ...]
    anywhere: frozenset[int]
    clashes: tuple[int, ...]


def lever_plan(played: Played, strings: StringSet, levers: Levers, picks: Picks | None, named: NamedTuning | None) -> LeverPlan:
    """The base tuning with the fewest notes lost, then the fewest levers too late, then the fewest changes."""
    tunings = [named] if named is not None else [tuning for tuning in strings.tunings if not tuning.restring]
    tunings.sort(key=lambda tuning: not tuning.usual)
    boards = [board_of(tuning, levers) for tuning in tunings]
    every = frozenset(
        use.cents for use in played.uses if any(board.places(_wanted(use.tone.sounding, use.cents)) for board in boards)
    )
    busy = _busy(played.struck, picks)
    found = [_levered(played, tuning, board, levers, busy, every) for tuning, board in zip(tunings, boards, strict=True)]
    best = min(found, key=_worse)
    if not best.reading.late:
        return best
    loose = [best.board.options([replace(want, respell=True) for want in _served(chord, best.board)]) for chord in best.chords]
    return replace(best, free=_timed(best.chords, loose, best.board, levers, busy))


def _worse(plan: LeverPlan) -> tuple[int, int, int, int]:
    return len(plan.unreachable), len(plan.clashes), len(plan.reading.late), plan.reading.way.changes


def _served(chord: Struck, board: Board) -> list[Wanted]:
    """The notes of a chord that the strings have."""
    wanted = [_wanted(use.tone.sounding, use.cents) for use in chord.uses]
    return [want for want in wanted if board.places(want)]


def board_of(tuning: NamedTuning, levers: Levers) -> Board:
    """The strings of a tuning with every pitch that their levers give."""
    fixed = {item.cents for item in levers.fixed.value} if levers.fixed is not None else set()
    rows = []
    for item in tuning.pitches:
        if item.cents in fixed:
            pitches: tuple[int, ...] = (item.cents,)
        elif levers.rise is not None:
            pitches = item.cents, item.cents + round(levers.rise.value * 100)
        else:
            natural = item.cents - round(item.alter * 100)
            steps = next((steps.cents for steps in levers.steps if item.step in steps.letters), ())
            pitches = tuple(natural + cents for cents in steps) or (item.cents,)
        rows.append(Row(item.step, item.octave, pitches))
    return Board(rows, levers.tolerance.value if levers.tolerance is not None else 5)


def _wanted(item: Pitch, cents: int, respell: bool = False) -> Wanted:
    shift = (cents - item.cents) // 1200 if (cents - item.cents) % 1200 == 0 else 0
    return Wanted(cents, item.step, item.octave + shift, respell)


def _levered(
    played: Played,
    tuning: NamedTuning,
    board: Board,
    levers: Levers,
    busy: Sequence[tuple[float, float]],
    every: frozenset[int],
) -> LeverPlan:
    chords: list[Struck] = []
    choices: list[Sequence[Option]] = []
    lost: list[Use] = []
    clashes: list[int] = []
    for struck in played.struck:
        lost += [use for use in struck.uses if use.turn == 1 and not board.places(_wanted(use.tone.sounding, use.cents))]
        served = _served(struck, board)
        if not served:
            continue
        own = board.options(served) or board.options([replace(want, respell=True) for want in served])
        if not own:
            clashes.append(len(chords))
        chords.append(struck)
        choices.append(own)
    written = _timed(chords, choices, board, levers, busy)
    return LeverPlan(tuning, board, tuple(chords), written, written, tuple(lost), every, tuple(clashes))


def _timed(
    chords: Sequence[Struck],
    choices: Sequence[Sequence[Option]],
    board: Board,
    levers: Levers,
    busy: Sequence[tuple[float, float]],
) -> Reading:
    way = fewest(choices, len(board.rows), KEPT)
    moved = changes([(chord.start, chord.start) for chord in chords], way.needed)
    late: tuple[Late, ...] = ()
    if levers.seconds is not None:
        jobs = [Job(change, change.release, change.deadline) for change in moved]
        late = placed(jobs, levers.seconds.value, busy)[1]
    return Reading(way, moved, late)


def _busy(struck: Sequence[Struck], picks: Picks | None) -> list[tuple[float, float]]:
    """When the hand that moves levers plays: notes of its own staff, and chords that one hand cannot take alone."""
    return [(chord.start - NEAR, chord.start + NEAR) for chord in struck if needs_both(chord, picks)]


def needs_both(chord: Struck, picks: Picks | None) -> bool:
    """Whether both hands play a chord: it stands on two staves, has too many notes for one hand or lies too wide."""
    if any(use.tone.staff > 1 for use in chord.uses):
        return True
    if picks is None:
        return False
    wide = chord.uses[-1].cents - chord.uses[0].cents
    span = picks.span_semitones.value * 100 if picks.span_semitones is not None else 1600
    return len({use.cents for use in chord.uses}) > picks.right.value or wide > span


def together(moved: Sequence[Change], key: Callable[[Change], float]) -> list[list[Change]]:
    """Changes that are due at the same moment."""
    ordered = sorted(moved, key=key)
    return [list(group) for _, group in groupby(ordered, key=key)]


__all__ = ["POSITIONS", "LeverPlan", "PedalPlan", "Reading", "board_of", "lever_plan", "needs_both", "pedal_plan", "together"]

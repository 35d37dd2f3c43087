"""Which kettledrum plays which note, and when each is retuned: a search over the drums' pitches, note by note.

A state is the pitch of every drum with the tick of its last stroke. Every stroke goes to a drum that reaches its pitch; where the
drum stands elsewhere it is retuned, which costs the more the less time it had. States are few (one a drum and pitch in use), and
of those with equal pitches only the cheapest is kept, so that the cost is linear in notes. With more than `WIDEST` states the
dearest are dropped.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import permutations

from xmlcheck.plugin import Chair, Pitch, Tone
from xmlcheck_struck.facets import Kettle, Kettles
from xmlcheck_struck.striking import onsets

WIDEST = 200
_TOLERANCE = 40  # cents: a drum that is all but there
_Cost = tuple[int, int, int]  # changes with no time, with little time, with enough


@dataclass(frozen=True, slots=True)
class Change:
    """A drum tuned to another pitch before `tone`. seconds: since its last stroke."""

    tone: Tone
    drum: Kettle
    before: Pitch
    after: Pitch
    seconds: float


@dataclass(frozen=True, slots=True)
class Tuning:
    """The plan. drums: those used. opening: (drum, pitch) at the start, largest first. changes: in order of time.

    crowded: strokes at one moment for which no different drums are to be had.
    """

    drums: tuple[Kettle, ...]
    opening: tuple[tuple[Kettle, Pitch], ...]
    changes: tuple[Change, ...]
    crowded: tuple[tuple[Tone, ...], ...]


@dataclass(frozen=True, slots=True)
class _Step:
    """One stroke and the one before it. seconds: since the drum's last stroke where it was retuned, else None."""

    drum: int
    tone: Tone
    seconds: float | None
    earlier: _Step | None


@dataclass(frozen=True, slots=True)
class _State:
    """pitches, ticks: by drum; no pitch where it was not struck yet. last: the way here."""

    pitches: tuple[int | None, ...]
    ticks: tuple[int, ...]
    cost: _Cost
    last: _Step | None


def plan(chair: Chair, kettles: Kettles, height: Callable[[Tone], int]) -> Tuning:
    """The cheapest plan with the usual set of drums; notes that no drum reaches are left out."""
    drums = kettles.usual
    comfortable = kettles.change_seconds.value if kettles.change_seconds is not None else 0.0
    least = kettles.change_least.value if kettles.change_least is not None else 0.0
    states = [_State((None,) * len(drums), (0,) * len(drums), (0, 0, 0), None)]
    crowded = []
    for group in onsets(chair.tones):
        here = tuple(tone for tone in group if any(_reaches(drum, height(tone)) for drum in drums))
        if not here:
            continue
        if not _placements(drums, here, height):
            crowded.append(here)
            continue
        best: dict[tuple[int | None, ...], _State] = {}
        for state in states:
            for chosen in _placements(drums, here, height):
                new = _struck(chair, state, here, chosen, height, comfortable, least)
                old = best.get(new.pitches)
                if old is None or new.cost < old.cost:
                    best[new.pitches] = new
        states = sorted(best.values(), key=lambda state: state.cost)[:WIDEST]
    return _told(drums, min(states, key=lambda state: state.cost), tuple(crowded))


def _reaches(drum: Kettle, cents: int) -> bool:
    return drum.lowest.cents - _TOLERANCE <= cents <= drum.highest.cents + _TOLERANCE


def _placements(drums: Sequence[Kettle], tones: Sequence[Tone], height: Callable[[Tone], int]) -> list[tuple[int, ...]]:
    """Every way to give each tone a drum of its own."""
    return [
        chosen
        for chosen in permutations(range(len(drums)), len(tones))
        if all(_reaches(drums[drum], height(tone)) for drum, tone in zip(chosen, tones, strict=True))
    ]


def _struck(
    chair: Chair,
    state: _State,
    tones: Sequence[Tone],
    chosen: Sequence[int],
    height: Callable[[Tone], int],
    comfortable: float,
    least: float,
) -> _State:
    pitches, ticks, last = list(state.pitches), list(state.ticks), state.last
    none, little, enough = state.cost
    for drum, tone in zip(chosen, tones, strict=True):
        cents, before = height(tone), pitches[drum]
        seconds = None
        if before is not None and abs(before - cents) > _TOLERANCE:
            seconds = chair.seconds(ticks[drum], tone.onset)
            none += seconds < least
            little += least <= seconds < comfortable
            enough += seconds >= comfortable
        pitches[drum], ticks[drum] = cents, tone.onset
        last = _Step(drum, tone, seconds, last)
    return _State(tuple(pitches), tuple(ticks), (none, little, enough), last)


def _told(drums: Sequence[Kettle], state: _State, crowded: tuple[tuple[Tone, ...], ...]) -> Tuning:
    walked: list[_Step] = []
    step = state.last
    while step is not None:
        walked.append(step)
        step = step.earlier
    opening: dict[int, Pitch] = {}
    current: dict[int, Pitch] = {}
    changes = []
    for step in reversed(walked):
        pitch = step.tone.sounding
        if step.seconds is not None:
            changes.append(Change(step.tone, drums[step.drum], current[step.drum], pitch, step.seconds))
        opening.setdefault(step.drum, pitch)
        current[step.drum] = pitch
    used = tuple((drums[drum], opening[drum]) for drum in sorted(opening))
    return Tuning(tuple(drum for drum, _ in used), used, tuple(changes), crowded)

"""The tuning plan of a zither, lyre or hammered instrument: strings with a pitch each, for a stretch of music."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from xmlcheck.plugin import Chair, Vouched
from xmlcheck_zither.facets import NamedTuning, Pressing, Retuning, StringSet
from xmlcheck_zither.free_hand import FreeHand
from xmlcheck_zither.naming import Names
from xmlcheck_zither.planning.matching import taken
from xmlcheck_zither.planning.reach import Reach, impossible, points
from xmlcheck_zither.planning.retune import Answer, Problem, Stretch, planned
from xmlcheck_zither.stated import Stated, Statements
from xmlcheck_zither.uses import SHORT_SECONDS, Played, Struck, Use

MOST_STRETCHES = 12
"""A cue is cut at its longest rests into at most so many stretches."""

MOST_ASKED = 4.0
"""Semitones from the usual pitch up to which a tuning that has to be asked for is looked for."""


@dataclass(frozen=True, slots=True)
class Take:
    """How one note is played: its string (by its place in the tunings) and cents above the open string."""

    string: int
    cents: int

    @property
    def pressed(self) -> bool:
        return abs(self.cents) > 30


@dataclass(frozen=True, slots=True)
class Span:
    """One stretch of music in one tuning. rest: seconds without a note before it. time: what it costs alone, if time were no
    matter, in notes that cannot be played. given: the part's own statement that begins it."""

    struck: tuple[Struck, ...]
    rest: float
    tuning: Mapping[int, int]
    alone: int
    given: Stated | None = None

    @property
    def start(self) -> float:
        return self.struck[0].start


@dataclass(frozen=True)
class TuningPlan:
    """Tunings for a chair.

    spans: empty where there is nothing to plan (a harp, a part without notes, a part in the octave of another instrument). takes:
    by number of the use, None for what no string gives. asked: strings are set further than is granted unasked. full: no string
    can be set further than was tried. effort: points of pressing; bound: no plan needs fewer; exact: this one is the best.
    """

    names: Names
    spans: tuple[Span, ...] = ()
    takes: Mapping[int, Take | None] = field(default_factory=dict)
    reach: Reach = field(default_factory=Reach)
    rests_on: tuple[Vouched, ...] = ()
    named: NamedTuning | None = None
    asked: bool = False
    full: bool = True
    effort: float = 0.0
    bound: float = 0.0
    exact: bool = True

    def span_of(self, use: Use) -> Span:
        """The stretch in which a use lies."""
        return next(span for span in reversed(self.spans) if span.start <= use.start + 1e-6)


def tuning_plan(
    chair: Chair,
    played: Played,
    strings: StringSet,
    retuning: Retuning | None,
    pressing: Pressing | None,
    right_hand: int,
    said: Statements,
) -> TuningPlan:
    """The best plan: opening tuning, and retunings in rests and where the hand is free.

    A tuning that the part states is kept through the cue, unless notes would be lost.
    """
    names = Names(strings, [use.tone.sounding for use in played.uses])
    if not played.uses:
        return TuningPlan(names)
    order = sorted(range(len(strings.usual.pitches)), key=lambda index: (strings.usual.pitches[index].cents, index))
    reach = reach_of(pressing)
    seconds = retuning.seconds.value if retuning is not None and retuning.seconds is not None else None
    in_cue = retuning is not None and retuning.in_cue.value and seconds is not None
    parts = _cut(played.struck, seconds if in_cue and seconds is not None else None, said)
    opening = said.before(played.uses[0].tone.onset)
    problem, asked = _problem(parts, strings, order, retuning, reach, opening), False
    hand = FreeHand([part for part, _, _ in parts], [rest for _, rest, _ in parts], seconds or 0.0, right_hand, reach)
    answer = planned(problem, hand.fits)
    if problem.opening is not None:
        kept = planned(replace(problem, in_cue=False), hand.fits)
        if impossible(kept.cost) == impossible(answer.cost):
            answer = kept
    if impossible(answer.cost) and retuning is not None and (retuning.ask_up or retuning.ask_down):
        wider = _problem(parts, strings, order, retuning, reach, opening, ask=True)
        second = planned(wider, hand.fits)
        if impossible(second.cost) < impossible(answer.cost):
            problem, answer, asked = wider, second, True
    return replace(_told(names, strings, order, parts, problem, answer, reach, asked), full=_full(retuning))


def _full(retuning: Retuning | None) -> bool:
    """Whether all pitches that a string can be set to were tried."""
    asked = () if retuning is None else (retuning.ask_up, retuning.ask_down)
    return all(value is None or value.value <= MOST_ASKED for value in asked)


def reach_of(pressing: Pressing | None) -> Reach:
    """The pressing facet as numbers."""
    if pressing is None:
        return Reach()
    up = round(pressing.up.value * 100)
    limit = round(pressing.limit.value * 100) if pressing.limit is not None else up
    return Reach(up, limit, round(pressing.down.value * 100) if pressing.down is not None else 0)


Cut = tuple[tuple[Struck, ...], float, Stated | None]


def _cut(struck: Sequence[Struck], seconds: float | None, said: Statements) -> list[Cut]:
    """The stretches between the longest rests (at least `seconds`), and at the part's own retunings: (chords, rest, statement)."""
    rests: dict[int, float] = {}
    given: dict[int, Stated] = {}
    reached = struck[0].end
    told = said.before(struck[0].uses[0].tone.onset)
    for index in range(1, len(struck)):
        rests[index] = max(0.0, struck[index].start - reached)
        reached = max(reached, struck[index].end)
        now = said.before(struck[index].uses[0].tone.onset)
        if now is not told and now is not None and now.tuned is not None:
            given[index] = now
        told = now
    longest = sorted(
        (index for index, rest in rests.items() if seconds is not None and rest >= seconds), key=lambda i: -rests[i]
    )
    places = sorted({*given, *longest[: max(0, MOST_STRETCHES - 1 - len(given))]})
    starts = [0, *places]
    return [
        (tuple(struck[start:end]), rests.get(start, 0.0), given.get(start))
        for start, end in zip(starts, [*places, len(struck)], strict=True)
    ]


def _problem(
    parts: Sequence[Cut],
    strings: StringSet,
    order: Sequence[int],
    retuning: Retuning | None,
    reach: Reach,
    opening: Stated | None,
    ask: bool = False,
) -> Problem:
    def row(tuning: Mapping[int, int]) -> tuple[int, ...]:
        return tuple(tuning[index] for index in order)

    known = [{i: item.cents for i, item in enumerate(tuning.pitches)} for tuning in strings.tunings if not tuning.restring]
    low = round(strings.moved_down.value) if strings.moved_down is not None else 0
    high = round(strings.moved_up.value) if strings.moved_up is not None else 0
    named = [
        row({i: cents + 100 * shift for i, cents in one.items()})
        for shift in sorted(range(-low, high + 1), key=abs)
        for one in known
    ]
    home = row({i: item.cents for i, item in enumerate(strings.usual.pitches)})
    stated = opening.tuned if opening is not None else None
    octaves = retuning.octaves.value if retuning is not None and retuning.octaves is not None else "free"
    return Problem(
        stretches=tuple(
            _stretch(part, row(given.tuned) if given is not None and given.tuned else None) for part, _, given in parts
        ),
        home=home,
        options=tuple(_options(index, home[place], known, retuning, ask) for place, index in enumerate(order)),
        reach=reach,
        named=tuple(dict.fromkeys(named)),
        opening=row(stated) if stated is not None else None,
        custom=octaves == "custom",
        forced=octaves == "forced",
        in_cue=retuning is not None and retuning.in_cue.value,
    )


def _options(
    index: int, usual: int, known: Sequence[Mapping[int, int]], retuning: Retuning | None, ask: bool
) -> tuple[int, ...]:
    """The pitches that one string may have: from its lowest to its highest in the named tunings, and as far as it is moved."""
    if retuning is None:
        return (usual,)
    down, up = retuning.down.value, retuning.up.value
    if ask:
        down = max(down, min(MOST_ASKED, retuning.ask_down.value)) if retuning.ask_down is not None else down
        up = max(up, min(MOST_ASKED, retuning.ask_up.value)) if retuning.ask_up is not None else up
    step = retuning.step.value if retuning.step is not None else 100
    low = min(tuning[index] for tuning in known) - round(100 * down)
    high = max(tuning[index] for tuning in known) + round(100 * up)
    below = (usual - low) // step
    return tuple(range(usual - below * step, high + 1, step))


def _stretch(part: Sequence[Struck], given: tuple[int, ...] | None) -> Stretch:
    demand: dict[int, int] = {}
    chords: dict[tuple[int, ...], int] = {}
    for struck in part:
        for use in struck.uses:
            weight = 2 if use.end - use.start < SHORT_SECONDS else 1
            demand[use.cents] = demand.get(use.cents, 0) + weight
        pitches = tuple(dict.fromkeys(use.cents for use in struck.uses))
        if len(pitches) > 1:
            chords[pitches] = chords.get(pitches, 0) + 1
    return Stretch(demand, chords, given)


def _told(
    names: Names,
    strings: StringSet,
    order: Sequence[int],
    parts: Sequence[Cut],
    problem: Problem,
    answer: Answer,
    reach: Reach,
    asked: bool,
) -> TuningPlan:
    spans = []
    takes: dict[int, Take | None] = {}
    for (part, rest, given), tuning, alone in zip(parts, answer.tunings, answer.alone, strict=True):
        by_string = dict(zip(order, tuning, strict=True))
        spans.append(Span(part, rest, by_string, impossible(alone), given))
        in_order = tuple(by_string[index] for index in range(len(order)))
        for struck in part:
            pitches = tuple(dict.fromkeys(use.cents for use in struck.uses))
            chosen = dict(zip(pitches, taken(pitches, in_order, reach), strict=True))
            for use in struck.uses:
                string = chosen[use.cents]
                takes[use.number] = None if string is None else Take(string, use.cents - in_order[string])
    first = answer.tunings[0]
    named = next((t for t in strings.tunings if tuple(t.pitches[index].cents for index in order) == first), None)
    return TuningPlan(
        names,
        tuple(spans),
        takes,
        reach,
        (strings.usual,),
        named=named,
        asked=asked,
        effort=points(answer.cost),
        bound=points(answer.bound),
        exact=answer.exact,
    )

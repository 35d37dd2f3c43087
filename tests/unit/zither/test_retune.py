"""The plan over a cue: against brute force over every sequence of tunings, with its bound; and worked examples."""

from __future__ import annotations

import itertools
import random
import time

from xmlcheck.pitch import parse
from xmlcheck_zither.planning.reach import IMPOSSIBLE, UNLIKE, Reach, impossible, playing, points
from xmlcheck_zither.planning.retune import Answer, Fits, Problem, Stretch, irregular, planned

SMALL = 500
OCTAVES = [f"{letter}{octave}" for octave in (2, 3, 4, 5) for letter in ("D", "E", "F#", "A", "B")]
GUZHENG = tuple(parse(name).cents for name in [*OCTAVES, "D6"])
"""Guzheng in D, 21 strings (Denburg, Zheng, guide for composers)."""
TONE = Reach(200, 200)


def problems(custom: bool) -> list[tuple[Problem, list[int]]]:
    """500 random small cues: up to three strings, three stretches, gaps of 0 to 12 seconds."""
    random.seed(5)
    found = []
    for _ in range(SMALL):
        home = [6000]
        for _ in range(random.choice([0, 1, 1, 2])):
            home.append(home[-1] + 100 * random.choice([0, 2, 3, 4, 12]))
        options = tuple(tuple(pitch + 100 * step for step in (-1, 0, 1)) for pitch in home)
        count = random.randint(1, 3)
        stretches = tuple(
            Stretch({6000 + 100 * random.randint(-1, 10): random.randint(1, 4) for _ in range(random.randint(1, 5))})
            for _ in range(count)
        )
        gaps = [0] + [random.choice([0, 4, 8, 12]) for _ in range(count)]
        found.append((Problem(stretches, tuple(home), options, TONE, custom=custom), gaps))
    return found


def fits_in(gaps: list[int]) -> Fits:
    return lambda index, before, after, moved: 4 * moved <= gaps[index]


def brute(problem: Problem, gaps: list[int]) -> int:
    """The least cost, from its definition: every tuning for every stretch, four seconds a string."""
    every = [tuning for tuning in itertools.product(*problem.options) if list(tuning) == sorted(tuning)]

    def played(stretch: Stretch, tuning: tuple[int, ...]) -> int:
        total = 0
        for pitch, weight in stretch.demand.items():
            efforts = [e for string in tuning if (e := problem.reach.effort(pitch - string)) is not None]
            total += weight * (min(efforts) * 10**7 if efforts else IMPOSSIBLE)
        return total

    costs = [[played(stretch, tuning) for tuning in every] for stretch in problem.stretches]
    moved = [[sum(a != b for a, b in zip(one, other, strict=True)) for other in every] for one in every]
    opening = []
    for tuning in every:
        odd = irregular(problem.home, tuning) if problem.custom else 0
        opening.append(
            0 if tuning == problem.home else odd * UNLIKE + sum(a != b for a, b in zip(tuning, problem.home, strict=True))
        )
    best = None
    for path in itertools.product(range(len(every)), repeat=len(costs)):
        total = opening[path[0]] + sum(costs[i][k] for i, k in enumerate(path))
        changes = [moved[a][b] for a, b in itertools.pairwise(path)]
        if all(4 * count <= gaps[i] for i, count in enumerate(changes, 1)):
            total += sum(changes)
            best = total if best is None else min(best, total)
    assert best is not None
    return best


def test_brute_force_agrees_on_500_small_cues() -> None:
    wrong = [
        problem for problem, gaps in problems(custom=False) if planned(problem, fits_in(gaps)).cost != brute(problem, gaps)
    ]
    assert wrong == []


def test_brute_force_agrees_where_custom_sets_octaves_alike() -> None:
    wrong = [
        problem for problem, gaps in problems(custom=True)[:200] if planned(problem, fits_in(gaps)).cost != brute(problem, gaps)
    ]
    assert wrong == []


def test_the_bound_holds_where_candidates_are_chosen() -> None:
    """The way of large cues, on small ones: never below the bound, never better than the optimum; close to it, and it is told."""
    worse = 0
    for problem, gaps in problems(custom=False):
        best, found = brute(problem, gaps), planned(problem, fits_in(gaps), few=0)
        assert found.bound <= playing(best) <= playing(found.cost)
        assert not found.exact or playing(found.cost) == playing(best)
        worse += playing(found.cost) > playing(best)
    assert worse <= SMALL // 100, f"{worse} of {SMALL} plans need more pressing than the best"


def sections() -> tuple[Stretch, ...]:
    def notes(text: str) -> Stretch:
        pairs = (item.partition("*") for item in text.split())
        return Stretch({parse(name).cents: int(times or 1) for name, _, times in pairs})

    return notes("F#4*10 A4*4 D5*4"), notes("G4*12 A4*6 B4*6"), notes("F#4*6 A4*4 D5*4")


def plan(forced: bool, gaps: list[int]) -> Answer:
    options = tuple((pitch - 100, pitch, pitch + 100) for pitch in GUZHENG)
    return planned(Problem(sections(), GUZHENG, options, TONE, forced=forced), fits_in(gaps))


def test_three_sections_string_by_string() -> None:
    """Worked out by hand, 4 s a string: F#4 to G4 and back, one string each, fits rests of 20 s and 6 s; nothing is pressed."""
    found = plan(False, [0, 20, 6])
    sharp, natural = parse("F#4").cents, parse("G4").cents
    place = GUZHENG.index(sharp)
    assert [tuning[place] for tuning in found.tunings] == [sharp, natural, sharp]
    assert points(found.cost) == 0
    assert found.exact


def test_three_sections_octaves_alike() -> None:
    """The same with four strings at once: 16 s fit the first rest and not the second, so six notes stay pressed a tone from E."""
    found = plan(True, [0, 20, 6])
    assert [len({b - a for a, b in zip(GUZHENG, tuning, strict=True)}) for tuning in found.tunings] == [1, 2, 2]
    assert points(found.cost) == 9
    assert impossible(found.cost) == 0


def test_no_time_no_change() -> None:
    found = plan(False, [0, 0, 0])
    assert len(set(found.tunings)) == 1


def test_a_tuning_that_the_part_states_opens() -> None:
    stated = tuple(pitch + 100 if pitch == parse("F#4").cents else pitch for pitch in GUZHENG)
    options = tuple((pitch - 100, pitch, pitch + 100) for pitch in GUZHENG)
    found = planned(Problem(sections()[:1], GUZHENG, options, TONE, opening=stated), fits_in([0]))
    assert found.tunings == (stated,)


def test_twelve_stretches_in_under_half_a_second() -> None:
    random.seed(2)
    options = tuple((pitch - 100, pitch, pitch + 100) for pitch in GUZHENG)
    stretches = tuple(
        Stretch({random.choice(range(5000, 8600, 100)): random.randint(1, 9) for _ in range(12)}) for _ in range(12)
    )
    gaps = [0] + [random.choice([2, 5, 10, 20]) for _ in range(11)]
    took = []
    for _ in range(3):
        start = time.process_time()
        planned(Problem(stretches, GUZHENG, options, TONE), fits_in(gaps))
        took.append(time.process_time() - start)
    assert min(took) < 0.5

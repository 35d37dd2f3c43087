"""Parts for tuned strings that do not say how they are tuned; and the plan of every such part."""

from xmlcheck.plugin import Chair, Grade, Hit, Hits, Plan, Profile, rule
from xmlcheck_zither.facets import Levers, Retuning, StringSet
from xmlcheck_zither.harps import LeverPlan
from xmlcheck_zither.plans import lever_lines, plan_id, vouched, zither_plan
from xmlcheck_zither.stated import Statements
from xmlcheck_zither.uses import Played
from xmlcheck_zither.zithers import TuningPlan


@rule
def unwritten(
    chair: Chair,
    uses: Played,
    plan: TuningPlan,
    strings: StringSet,
    said: Statements,
    profile: Profile,
    retuning: Retuning | None,
    levers: Levers | None,
    levered: LeverPlan | None,
) -> Hits:
    """The plan, and one hit for a part without a word on its tuning: tidy where the usual tuning has all its notes open."""
    stated = bool(said.items) and uses.uses and said.items[0].onset <= uses.uses[-1].tone.onset
    if levered is not None and levers is not None:
        if levered.chords:
            harp = levers.rise is not None
            lines = lever_lines(chair, levered, strings.counted.value, harp)
            rests = vouched(profile, {"string_set.tunings": levered.tuning, "levers.hand": levers.hand})
            made = Plan(plan_id(chair), "retuning" if len(lines) > 1 else "tuning", chair.part.id, lines, rests)
            yield made
            if harp and not stated:
                values: dict[str, object] = {"short": short(levered.tuning.title), "text": f"{lines[0].text}.", "pressed": ""}
                values |= {"notes_in_all": "", "before": "", "asked": "", "care": ""}
                grade = Grade.TIDY if levered.tuning.usual else None
                yield Hit(at=(uses.uses[0].tone,), values=values, rests_on=(levered.tuning,), grade=grade, plan=made)
        return
    if not plan.spans or (retuning is None and len(strings.tunings) == 1):
        return
    made = zither_plan(chair, plan, strings, retuning, profile)
    yield made
    if stated:
        return
    first = made.lines[0].values
    usual = plan.named is strings.usual and len(made.lines) == 1
    open_ = not any(take is None or take.pressed for take in plan.takes.values())
    home = sorted(item.cents for item in strings.usual.pitches)
    before = sum(plan.reach.least(use.cents, home) != 0 for use in uses.uses)
    pressed = sum(take is not None and take.pressed for take in plan.takes.values())
    values = {
        "short": short(plan.named.title) if plan.named is not None else "see the plan",
        "text": f"{made.lines[0].text}.",
        "pressed": pressed if not usual else "",
        "notes_in_all": len(uses.uses),
        "before": f"{before} pressed or not there" if not usual else "",
        "asked": "Some strings lie further from the usual tuning than players grant unasked." if plan.asked else "",
        "care": first["caution"],
    }
    grade = Grade.TIDY if usual and open_ else None
    yield Hit(at=(uses.uses[0].tone,), values=values, rests_on=(strings.usual,), grade=grade, plan=made)


def short(title: str) -> str:
    """A tuning's name as it fits a label: without what stands in brackets or behind a comma, at most four words."""
    return " ".join(title.partition("(")[0].partition(",")[0].split()[:4])

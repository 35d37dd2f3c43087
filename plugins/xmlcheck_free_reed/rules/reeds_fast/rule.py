"""Changes of note or chord faster than the instrument speaks."""

from xmlcheck.plugin import Chair, Hit, Hits, Sonority, rule
from xmlcheck_free_reed.facets import Reeds


@rule
def fast(chair: Chair, reeds: Reeds, fewest: int = 4) -> Hits:
    """One hit for each run of at least `fewest` changes that come faster than the profile's limit."""
    if reeds.change_limit is None or not chair.tempo.given:
        return
    limit = reeds.change_limit
    run: list[Sonority] = []
    for sonority in (*chair.sonorities, None):
        if sonority is not None and run and chair.seconds(run[-1].onset, sonority.onset) < 1 / limit.value - 1e-9:
            run.append(sonority)
            continue
        if len(run) > fewest:
            seconds = chair.seconds(run[0].onset, run[-1].onset)
            values = {"times": len(run) - 1, "rate": (len(run) - 1) / seconds, "limit": limit.value}
            yield Hit(at=tuple(run), values=values, rests_on=(limit,))
        run = [sonority] if sonority is not None else []

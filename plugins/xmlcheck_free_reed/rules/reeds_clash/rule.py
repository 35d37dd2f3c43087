"""Chords that the hands on a mouth organ cannot hold."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_basics.derived import ReadAs
from xmlcheck_free_reed.facets import Reeds


@rule
def clash(chair: Chair, reeds: Reeds, read: ReadAs, tolerance_cents: int = 60) -> Hits:
    """One hit for each sonority with two pitches out of one list of those that exclude one another."""
    for sonority in chair.sonorities if reeds.clashes else ():
        sounding = [read.height(tone) for tone in sonority.tones]
        for item in reeds.clashes:
            held = [one for one in item.pitches if any(abs(one.cents - cents) <= tolerance_cents for cents in sounding)]
            if len(held) < 2:
                continue
            near = [
                cluster.title
                for cluster in reeds.clusters
                if sum(any(abs(one.cents - cents) <= tolerance_cents for one in cluster.pitches) for cents in sounding)
                >= len(sounding) - 1
            ]
            pair = " and ".join(one.name for one in held)
            yield Hit(at=(sonority,), values={"pair": pair, "clusters": ", ".join(near)}, rests_on=(item,), group=pair)

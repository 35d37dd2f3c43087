"""What several rules about exports share, computed once a chair."""

from __future__ import annotations

from dataclasses import dataclass

from xmlcheck.plugin import Chair, Compass, ScoreFacts, Tone, derived
from xmlcheck_export import tracks
from xmlcheck_export.names import not_played
from xmlcheck_export.played import Timing, timing_of
from xmlcheck_export.trigger_names import Named, Unclear, parse
from xmlcheck_export.triggers import Cluster, find

__all__ = ["Crew", "Timing", "Triggers", "crew", "timing", "triggers"]


@dataclass(frozen=True)
class Triggers:
    """The trigger notes of a chair. named: those that the writer listed, in order of time; cluster: those that were found.

    unclear: why the writer's list could not be read. held: whether a trigger works only while it is held.
    """

    named: tuple[tuple[Tone, Named], ...] = ()
    cluster: Cluster | None = None
    unclear: str = ""
    held: bool = False

    @property
    def tones(self) -> tuple[Tone, ...]:
        """All trigger notes, in order of time."""
        return tuple(tone for tone, _ in self.named) or (self.cluster.tones if self.cluster is not None else ())


@derived
def triggers(chair: Chair, compass: Compass | None, triggers: str = "", middle_c: str = "", held: bool = False) -> Triggers:
    """The writer's list where there is one for this part, else what looks like trigger notes.

    The settings stand under any rule that uses it, usually trigger.notes.
    """
    part = chair.part
    if not_played(part.display_name or part.name):
        return Triggers()
    try:
        listed = parse(triggers, middle_c, part.id, part.display_name or part.name)
    except Unclear as error:
        return Triggers(unclear=str(error))
    if listed:
        by_number = {item.number: item for item in listed}
        heights = {tone: tone.sounding.cents // 100 for tone in chair.tones}
        if by_number.keys().isdisjoint(heights.values()):
            heights = {tone: tone.written.cents // 100 for tone in chair.tones}
        return Triggers(tuple((tone, by_number[n]) for tone, n in heights.items() if n in by_number), held=held)
    return Triggers(cluster=find(chair.tones, compass, chair.facts.score.resolution, part.staves))


@dataclass(frozen=True)
class Crew:
    """The player that this chair's track belongs to. first: whether the chair is the one that speaks for the player.

    changes: from one track to another, those that lead into this chair.
    """

    player: tracks.Player | None = None
    first: bool = False
    changes: tuple[tracks.Change, ...] = ()


def _players(score: ScoreFacts, one_player: str) -> tuple[tracks.Player, ...]:
    return tracks.players(score.score.parts, one_player)


@derived
def crew(chair: Chair, one_player: str = "") -> Crew:
    """The other tracks of this chair's player. The setting stands under any rule that uses it, usually tracks.as-one."""
    for player in chair.facts.once(_players, one_player):
        ids = [track.part.id for track in player.tracks]
        if chair.part.id in ids:
            into = (change for change in tracks.changes(player) if change.new.part is chair.part)
            start, end = chair.seat.start, chair.seat.end
            own = tuple(change for change in into if start <= change.after.onset < end)
            return Crew(player, chair.part.id == ids[0] and chair.seat.ordinal == 0, own)
    return Crew()


@derived
def timing(chair: Chair) -> Timing:
    """How a chair's notes lie on the grids of written music."""
    return timing_of(chair)

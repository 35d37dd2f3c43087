"""The instruments that a part asks for, against those that its player is declared to have; and doublings that no heading names."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from xmlcheck.chairs import seats
from xmlcheck.config import Config, Player, nearest
from xmlcheck.handing.compare import Tell
from xmlcheck.handing.cue import CueAnswer
from xmlcheck.handing.kinds import told
from xmlcheck.handing.pairing import Stave
from xmlcheck.handing.values import Disagreement
from xmlcheck.identify import identify
from xmlcheck.names import Names
from xmlcheck.partname import fold

_PIECES = re.compile(r"[/,;()&+]|\b(?:and|und|et|e|y|with|mit|avec|doubling|doubles|dbl\.?)\b", re.IGNORECASE)
"""What stands between the instruments of a heading: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Turn:
    """One instrument of a part. tick: from where it is played. id: its profile, None where it is not known for sure."""

    tick: int
    name: str
    id: str | None


def turns_of(stave: Stave, names: Names) -> tuple[Turn, ...]:
    """The instruments in order, by the file's own words and data, whatever is declared."""
    part = stave.part
    found = []
    for seat in seats(part, lambda text: bool(names.find(text).ids)):
        named = seat.announced or (seat.instrument.name if seat.instrument is not None and seat.start > 0 else "")
        asked = replace(part, name=named, display_name="", abbreviation="", display_abbreviation="", instruments=())
        match = identify(asked if named else part, None if seat.announced else seat.instrument, names, {})
        found.append(Turn(seat.start, named or stave.name, match.profile if match.certainty == "sure" else None))
    return tuple(found)


def instruments(stave: Stave, config: Config, names: Names, tell: Tell) -> Iterator[Disagreement]:
    """One disagreement for each instrument of the part that none of its declared players has."""
    players = [player for player in config.players.values() if fold(player.part) == fold(stave.name)]
    if not players or any(player.instrument is None for player in players):
        return
    told_names = [text for player in players for text in (*player.doublings, *player.brings.get("instruments", ()))]
    has = {player.instrument for player in players} | {id for text in told_names for id in names.find(text).ids}
    seen: set[str] = set()
    for turn in turns_of(stave, names):
        if turn.id is None or turn.id in has or turn.id in seen:
            continue
        seen.add(turn.id)
        declared = ", ".join(str(player.instrument) for player in players)
        if turn.tick == 0:
            yield tell("declared.instrument", f'"{stave.name}" is declared for {declared}; the part itself says {turn.id}')
        else:
            bar = next(bar for bar in reversed(stave.part.measures) if bar.onset <= turn.tick)
            text = f"goes to {turn.name} ({turn.id}); the player is declared to have {', '.join((declared, *told_names))}"
            yield tell("declared.instrument", text, bar=bar.text)


def doublings_unsaid(stave: Stave, names: Names) -> list[str]:
    """`doublings` where the part goes to an instrument that neither its heading, its credits nor its fields name."""
    header = stave.music.header
    texts = [stave.name, *header.credits, *(text for _, text in header.fields)]
    said = {id for text in texts for piece in _PIECES.split(text) for id in names.find(piece).ids}
    words = fold(" / ".join(texts))
    for turn in turns_of(stave, names)[1:]:
        if fold(turn.name) not in words and turn.id not in said:
            return ["doublings"]
    return []


def misspelt(cues: Iterable[CueAnswer], players: Mapping[str, Player], names: Names) -> Iterator[Disagreement]:
    """Players of a part that no cue has, where the name is no instrument's and is near to one that is there.

    A player whose part is in none of these cues is no matter: a folder may hold some of the cues of a session.
    """
    found = [text for one in cues for pair in one.pairs for stave in (*pair.lines, *pair.parts) for text in (stave.name,)]
    there = {fold(text) for text in found}
    for player in players.values():
        near = nearest(player.part, dict.fromkeys(found))
        if fold(player.part) not in there and near and not names.find(player.part).ids:
            yield told(
                "declared.player",
                f'a player is declared for "{player.part}", and no part is called so{near}',
                None,
                None,
                player.part,
            )

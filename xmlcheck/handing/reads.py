"""What each player reads, as declared, against what the part is written in; and pages supplied as PDF."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath

from xmlcheck.config import CLEFS, Player
from xmlcheck.handing import naming
from xmlcheck.handing.compare import Tell
from xmlcheck.handing.cue import CueAnswer
from xmlcheck.handing.declared import Declared
from xmlcheck.handing.folder import Item
from xmlcheck.handing.frames import TONICS
from xmlcheck.handing.kinds import told
from xmlcheck.handing.pairing import Stave
from xmlcheck.handing.values import Disagreement
from xmlcheck.partname import fold
from xmlcheck.player_lines.degrees import fifths_of


def notation(player: Player) -> str:
    """What a player reads, in words: `staff (alto clef)`, `numbered notation, 1 = D`; empty where it is not declared."""
    if not player.reads and not player.clef:
        return ""
    if player.reads in ("", "staff"):
        return f"staff ({player.clef} clef)" if player.clef else "staff"
    if player.reads == "tablature":
        return player.tablature or "tablature"
    if player.reads == "by ear":
        return "nothing: learns by ear"
    return f"{player.reads} notation" + (f", 1 = {player.key}" if player.key else "")


def reading(stave: Stave, declared: Declared, supplied: bool, tell: Tell) -> Iterator[Disagreement]:
    """A part in another notation, clef or key than its player reads. supplied: a PDF of this part is there."""
    told: set[str] = set()
    for player in declared.players_of(stave.name).values():
        for text in (_notation_differs(stave, player, supplied), _key_differs(stave, player)):
            if text and text not in told:
                told.add(text)
                yield tell("reading.differs", text)


def _notation_differs(stave: Stave, player: Player, supplied: bool) -> str:
    tab = any(one.sign == "TAB" for one in stave.part.clefs)
    if player.reads == "staff" and tab:
        return "written in tablature; the player reads staff notation"
    if player.reads == "tablature":
        return "" if tab or supplied else f"written on a staff; the player reads {player.tablature or 'tablature'}"
    if player.reads in ("numbered", "graphic", "by ear"):
        told = "learns by ear" if player.reads == "by ear" else f"reads {player.reads} notation"
        return "" if supplied else f"written on a staff; the player {told}"
    return _clef_differs(stave, player.clef)


def _clef_differs(stave: Stave, clef: str) -> str:
    if not clef or not stave.part.clefs:
        return ""
    first = stave.part.clefs[0]
    sign, line = CLEFS[clef.removesuffix("-8").removesuffix("+8")]
    octave = -1 if clef.endswith("-8") else 1 if clef.endswith("+8") else first.octave
    if first.sign == sign and line in (None, first.line) and first.octave == octave:
        return ""
    return f"begins in the clef {first.sign}{first.line or ''}; the player reads {clef}"


def _key_differs(stave: Stave, player: Player) -> str:
    """Numbered notation in another key than the first signature's, as it sounds."""
    keys = stave.music.line_frame(stave.index).concert
    its = keys[0][1] if keys else None
    own = fifths_of(player.key)
    if player.reads != "numbered" or own is None or not isinstance(its, int) or its % 12 == own % 12:
        return ""
    return f"begins in the signature of {TONICS[its % 12]} major (sounding); the player's numbers are in {player.key}"


def supplied_for(stave: Stave, items: tuple[Item, ...]) -> Item | None:
    """The PDF of a part: the same name, or the same cue and words."""
    own = (naming.cue_number(stave.music.name), fold(naming.words(stave.music.name)))
    for item in items:
        if item.suffix == ".pdf" and (naming.cue_number(item.name), fold(naming.words(item.name))) == own:
            return item
    return None


def stale(one: CueAnswer, items: tuple[Item, ...]) -> Iterator[Disagreement]:
    """Supplied pages that are older than their music, by the files' own dates, and at least a second."""
    files = {file.name: file for file in one.group.files}
    for file in files.values():
        item = supplied_for(Stave(file, 0), items)
        if item is None or item.changed is None or file.item.changed is None:
            continue
        if item.changed < file.item.changed - 1:
            text = f"older than its music ({PurePosixPath(file.name).name}): print it again"
            yield told("files.stale", text, one.group.name, item.name, Stave(file, 0).name)

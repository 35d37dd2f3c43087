"""What each player reads, as declared, against what the part is written in; and pages supplied as PDF."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath

from xmlcheck.handing import naming
from xmlcheck.handing.compare import Tell
from xmlcheck.handing.cue import CueAnswer
from xmlcheck.handing.declared import Declared
from xmlcheck.handing.folder import Item
from xmlcheck.handing.kinds import told
from xmlcheck.handing.pairing import Stave
from xmlcheck.handing.values import Disagreement
from xmlcheck.partname import fold

CLEFS = {
    "treble": ("G", 2), "bass": ("F", 4), "alto": ("C", 3), "tenor": ("C", 4), "tablature": ("TAB", None),
    "percussion": ("percussion", None),
}  # fmt: skip
"""Names of clefs: sign and line (MusicXML 4.0, element clef)."""


def reading(stave: Stave, declared: Declared, supplied: bool, tell: Tell) -> Iterator[Disagreement]:
    """A part in another notation or clef than its player reads. supplied: a PDF of this part is there."""
    for name, player in declared.players.items():
        if fold(player.part) != fold(stave.name):
            continue
        more = declared.more.get(name, {})
        reads, clef = more.get("reads", ""), more.get("clef", "")
        signs = {one.sign for one in stave.part.clefs} or {"G"}
        tab = "TAB" in signs
        if reads == "staff" and tab:
            yield tell("reading.differs", "written in tablature; the player reads staff notation")
        elif reads == "tablature" and not tab and not supplied:
            kind = more.get("tablature") or "tablature"
            yield tell("reading.differs", f"written on a staff; the player reads {kind}")
        elif reads in ("numbered", "graphic", "by ear") and not supplied:
            kind = f"{reads} notation" if reads != "by ear" else "learns by ear"
            yield tell("reading.differs", f"written on a staff; the player {'reads ' if reads != 'by ear' else ''}{kind}")
        elif clef and stave.part.clefs:
            base = clef.partition("-")[0].partition("+")[0]
            wanted = CLEFS.get(base, (base, None))
            first = stave.part.clefs[0]
            octave = -1 if clef.endswith("-8") else 1 if clef.endswith("+8") else first.octave
            if first.sign != wanted[0] or (wanted[1] is not None and first.line != wanted[1]) or first.octave != octave:
                yield tell("reading.differs", f"begins in the clef {first.sign}{first.line or ''}; the player reads {clef}")


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

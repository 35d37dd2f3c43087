"""From a document to a score: the music as values, by the rules of MusicXML 4.0.

`read` knows MusicXML and no instrument. It never fails on what a parsed score may hold: what cannot be read is repaired and
told in a notice, what is not understood is kept by its element's name.
"""

from __future__ import annotations

from dataclasses import replace

from lxml import etree

from xmlcheck.document import ANCHORED, Document
from xmlcheck.model import Part, Score
from xmlcheck.reader.alike import Alike
from xmlcheck.reader.assemble import parts
from xmlcheck.reader.cursor import Cursor
from xmlcheck.reader.faults import Faults
from xmlcheck.reader.grid import Grid
from xmlcheck.reader.header import absent, miscellaneous, title, words_size
from xmlcheck.reader.measure import Anchors, bars, read_bars
from xmlcheck.reader.notices import Notices, shown
from xmlcheck.reader.partlist import Listed, read_part_list
from xmlcheck.reader.plain import plain
from xmlcheck.ticks import resolution

__all__ = ["read"]


def read(document: Document) -> Score:
    """The score of a document. Partwise and timewise files of the same music give the same values, anchors apart."""
    root, divisions = plain(document.root)
    per_quarter, capped = resolution(divisions)
    listed = read_part_list(root)
    grid = Grid(per_quarter)
    cursors, notices, faults = _walk(root, grid, listed, document)
    finer = grid.finer()
    if finer is not None:
        grid = finer
        cursors, notices, faults = _walk(root, grid, listed, document)
    if capped or grid.missing > 1:
        notices.add("resolution", "some durations do not fit a common grid; read to the nearest of its very fine steps")
    made = _apart(parts(cursors, listed), notices)
    return Score(
        parts=made,
        resolution=grid.resolution,
        title=title(root),
        version=root.get("version", "1.0"),
        concert=root.find("defaults/concert-score") is not None,
        absent=absent(root),
        timewise=root.tag == "score-timewise",
        fields=miscellaneous(root),
        words_size=words_size(root),
        notices=(*document.notices, *notices.told(), *faults.told(document.root)),
    )


def _apart(parts: tuple[Part, ...], notices: Notices) -> tuple[Part, ...]:
    """The parts with an id of its own each: all that is said of a part names it by its id, so one that comes again is numbered."""
    found: dict[str, Part] = {}
    counts: dict[str, int] = {}
    for part in parts:
        id = part.id
        while id in found:
            counts[part.id] = counts.get(part.id, 1) + 1
            id = f"{part.id} ({counts[part.id]})"
        if id != part.id:
            notices.add(
                "part-list", f"several parts have the id {shown(part.id)}; the next of them is called {shown(id)} here", part.id
            )
        found[id] = part if id == part.id else replace(part, id=id)
    return tuple(found.values())


def _walk(
    root: etree._Element, grid: Grid, listed: dict[str, Listed], document: Document
) -> tuple[list[Cursor], Notices, Faults]:
    """Reads all parts. Anchors are counted where that is sure to agree with the document's order, else looked up."""
    if root.tag == "score-partwise":
        anchors = Anchors()
        found = _read(root, grid, listed, anchors, document)
        if document.starts is None or len(document.starts) == anchors.last + 1:
            return found
    ordinals = {element: number for number, element in enumerate(root.iter(*ANCHORED))}
    return _read(root, grid, listed, Anchors(ordinals), document)


def _read(
    root: etree._Element, grid: Grid, listed: dict[str, Listed], anchors: Anchors, document: Document
) -> tuple[list[Cursor], Notices, Faults]:
    notices, faults = Notices(), Faults()
    alike = Alike(document, notices, faults)
    cursors = []
    columns = list(bars(root))
    there = {name for name, _, _ in columns}
    free = [name for name in listed if name not in there]
    for name, element, column in columns:
        if element is not None:
            anchors.of(element)
        if not name and free:
            name = free.pop(0)
            notices.add("part-list", "a part has no id; taken for the next of the part-list", name)
        elif name not in listed:
            notices.add("part-list", "a part is not in the part-list; its name is unknown", name)
        cursor = Cursor(name, grid, notices, faults, alike)
        read_bars(column, cursor, anchors)
        cursors.append(cursor)
    for name in free:
        if not listed[name].editions:  # a part of one edition only may have no music here (MusicXML 4.0, element group)
            notices.add("part-list", "a part of the part-list has no music", name)
    if root.tag == "score-timewise":
        order = {name: place for place, name in enumerate(listed)}
        cursors.sort(key=lambda cursor: order.get(cursor.part, len(order)))
    return cursors, notices, faults

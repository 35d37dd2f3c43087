"""A comparison as a page: what changed by part with old over new, which parts need new pages, which findings came and went.

Eats the comparison file (schema `comparison-1`) as plain values and, where they are at hand, the two scores for the pictures.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from markupsafe import Markup

from xmlcheck import engrave
from xmlcheck.document import Document
from xmlcheck.engrave import Mark
from xmlcheck.excerpt import Excerpts
from xmlcheck.finding import Grade
from xmlcheck.output.html import render, words
from xmlcheck.output.html.figures import BARS, Figure, bars_text
from xmlcheck.output.html.plain import integer, records, table, text, texts
from xmlcheck.output.html.views import WHOLE, FindingView
from xmlcheck.output.page import printable
from xmlcheck.reader import read

LAYERS = (
    ("sound", "◆", "is heard or done differently"),
    ("notation", "◇", "only looks different on the page"),
    ("identity", "·", "is called something else"),
)
_FATES = (("new", "new"), ("still", "still there"), ("gone", "gone"))


@dataclass(frozen=True, slots=True)
class Group:
    """One part: its key on the page, what to do about its pages, and its changes."""

    key: str
    name: str
    advice: str
    tell: str
    changes: tuple[FindingView, ...]


@dataclass(frozen=True, slots=True)
class ComparedView:
    """All of the page. fates: findings as rows; plans, losses, account: the rest as rows, empty where not asked for."""

    old: str
    new: str
    same: bool
    unit: str
    counts: tuple[tuple[str, str, int, str], ...]
    groups: tuple[Group, ...]
    changes: tuple[FindingView, ...]
    kinds: tuple[str, ...]
    reissue: tuple[tuple[str, ...], ...]
    fates: tuple[tuple[str, ...], ...]
    plans: tuple[tuple[str, ...], ...]
    losses: tuple[tuple[str, ...], ...]
    elements: tuple[tuple[str, ...], ...]
    account: str
    entries: tuple[tuple[str, ...], ...]
    notices: tuple[str, ...]
    tool: str
    sums: tuple[str, str]
    outlines: Markup

    @property
    def named(self) -> tuple[tuple[str, str], ...]:
        """Keys and names of the groups that have something in them."""
        return tuple((group.key, group.name) for group in self.groups if group.changes)


class _Score:
    """One of the two scores: excerpts, and the ids of notes by what the comparison tells of them."""

    def __init__(self, document: Document) -> None:
        self.excerpts = Excerpts(document)
        score = read(document)
        self._ids: dict[tuple[str, int], list[tuple[Fraction, int, str, str]]] = {}
        for part in score.parts:
            for note in part.notes:
                at = Fraction(note.onset - part.measures[note.measure].onset, score.resolution)
                written = note.written.name if note.written is not None else ""
                told = (at, max(1, note.staff), written, f"a{note.anchor}")
                self._ids.setdefault((part.id, note.measure), []).append(told)

    def ids(self, part: str, spots: Iterable[Mapping[str, Any]]) -> tuple[str, ...]:
        """The ids of the notes at these spots; none for signs, which have no pitch."""
        found: list[str] = []
        for spot in spots:
            where, written = _spot(spot), text(spot.get("written"))
            for at, staff, name, id in self._ids.get((part, integer(spot.get("bar_index"), -1)), ()):
                if (at, staff) == where and written and name == written:
                    found.append(id)
        return tuple(dict.fromkeys(found))

    def near(self, part: str, spot: Mapping[str, Any]) -> str | None:
        """The id of the first note at a spot or after it in its bar."""
        start, staff = _spot(spot)
        notes = sorted(self._ids.get((part, integer(spot.get("bar_index"), -1)), ()))
        return next((id for at, own, _, id in notes if at >= start and own == staff), None)


def _spot(spot: Mapping[str, Any]) -> tuple[Fraction, int]:
    try:
        at = Fraction(str(spot.get("at")))
    except (ValueError, ZeroDivisionError):
        at = Fraction(0)
    return at, max(1, integer(spot.get("staff"), 1))


def make(comparison: Mapping[str, Any], old: Document | None = None, new: Document | None = None) -> str:
    """The page of a comparison; old, new: the scores, for the pictures."""
    with engrave.child():
        return render.page("compared.html.j2", it=view(comparison, old, new))


def view(comparison: Mapping[str, Any], old: Document | None, new: Document | None) -> ComparedView:
    """What the page shows."""
    able = engrave.available()
    sides = tuple(_Score(document) if document is not None and able else None for document in (old, new))
    names, pairs = _parts(comparison)
    keys = {id: f"p{number}" for number, id in enumerate(names, 1)}
    glyphs: dict[str, str] = {}
    changes = [_change(item, keys, names, pairs, sides, glyphs) for item in records(comparison.get("changes"))]
    reissue = {text(item.get("part")): item for item in records(comparison.get("reissue"))}
    groups = [_group(WHOLE, "The whole score", {}, changes)] if any(item.part == WHOLE for item in changes) else []
    groups += [_group(keys[id], name, reissue.get(id, {}), changes) for id, name in names.items()]
    found, account = table(comparison, "findings"), table(comparison, "account")
    tally = {name: sum(item.grade == name for item in changes) for name, _, _ in LAYERS}
    first, second = table(comparison, "old"), table(comparison, "new")
    tool, transfer = table(comparison, "tool"), table(comparison, "transfer")
    return ComparedView(
        old=printable(first.get("name", "")),
        new=printable(second.get("name", "")),
        same=comparison.get("same") is True,
        unit=text(comparison.get("unit")),
        counts=tuple((name, shape, tally[name], meaning) for name, shape, meaning in LAYERS),
        groups=tuple(group for group in groups if group.changes or group.advice not in ("", "none")),
        changes=tuple(item for group in groups for item in group.changes),
        kinds=tuple(sorted({item.rule for item in changes})),
        reissue=tuple(_page(item) for item in records(comparison.get("reissue"))),
        fates=tuple(_fates(found, names)),
        plans=tuple(_plan(item, names) for item in records(found.get("plans"))),
        losses=tuple(
            (text(item.get("group")), text(item.get("lost")), "; ".join(map(words.signs, texts(item.get("told")))))
            for item in records(transfer.get("losses"))
        ),
        elements=tuple(tuple(text(value) for value in item.values()) for item in records(transfer.get("elements"))),
        account=words.sentence(text(account.get("told"))),
        entries=tuple(_entry(item) for item in (*records(account.get("entries")), *records(account.get("triggers")))),
        notices=tuple(map(words.signs, texts(comparison.get("notices")))),
        tool=f"{printable(tool.get('name', ''))} {printable(tool.get('version', ''))}",
        sums=(text(first.get("sha256")), text(second.get("sha256"))),
        outlines=Markup(engrave.outlines(glyphs)),
    )


def _parts(comparison: Mapping[str, Any]) -> tuple[dict[str, str], dict[str, str]]:
    """Names of all parts by the id that changes use (the new file's, the old one's of a part that is gone); new ids to old."""
    names: dict[str, str] = {}
    pairs: dict[str, str] = {}
    for item in records(comparison.get("parts")):
        old, new = item.get("old"), item.get("new")
        id = text(new if new is not None else old)
        names[id] = printable(text(item.get("new_name") or item.get("old_name"))) or id
        if old is not None and new is not None:
            pairs[id] = text(old)
    return names, pairs


def _change(
    item: Mapping[str, Any],
    keys: Mapping[str, str],
    names: Mapping[str, str],
    pairs: Mapping[str, str],
    sides: tuple[_Score | None, ...],
    glyphs: dict[str, str],
) -> FindingView:
    part = text(item.get("part"))
    layer = next((one for one in LAYERS if one[0] == item.get("layer")), LAYERS[0])
    old, new, number = table(item, "old"), table(item, "new"), integer(item.get("number"), 0)
    was, now = words.signs(text(item.get("was"))), words.signs(text(item.get("now")))
    others = [names[id] for id in texts(item.get("parts")) if id in names and id != part]
    said = words.sentence(text(item.get("text")))
    told = said[:1].upper() + said[1:] + (f" Also in {', '.join(others)}." if others else "")
    figures, undrawn = _figures(item, part, pairs, sides, glyphs, number)
    return FindingView(
        key=f"f{number}",
        number=number,
        id=f"{text(item.get('kind'))} {part} {_where(new or old)} {text(item.get('text'))}",
        grade=layer[0],
        shape=layer[1],
        rule=printable(text(item.get("kind"))),
        part=keys.get(part, WHOLE),
        part_name=names.get(part, "The whole score"),
        label=words.signs(text(item.get("label"))) or words.signs(text(item.get("kind"))),
        place=_place(old, new),
        time="",
        rehearsal="",
        message=told + (f" Was: {was}; now: {now}." if was and now else ""),
        notes="",
        count=1,
        why="",
        remedy="",
        alternatives=(),
        caution="",
        to="",
        certainty="",
        sure="",
        vouchers=(),
        cite=(),
        also=(),
        plan="",
        accepted="",
        figures=figures,
        undrawn=undrawn,
    )


def _figures(
    item: Mapping[str, Any],
    part: str,
    pairs: Mapping[str, str],
    sides: tuple[_Score | None, ...],
    glyphs: dict[str, str],
    number: int,
) -> tuple[tuple[Figure, ...], str]:
    """Old over new; one of them where the other has nothing there. And why one is missing where the engraver failed over it."""
    figures, undrawn = [], []
    for side, name, id in zip(sides, ("old", "new"), (pairs.get(part, part), part), strict=True):
        stretch = table(item, name)
        spots = [spot for one in records(item.get("items")) if (spot := table(one, name))]
        if side is None or not stretch:
            continue
        ids = side.ids(id, spots)
        first = min((integer(spot.get("bar_index"), -1) for spot in spots), default=integer(stretch.get("bar_index"), -1))
        last = min(max(integer(stretch.get("to_bar_index"), first), first), first + BARS - 1)
        excerpt = side.excerpts.make(id, first, last)
        if excerpt is None:
            continue
        shown = bars_text(excerpt.bars)
        label = _label(item, name, spots)
        at = side.near(id, spots[0]) if spots else None
        drawn = engrave.picture(excerpt, (Mark(ids, None, f"{number} · {label}", at),), f"{name}, {shown}: {label}")
        if drawn is not None:
            glyphs |= drawn.glyphs
            figures.append(Figure(Markup(drawn.svg), f"{name.capitalize()}, {shown}, as written."))
        elif why := engrave.lost(excerpt):
            undrawn.append(f"{name.capitalize()}, {shown}: {why}")
    return tuple(figures), " ".join(undrawn)


def _label(item: Mapping[str, Any], side: str, spots: list[Mapping[str, Any]]) -> str:
    """What was said, or the pitch where it is one; else the change's own label."""
    said = text(item.get("was" if side == "old" else "now"))
    pitch = text(spots[0].get("written")) if len(spots) == 1 else ""
    return words.signs(said or pitch or text(item.get("label")) or text(item.get("kind")))


def _place(old: Mapping[str, Any], new: Mapping[str, Any]) -> str:
    before, after = _where(old), _where(new)
    if before and after and before != after:
        return f"{after} (was {before})"
    return after or (f"{before} of the old file" if before else "whole part")


def _where(stretch: Mapping[str, Any]) -> str:
    first, last, beat = (text(stretch.get(key)) for key in ("bar", "to_bar", "beat"))
    if not first:
        return ""
    if last and last != first:
        return f"bars {printable(first)}{words.DASH}{printable(last)}"
    return f"bar {printable(first)}" + (f", beat {words.beat_text(beat)}" if beat else "")


def _group(key: str, name: str, reissue: Mapping[str, Any], changes: Iterable[FindingView]) -> Group:
    own = tuple(item for item in changes if item.part == key)
    return Group(key, name, text(reissue.get("advice")), words.sentence(text(reissue.get("tell"))), own)


def _page(item: Mapping[str, Any]) -> tuple[str, ...]:
    places = ", ".join(filter(None, map(_where, records(item.get("places")))))
    hold = "" if item.get("numbers_hold") is True else "bar numbers differ"
    return printable(text(item.get("name"))), text(item.get("advice")), places, hold, words.signs(text(item.get("tell")))


def _fates(found: Mapping[str, Any], names: Mapping[str, str]) -> Iterator[tuple[str, ...]]:
    shapes = {grade.value: words.SHAPES[grade] for grade in Grade}
    for key, fate in _FATES:
        for item in records(found.get(key)):
            grade, part, bar = text(item.get("grade")), text(item.get("part")), text(item.get("bar"))
            yield (
                fate + (", says something else" if item.get("changed") is True else ""),
                f"{shapes.get(grade, '')}{words.FIXED}{grade}".strip(),
                names.get(part, printable(part)),
                printable(bar),
                words.signs(text(item.get("label"))),
                words.sentence(text(item.get("message"))),
            )


def _plan(item: Mapping[str, Any], names: Mapping[str, str]) -> tuple[str, ...]:
    part = text(item.get("part"))
    was, now = ("; ".join(map(words.signs, texts(item.get(key)))) for key in ("was", "now"))
    return names.get(part, printable(part)), text(item.get("kind")), text(item.get("fate")), was, now


def _entry(item: Mapping[str, Any]) -> tuple[str, ...]:
    place = f"bar {printable(text(item.get('bar')))}, beat {words.beat_text(text(item.get('beat')))}"
    there = ", ".join(map(printable, texts(item.get("parts"))))
    return printable(text(item.get("part"))), place, words.signs(text(item.get("sounding"))), text(item.get("fate")), there

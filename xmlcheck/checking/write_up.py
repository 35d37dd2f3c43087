"""From grouped cases to findings: words from the card, place and anchor from the score, fingerprint."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from xmlcheck.checking import fingerprint
from xmlcheck.checking.anchors import Anchors
from xmlcheck.checking.fold import Case
from xmlcheck.errors import BadPlugin
from xmlcheck.facts.chair import Chair, ScoreFacts
from xmlcheck.finding import Acceptance, Finding, NoteName, Place, Plan
from xmlcheck.model import Note, Part
from xmlcheck.rule import Card

MOST_NOTES = 200
"""Notes listed in one finding; `count` tells how many hits there are in all."""
_OPTIONAL, _FIELD = re.compile(r"\[\[(.*?)\]\]"), re.compile(r"\{(\w+)")
NAMED = 6
"""Different pitches named in a message before it says `and others`."""


class Writer:
    """Writes findings for one score. identities: part id to what survives a re-export of that part."""

    def __init__(self, facts: ScoreFacts, identities: Mapping[str, str], accept: Mapping[str, Acceptance]) -> None:
        self._facts, self._identities, self._accept = facts, identities, accept
        self._anchors: dict[str, Anchors] = {}
        self._seen: dict[str, int] = {}
        self._parts = {part.id: part for part in facts.score.parts}

    def finding(self, cases: list[Case], number: int) -> Finding:
        """One finding from the cases that belong together."""
        first = cases[0]
        card, hit, desk = first.card, first.hit, first.desk
        chair = desk.chair if desk is not None else None
        part = self._parts.get(first.part)
        items = [item for case in cases for item in case.hit.at]
        heads = tuple(head for item in items for head in _heads(item))
        words = self._words(cases, heads)
        id = self._id(card, first, chair, tuple(head for item in hit.at for head in _heads(item)))
        place = self._place(part, chair, items)
        called = tuple(dict.fromkeys(line for case in cases if case.desk for line in case.desk.called(case.hit.rests_on)))
        accepted = self._accept.get(id)
        return Finding(
            id=id,
            number=number,
            rule=card.id,
            grade=first.grade,
            certainty=min((case.certainty for case in cases), key=lambda certainty: certainty.rank),
            part=first.part or None,
            chair=first.chair or None,
            label=_said(card, "label", card.label, words),
            message=_said(card, "message", card.message, words),
            why=_said(card, "why", card.why, words),
            remedy=_said(card, "remedy", card.remedy, words),
            place=place,
            values={key: _plain(value) for key, value in hit.values.items()},
            notes=tuple(_note_name(head) for head in heads[:MOST_NOTES]),
            alternatives=tuple(_said(card, "alternatives", text, words) for text in (*hit.alternatives, *card.alternatives)),
            to=card.to,
            caution=_said(card, "caution", card.caution, words) if card.caution else None,
            cite=tuple(card.sources.get(key, key) for key in card.cite),
            rests_on=called,
            also=tuple(first.also),
            plan=hit.plan.id if hit.plan is not None else None,
            count=len(cases),
            annotated=place.anchor is not None,
            accepted=accepted,
        )

    def plan(self, plan: Plan) -> Plan:
        """The plan with every line at a note before which it can be inserted: before its chord, and its grace notes."""
        part = self._parts.get(plan.part)
        if part is None:
            return plan
        anchors = self._anchors_of(part)
        lines = []
        for line in plan.lines:
            note = anchors.of(line.place.anchor, 0, line.place.staff or 0) if line.place.anchor is not None else None
            lines.append(replace(line, place=replace(line.place, anchor=note.anchor if note is not None else None)))
        return replace(plan, lines=tuple(lines))

    def _anchors_of(self, part: Part) -> Anchors:
        if part.id not in self._anchors:
            self._anchors[part.id] = Anchors(part)
        return self._anchors[part.id]

    def _words(self, cases: list[Case], heads: tuple[Note, ...]) -> dict[str, Any]:
        first = cases[0]
        names = list(dict.fromkeys(head.sounding.name for head in heads if head.sounding is not None))
        told = ", ".join(names[:NAMED]) + (" and others" if len(names) > NAMED else "")
        profile = first.desk.profile if first.desk is not None else None
        part = self._parts.get(first.part)
        own = {
            "notes": told,
            "count": len(cases),
            "heads": _counted(len(cases), "note"),
            "places": _counted(len(cases), "place"),
            "instrument": profile.name if profile is not None else "this instrument",
            "part": (part.display_name or part.name or part.id) if part is not None else "",
        }
        return own | {key: _plain(value) for key, value in first.hit.values.items()}

    def _id(self, card: Card, case: Case, chair: Chair | None, heads: tuple[Note, ...]) -> str:
        detail = case.hit.group if heads else f"{case.hit.group}|{sorted(map(str, case.hit.values.values()))}"
        base = fingerprint.of(card.id, self._identities.get(case.part, ""), chair, heads, detail)
        count = self._seen[base] = self._seen.get(base, 0) + 1
        return base if count == 1 else f"{base}-{count}"

    def _place(self, part: Part | None, chair: Chair | None, items: list[Any]) -> Place:
        if part is None:
            return Place()
        anchors = self._anchors_of(part)
        places = self._facts.places(part)
        if not items:
            start = chair.seat.start if chair is not None else 0
            note = anchors.of(-1, start)
            place = places.place(note.measure if note else 0, note.onset if note else start)
        else:
            event = items[0]
            note = anchors.of(event.anchor, event.onset, getattr(event, "staff", 0))
            place = places.place(event.measure, event.onset, max(item.measure for item in items))
        if note is None:
            return place
        voice = note.voice if part.voiced_directions else None
        return replace(place, anchor=note.anchor, staff=note.staff if part.staves > 1 else None, voice=voice)


def _heads(item: Any) -> Iterator[Note]:
    if isinstance(item, Note):
        yield item
    elif hasattr(item, "tones"):
        for tone in item.tones:
            yield from tone.notes[:1]
    elif hasattr(item, "notes"):
        yield from item.notes[:1]


def _note_name(head: Note) -> NoteName:
    written = head.written.name if head.written is not None else None
    return NoteName(written, head.sounding.name if head.sounding is not None else None, head.anchor)


def _plain(value: Any) -> Any:
    """A value as JSON holds it: numbers, texts, lists; pitches and others by their text."""
    if value is None or isinstance(value, (bool, int, float, str)):
        return value
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, Iterable):
        return [_plain(item) for item in value]
    return str(value)


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _said(card: Card, key: str, text: str, words: Mapping[str, Any]) -> str:
    """A card's text with its fields filled in; a stretch in [[double brackets]] is left out where one of its fields is empty."""
    shown = {name: ", ".join(map(str, value)) if isinstance(value, list) else value for name, value in words.items()}

    def optional(match: re.Match[str]) -> str:
        return match[1] if all(shown.get(name) not in (None, "") for name in _FIELD.findall(match[1])) else ""

    text = _OPTIONAL.sub(optional, text)
    try:
        return text.format_map(shown)
    except (KeyError, ValueError, IndexError, AttributeError) as error:
        raise BadPlugin(f"{card.where or card.id}: {key} asks for {error}, which the rule does not give.") from error

"""What the findings file keeps of a part: how it was recognised, what it uses, and the profile values it was checked by."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from xmlcheck.checking.ask import Desk
from xmlcheck.finding import PartInfo, SourceInfo
from xmlcheck.model import Part
from xmlcheck.source import Source


def source_info(source: Source, version: str) -> SourceInfo:
    """What the findings file says of the input. version: of MusicXML, as the file states it."""
    return SourceInfo(
        name=source.name,
        sha256=source.sha256,
        member_sha256=source.member_sha256,
        bytes=len(source.data),
        encoding=source.encoding,
        container=source.member,
        musicxml=version,
    )


def part_info(part: Part, desks: list[Desk], skipped: Mapping[str, list[str]]) -> PartInfo:
    """The facts of one part for the report."""
    tones = [tone for desk in desks for tone in desk.chair.tones]
    pitches = sorted((tone.sounding for tone in tones), key=lambda pitch: pitch.cents)
    first = desks[0] if desks else None
    known = [desk for desk in desks if desk.profile is not None]
    match = first.match if first is not None else None
    return PartInfo(
        id=part.id,
        name=part.display_name or part.name,
        instrument=match.profile if match is not None else None,
        evidence=match.evidence if match is not None and match.evidence else None,
        match_certainty=match.certainty if match is not None and match.profile is not None else None,
        notes=len(tones),
        measures=len(part.measures),
        compass=(pitches[0].name, pitches[-1].name) if pitches else None,
        profile=_profile(known[0]) if known else {},
        unchecked=tuple(line for desk in desks for line in skipped.get(desk.chair.name, ())),
    )


def _profile(desk: Desk) -> dict[str, Any]:
    profile = desk.profile
    if profile is None:
        return {}
    facets = {key: profile.tables[key] for key in sorted(desk.used) if key in profile.tables}
    keys = sorted(set(_cited(facets)))
    return {
        "id": profile.id,
        "name": profile.name,
        "plugin": profile.plugin,
        "facets": facets,
        "cautions": [caution.text for caution in profile.cautions],
        "sources": {key: profile.source(key) for key in keys},
    }


def _cited(value: Any) -> Iterator[str]:
    if isinstance(value, Mapping):
        for key, item in value.items():
            if key == "cite":
                yield from item
            else:
                yield from _cited(item)
    elif isinstance(value, Iterable) and not isinstance(value, str):
        for item in value:
            yield from _cited(item)

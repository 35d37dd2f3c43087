"""A `handoff.toml` of what is seen in a folder, to be completed by hand."""

from __future__ import annotations

import json

from xmlcheck.handing.answer import Seen
from xmlcheck.handing.cue import SILENT_ROLES
from xmlcheck.handing.declared import NOT_PLAYED
from xmlcheck.handing.values import SCHEMA
from xmlcheck.partname import fold


def declaration_of(seen: Seen) -> str:
    """TOML text: cues with number, name, revision, length and parts; one player a part; what nobody plays live."""
    lines = [f'schema = "{SCHEMA}"']
    title = next((one.score.score.title for one in seen.cues if one.score is not None and one.score.score.title), "")
    lines += [f"title = {_text(title)}"] if title else []
    lines += ["frame_rate = 25", "# pitch_standard = 440   # Hz of A4", '# recording = "together"   # or "overdubs"']
    lines.append('# naming = "{cue} {part} rev {revision}"')
    players: dict[str, str | None] = {}
    silent: list[str] = []
    for one in seen.cues:
        first = one.score or next(iter(one.group.files), None)
        if first is None:
            continue
        names = [entry.part for entry in one.entries if entry.role == "part" and entry.part is not None]
        lines += ["", "[[cue]]", f"number = {_text(one.group.name)}"]
        lines += [f"name = {_text(first.header.title)}"] if first.header.title else []
        lines += [f"revision = {_text(first.revision)}"] if first.revision else []
        lines += [f"length = {first.seconds:.2f}"] if first.seconds is not None else []
        bars = first.score.parts[0].measures
        lines += [f"start_bar = {_text(bars[0].text)}"] if bars and bars[0].text else []
        lines.append(f"parts = [{', '.join(map(_text, dict.fromkeys(names)))}]")
        for entry in one.entries:
            if entry.role == "part" and entry.part is not None:
                players[entry.part] = players.get(entry.part) or entry.instrument
        if one.score is not None:
            silent += [name for pair in one.pairs for line in pair.lines if fold(name := line.name) in SILENT_ROLES]
    for number, (part, instrument) in enumerate(players.items(), 1):
        lines += ["", f"[players.player-{number}]", f"part = {_text(part)}"]
        lines.append(f"instrument = {_text(instrument)}" if instrument else "# instrument = ")
        if number == 1:
            lines += [
                '# reads = "staff"   # or "numbered", "tablature", "graphic", "by ear"',
                "# brings = { keys = [], tunings = [] }",
            ]
            lines += ["# doublings = []", "# pass = 1", '# language = "en"   # of the player\'s copy']
    if silent:
        lines += ["", "[roles]", *(f'{_text(name)} = "{NOT_PLAYED}"' for name in dict.fromkeys(silent))]
    return "\n".join(lines) + "\n"


def _text(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")

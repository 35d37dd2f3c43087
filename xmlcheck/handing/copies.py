"""The players' copies of the parts: lines for the player written in, nothing else changed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath

from xmlcheck.annotation import player_copy
from xmlcheck.handing.answer import Seen
from xmlcheck.player_lines.wish import wishes


def player_copies(seen: Seen, language: str = "") -> Iterator[tuple[str, bytes]]:
    """Path under the folder of sheets, and bytes, of each part that was paired. A linked part of an .mxl comes out by itself.

    language: of all copies, over what the players are declared to speak.
    """
    done: set[str] = set()
    for one in seen.cues:
        for stave in (stave for pair in one.pairs for stave in pair.parts):
            music = stave.music
            if music.name in done:
                continue
            done.add(music.name)
            packed = music.source.container is not None
            path = PurePosixPath(music.name.replace("!", "/"))
            data = music.source.container if music.source.container is not None else music.source.data
            yield (
                str(path.with_suffix(".player.mxl" if packed else ".player.musicxml")),
                player_copy(data, music.report, wishes(music.report, seen.config, language)),
            )

"""What each player asks of a copy: notation, key, language; from the configuration's players."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from xmlcheck.config import PITCH_RULES, Config
from xmlcheck.finding import PartInfo, Report

STRING_NUMBERS, NUMBERED = "string-numbers", "numbered"
"""Ids of reading conventions of a profile whose players read numbers: of strings, of degrees."""


@dataclass(frozen=True, slots=True)
class Wish:
    """Of one part. degrees: numbers of the degrees; strings: of the open strings. key: what is called 1, empty for the
    signature's. sized: the player says which key or size is brought. language: code such as "de". pitch_standard: hertz of A4,
    None where nobody declared it.
    """

    degrees: bool = False
    strings: bool = False
    key: str = ""
    sized: bool = False
    language: str = "en"
    pitch_standard: float | None = None


@dataclass(frozen=True, slots=True)
class Wishes:
    """By part id, and for all parts that are not listed."""

    parts: Mapping[str, Wish] = field(default_factory=dict)
    default: Wish = field(default_factory=Wish)

    def of(self, part: str) -> Wish:
        return self.parts.get(part, self.default)


def wishes(report: Report, config: Config, language: str = "") -> Wishes:
    """What the players of the configuration ask of the copies. language: for all of them, over what each declares."""
    hertz = config.pitch_standard or next((hz for rule in PITCH_RULES if (hz := _session(config, rule))), None)
    found = {}
    for info in report.parts:
        player = config.player_of(info.id, info.name, info.instrument)
        reads = player.reads if player is not None else ""
        stated = _stated(info) if not reads else ""
        found[info.id] = Wish(
            degrees=NUMBERED in (reads, stated),
            strings=reads == "tablature" or stated == STRING_NUMBERS,
            key=player.key if player is not None else "",
            sized=player is not None and not player.brings.keys().isdisjoint(("keys", "sizes")),
            language=language or (player.language if player is not None else "") or "en",
            pitch_standard=hertz,
        )
    return Wishes(found, Wish(language=language or "en", pitch_standard=hertz))


def _session(config: Config, rule: str) -> float | None:
    value = config.settings.get(rule, {}).get("session_hz")
    return float(value) if isinstance(value, (int, float)) and value > 0 else None


def _stated(info: PartInfo) -> str:
    """The id of the convention that the instrument's profile calls usual."""
    conventions = info.profile.get("facets", {}).get("reading", {}).get("conventions", ())
    return next((str(one.get("id", "")) for one in conventions if one.get("usual")), "")

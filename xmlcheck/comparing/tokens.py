"""Signs as they are compared: what they mean, none of how they look.

A token keeps the standard's own names. Left out is what another program may set as it likes: placement, fonts, numbers of
slurs, the beats of a trill in playback, defaults that may be written or not.
"""

from __future__ import annotations

from typing import NamedTuple

from xmlcheck.model import Mark


class Token(NamedTuple):
    """category: articulation, technique, ornament, dynamic, slur, hairpin, words ... name: element name; extra: what adds to it."""

    category: str
    name: str
    type: str = ""
    value: str = ""
    extra: tuple[tuple[str, str], ...] = ()

    @property
    def says(self) -> str:
        """The token as text: name, type, value, and what adds to it: `slur start`, `dynamics mf`, `bend bend-alter=2`."""
        more = (f"{key}={text}" if text else key for key, text in self.extra)
        return " ".join(piece for piece in (self.name, self.type, self.value, *more) if piece)


SPANS = frozenset((
    "slur", "wedge", "glissando", "slide", "wavy-line", "dashes", "bracket", "pedal", "octave-shift", "tuplet", "tremolo",
    "hammer-on", "pull-off",
))  # fmt: skip
"""Signs with a start and a stop, which may stand on different notes."""
STARTS = frozenset(("start", "crescendo", "diminuendo", "up", "down", "sostenuto", "resume"))
"""Types that begin one."""

_CATEGORIES = {
    ("articulations", ""): "articulation", ("technical", ""): "technique", ("ornaments", ""): "ornament", ("play", ""): "technique",
    ("notations", "dynamics"): "dynamic", ("notations", "slur"): "slur", ("notations", "tied"): "technique",
    ("notations", "glissando"): "glissando", ("notations", "slide"): "glissando", ("notations", "fermata"): "fermata",
    ("notations", "arpeggiate"): "arpeggio", ("notations", "non-arpeggiate"): "arpeggio", ("notations", "tuplet"): "tuplet",
    ("notations", "accidental-mark"): "ornament", ("notations", ""): "sign", ("note", "grace"): "grace", ("note", ""): "sign",
    ("harmony", ""): "chord symbol", ("print", ""): "part name", ("direction", "dynamics"): "dynamic",
    ("direction", "wedge"): "hairpin", ("direction", "words"): "words", ("direction", "rehearsal"): "rehearsal mark",
    ("direction", "segno"): "repeat", ("direction", "coda"): "repeat", ("direction", "pedal"): "pedal",
    ("direction", "octave-shift"): "ottava", ("direction", "dashes"): "line", ("direction", "bracket"): "line",
    ("direction", "harp-pedals"): "technique", ("direction", "damp"): "technique", ("direction", "damp-all"): "technique",
    ("direction", "string-mute"): "technique", ("direction", "percussion"): "technique", ("direction", "scordatura"): "tuning",
    ("direction", ""): "sign",
}  # fmt: skip
_PASSED = frozenset((
    ("note", "accidental"), ("note", "notehead"), ("note", "attack"), ("note", "release"), ("note", "end-dynamics"),
    ("direction", "metronome"), ("direction", "image"),
))  # fmt: skip
"""Left to fields of the note, or playback and pictures. Metronome marks are tempi and are compared as such."""
_LOOK = frozenset((
    "placement", "orientation", "line-shape", "line-type", "enclosure", "font-style", "font-weight", "bracket", "show-number",
    "show-type", "start-note", "trill-step", "two-note-turn", "accelerate", "beats", "second-beat", "last-beat", "first-beat",
    "print-object", "line", "sign", "abbreviated", "spread", "print-frame", "type-id", "time", "symbol", "line-end", "text",
    "parentheses-degrees", "bracket-degrees", "stack-degrees", "use-symbols", "steal-time-previous", "steal-time-following",
    "make-time", "parentheses", "cautionary", "editorial", "source", "long", "has-inside",
))  # fmt: skip
_LOOKS_OF_TYPE = frozenset(("fermata", "strong-accent"))
"""Signs whose type only says which way up they are printed."""


def token(mark: Mark) -> Token | None:
    """What a sign means; None for one that is left out of comparison."""
    group, name = mark.group, mark.name
    if group == "editorial" or (group, name) in _PASSED or mark.type == "continue":
        return None
    if name == "tied" and mark.type != "let-ring":
        return None
    category = _CATEGORIES.get((group, name)) or _CATEGORIES.get((group, "")) or "sign"
    kind = "" if name in _LOOKS_OF_TYPE or (name == "tremolo" and mark.type == "single") else mark.type
    value = " ".join(mark.value.split())
    extra = _extra(mark, category)
    if name == "grace":
        return Token(category, "slash") if mark.get("slash") == "yes" else None
    if name == "fermata" and value == "normal":
        value = ""
    if name == "octave-shift":
        extra = () if mark.type == "stop" else (("size", mark.get("size") or "8"),)
    if category in ("dynamic", "tuplet", "slur", "glissando"):
        extra = ()
    if category in ("glissando", "hairpin", "tuplet") and mark.type in ("stop", "start") and name != "dynamics":
        value = ""
    return Token(category, name, kind, value, extra)


def _extra(mark: Mark, category: str) -> tuple[tuple[str, str], ...]:
    kept = []
    for key, text in mark.extra:
        if key.startswith("{") or key.startswith("xml:"):
            continue
        last = key.rpartition("@")[2] if "@" in key else key
        if last in _LOOK or text == "no":
            continue
        kept.append((key, " ".join(text.split())))
    return tuple(sorted(kept)) if category != "chord symbol" else tuple(kept)

"""Marks of the tiny notation as XML: the standard's notations of a note, and signs among the directions."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from xml.sax.saxutils import escape

from xmlcheck.testing.mini_bars import MiniError


def _set(names: str) -> frozenset[str]:
    return frozenset(names.split())


ARTICULATIONS = _set(
    "accent strong-accent staccato tenuto detached-legato staccatissimo spiccato scoop plop doit falloff breath-mark caesura "
    "stress unstress soft-accent other-articulation"
)
TECHNICAL = _set(
    "up-bow down-bow harmonic open-string thumb-position fingering pluck double-tongue triple-tongue stopped snap-pizzicato "
    "fret string hammer-on pull-off bend tap heel toe fingernails hole arrow handbell brass-bend flip smear open half-muted "
    "golpe harmon-mute other-technical"
)
ORNAMENTS = _set(
    "trill-mark turn delayed-turn inverted-turn delayed-inverted-turn vertical-turn inverted-vertical-turn shake wavy-line "
    "mordent inverted-mordent schleifer tremolo haydn other-ornament"
)
OTHERS = _set("tied slur tuplet glissando slide fermata arpeggiate non-arpeggiate accidental-mark other-notation")
_TYPED = {"slur", "tied", "tuplet", "glissando", "slide", "wavy-line", "hammer-on", "pull-off", "non-arpeggiate",
          "strong-accent"}  # fmt: skip
"""Elements whose value is their type attribute, and after a slash their number."""
_INNER = {"arrow": "arrow-direction", "hole": "hole-closed", "harmon-mute": "harmon-closed"}
_NOT_NOTATIONS = ("head", "accidental", "size", "stem", "lyric")
"""Marks that `mini_xml` writes beside the notations."""
DYNAMICS = _set("p pp ppp pppp ppppp pppppp f ff fff ffff fffff ffffff mp mf sf sfp sfpp fp rf rfz sfz sffz fz n pf sfzp")
_SIGNS = {
    "cresc": '<wedge type="crescendo"/>', "dim": '<wedge type="diminuendo"/>', "end": '<wedge type="stop"/>',
    "ped": '<pedal type="start"/>', "ped-end": '<pedal type="stop"/>', "ped-change": '<pedal type="change"/>',
    "8va": '<octave-shift type="down" size="8"/>', "8vb": '<octave-shift type="up" size="8"/>',
    "15ma": '<octave-shift type="down" size="15"/>', "15mb": '<octave-shift type="up" size="15"/>',
    "8-end": '<octave-shift type="stop" size="8"/>', "15-end": '<octave-shift type="stop" size="15"/>',
    "mute": '<string-mute type="on"/>', "mute-end": '<string-mute type="off"/>',
    **{name: f"<{name}/>" for name in ("segno", "coda", "damp", "damp-all", "eyeglasses")},
}  # fmt: skip


def sign(name: str) -> tuple[str, str]:
    """The direction type of a sign such as `mf` or `cresc`, and its placement. Raises MiniError."""
    if name in DYNAMICS:
        return f"<dynamics><{name}/></dynamics>", "below"
    if name not in _SIGNS:
        raise MiniError(f"<{name}>: no such sign; there are dynamics, {', '.join(_SIGNS)}{_like(name, _SIGNS)}")
    return _SIGNS[name], "below" if "wedge" in _SIGNS[name] or "pedal" in _SIGNS[name] else "above"


def notations(marks: Iterable[tuple[str, str]], before: str = "") -> str:
    """The <notations> of a note, `before` first; empty where there are none. Raises MiniError for an unknown name."""
    groups: dict[str, str] = {}
    for name, value in marks:
        if name in _NOT_NOTATIONS or name[0] == "@":
            continue
        group = next((key for key, names in _GROUPS.items() if name in names), None)
        if name == "`":
            before += value
        elif group is None:
            raise MiniError(f"!{name}: no such mark in the standard{_like(name, (*_ALL, *_NOT_NOTATIONS))}")
        elif group:
            groups[group] = groups.get(group, "") + _element(name, value)
        else:
            before += _element(name, value)
    inner = before + "".join(f"<{group}>{text}</{group}>" for group, text in groups.items())
    return f"<notations>{inner}</notations>" if inner else ""


_GROUPS = {"articulations": ARTICULATIONS, "technical": TECHNICAL, "ornaments": ORNAMENTS, "": OTHERS}
_ALL = sorted(name for names in _GROUPS.values() for name in names)


def _like(name: str, names: Iterable[str]) -> str:
    close = get_close_matches(name, list(names), 1) or [item for item in names if name.startswith(item + "-")]
    if close and name.startswith(close[0] + "-"):
        return f" (write {close[0]}={name[len(close[0]) + 1 :]}?)"
    return f" ({close[0]}?)" if close else ""


def _element(name: str, value: str) -> str:
    first, _, second = (escape(item) for item in value.partition("/"))
    if name == "harmonic":
        kind = f"<{first}/>" if first else ""
        return f"<harmonic>{kind}{f'<{second}-pitch/>' if second else ''}</harmonic>"
    if name == "bend":
        return f"<bend><bend-alter>{first}</bend-alter>{f'<{second}/>' if second else ''}</bend>"
    if name == "tremolo":
        return f'<tremolo type="{second or "single"}">{first}</tremolo>'
    if name in _INNER:
        return f"<{name}><{_INNER[name]}>{first}</{_INNER[name]}></{name}>"
    if name in ("arpeggiate", "other-notation"):
        attribute = {"arpeggiate": f' direction="{first}"', "other-notation": f' type="{second or "single"}"'}[name]
        return f"<{name}{attribute if first else ''}>{first if name == 'other-notation' else ''}</{name}>"
    if name in _TYPED:
        attributes = (f' type="{first}"' if first else "") + (f' number="{second}"' if second else "")
        return f"<{name}{attributes}/>"
    return f"<{name}>{escape(value)}</{name}>" if value else f"<{name}/>"

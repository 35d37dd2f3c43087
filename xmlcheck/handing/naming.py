"""What a file's name and header say of cue, part and revision. Numbering such as 2m4 (reel, music, cue): common practice, no source."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import PurePosixPath

from lxml import etree

from xmlcheck.partname import fold

_CUE = re.compile(r"(?<![a-z0-9])(\d{1,2})\s?m\s?(\d{1,3}[a-z]?)(?![a-z0-9])", re.IGNORECASE)
_REVISION = re.compile(r"(?<![^\W_])(?:rev(?:ision)?|version|ver|v|issue)[\s._-]*(\d{1,3}|[a-h])(?![^\W_])", re.IGNORECASE)
_FIELD = re.compile(r"\A(?:revision|rev|version|issue)\Z", re.IGNORECASE)
_SCORE = re.compile(
    r"(?<![^\W_])(?:full|conductor'?s?|concert|transposed)?\s*(?:score|partitura|partitur|conductor|particell?)(?![^\W_])",
    re.IGNORECASE,
)
_BLANK = re.compile(r"[\s_.,()\[\]-]+")


@dataclass(frozen=True, slots=True)
class Header:
    """What a file says about itself. cue: a cue number such as "1m2", empty where there is none. fields: lower-case name to text."""

    title: str = ""
    cue: str = ""
    revision: str = ""
    credits: tuple[str, ...] = ()
    fields: tuple[tuple[str, str], ...] = ()


def cue_number(text: str) -> str:
    """The cue number in a text, `1m2`, or empty."""
    match = _CUE.search(text.replace("_", " "))
    return f"{int(match[1])}m{match[2].lower().lstrip('0')}" if match else ""


def revision(text: str) -> str:
    """The revision in a text, `B` or `2`, or empty."""
    matches = _REVISION.findall(text.replace("_", " "))
    return matches[-1].upper().lstrip("0") if matches else ""


def says_score(name: str) -> bool:
    """Whether a file's name says that it is the score."""
    return bool(_SCORE.search(PurePosixPath(name).stem.replace("_", " ")))


def words(name: str) -> str:
    """A file's name without folder, suffix, cue number and revision, as words."""
    text = PurePosixPath(name.rpartition("!")[2] or name).stem.replace("_", " ")
    return " ".join(_BLANK.sub(" ", _REVISION.sub(" ", _CUE.sub(" ", text))).split())


def header(root: etree._Element) -> Header:
    """The header of a score. Titles, numbers, credits and miscellaneous fields are looked at."""
    texts = [root.findtext(path) or "" for path in ("work/work-title", "movement-title", "work/work-number", "movement-number")]
    credits = tuple(" ".join("".join(map(str, one.itertext())).split()) for one in root.iterfind("credit/credit-words"))
    fields = tuple(
        ((one.get("name") or "").strip().lower(), " ".join((one.text or "").split()))
        for one in root.iterfind("identification/miscellaneous/miscellaneous-field")
    )
    title = next((" ".join(text.split()) for text in texts[:2] if text.strip()), "")
    if texts[0].strip() and texts[1].strip():
        title = " ".join(texts[1].split())  # a cue is a movement of the work
    numbers = [text for name, text in fields if name in ("cue", "cue number")] + [*texts, *credits]
    cue = next((found for text in numbers if (found := cue_number(text))), "")
    told = [text for name, text in fields if _FIELD.match(name)]
    own = told[0].strip().upper() if told else ""
    own = own or next((found for text in credits if (found := revision(text))), "")
    return Header(title, cue, own, credits, fields)


def same(one: str, other: str) -> bool:
    """Whether two headings are the same, accents, case and signs aside."""
    return fold(one) == fold(other)

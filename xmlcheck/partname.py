# ruff: noqa: RUF001, SIM905 - letters of other scripts are meant; lists of words read best as text
"""A part's heading taken apart: instrument words, key or size, number, solo, players, desk, further instruments.

Knows the words that stand around an instrument's name in several languages and scripts, and no instrument. The lists are
common practice of part headings, no source. Folding is Unicode's (NFKC, full case folding); accents go for Latin only.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace
from functools import lru_cache

from xmlcheck.folding import ACCENTS, HIDDEN_FIGURES, fold, fold_lines

__all__ = ["MOST", "PartName", "bare_key", "find_key", "fold", "fold_lines", "key_name", "part_name"]


@dataclass(frozen=True, slots=True)
class PartName:
    """What one heading says.

    stem: the instrument words, folded, without numbers, desk, key and player words; empty where nothing is left.
    key: "Bb", "F", "Bb low", "Bb & A" (several), or a size such as "1.8". number: "2", "1 & 2", "1 & 2 & 3".
    players: 2 for "a 2" or "1 & 2", 3 for "(3 players)" or "1-3". section: True tutti or divided, False solo, None unknown.
    doubles: stems of the further instruments that it names.
    pieces: the stem's parts where brackets, dashes or a change of script divide it (a gloss in another language).
    """

    text: str
    stem: str
    key: str = ""
    number: str = ""
    solo: bool = False
    players: int | None = None
    section: bool | None = None
    desk: str = ""
    doubles: tuple[str, ...] = ()
    pieces: tuple[str, ...] = ()


# NEUTRAL words say nothing about the instrument beside its name; NAMELESS ones where no other word stands.
_NEUTRAL = frozenset(
    "part parts player players parte parti partie parties stimme stimmen stemme soli principal principale obbligato obligato "
    "obligat concertante conductor for für fur per pour パート 声部 聲部".split()
)
_NAMELESS = frozenset("music musicxml score staff stave track instrument channel midi untitled unnamed p".split())
# Words of a way of playing, as tracks of a mock-up bear them beside the player's name; common practice, no source. At the start
# of a name only what begins no instrument's name ("Sus. cymbal").
_PLAYED_FIRST = frozenset("legato staccato spiccato pizz pizzicato arco".split())
_PLAYED = _PLAYED_FIRST | frozenset(
    "long longs short shorts sus sust sustain sustained sustains leg stac stacc staccatissimo spic spicc marc marcato trem trems "
    "tremolo detache espr ord pont ponticello tasto sord sordino muted flautando flutter".split()
)
_PLAYED_LEADS = frozenset("sul con col non".split())  # before the last of them: "sul pont", "con sord"
_ORDINALS = {
    word: number
    for number, words in enumerate(
        (
            "first 1st erste erster erstes premier premiere primo prima primero primera primer primeiro primeira eerste "
            "forsta første forste первая первый первые",
            "second 2nd zweite zweiter zweites deuxieme seconde secondo seconda segundo segunda andra anden tweede "
            "вторая второй",
            "third 3rd dritte dritter drittes troisieme terzo terza tercero tercera terceiro terceira tredje derde "
            "третья третий",
            "fourth 4th vierte vierter viertes quatrieme quarto quarta cuarto cuarta fjerde fjarde vierde четвертая четвёртая",
            "fifth 5th fünfte funfte cinquieme quinto quinta femte vijfde пятая",
            "sixth 6th sechste sixieme sesto sesta sexto sexta sjette zesde шестая",
        ),
        1,
    )
    for word in words.split()
}
_CARDINALS = dict(zip("due tre quattro deux trois quatre zweit dritt viert zwei drei vier".split(), (2, 3, 4) * 4, strict=True))
_ROMANS = {roman: n for n, roman in enumerate("i ii iii iv v vi vii viii ix x".split(), 1)}
_HAN = {char: n for n, char in enumerate("一二三四五六七八九十", 1)}
_SOLO = re.compile(r"(?<!\w)(?:solos?|sola|solist(?:e|in|a)?|soloist|соло|ソロ)(?!\w)|独奏|獨奏|독주", re.IGNORECASE)
_TUTTI = re.compile(
    r"(?<!\w)(?:tutti|divisi|div|unis|sections?|sect|sektion|ripien[oi]|gli altri|(?:die )?übrigen|les autres)(?!\w)\.?"
    "|[齐齊合]奏",
    re.IGNORECASE,
)

# Keys.
_SIGN_WORD = r"(?i:flat|sharp|natural|bemolle|bemol|bémol|bem\b\.?|diesis|dièse|diese|sostenido|бемоль|диез)"
_SIGN = rf"(?:\s*-?\s*(?:[♭♯♮#]|{_SIGN_WORD})|b)"
_LETTER = rf"(?:[DG]es|Ces|Bes|[FCGD]is|Ess?|Ass?|[A-H]{_SIGN}?)"
_SYLLABLE = rf"(?:Do|Ut|R[eé]|Mi|F[aá]|Sol|L[aá]|Si|до|ре|ми|фа|соль|ля|си){_SIGN}?"
_STEPS = dict(zip("do ut re mi fa sol la si до ре ми фа соль ля си".split(), "CCDEFGABCDEFGAB", strict=True))
_STEPS |= dict(zip("ハニホヘトイロh", "CDEFGABB", strict=True))
_OCTAVE = r"(?:\s+(?i:(?P<low>basso|bassa|grave|tief|low)|(?P<high>alto|acuto|hoch|high)))?"
_LEAD = r"(?P<lead>(?:\d+(?:\.|st|nd|rd|th)?\s+|(?i:solo|low|high)\s+)*)"
_NO_NAME = r"(?!(?i:solo|soli|tutti|div|part|player|section|desk|i{1,3}|iv)\b)"
_BARE_KEY = re.compile(rf"\s*({_LETTER}|{_SYLLABLE})\s*")  # after "in B flat and"
_KEY_LIST = re.compile(
    rf"(?<!\w)(?i:in|en|em)\s+(?i:{_LETTER}|{_SYLLABLE})(?:\s*,\s*(?i:{_LETTER}|{_SYLLABLE})(?!\w))+"
)  # "in D, A"
_KEYS = tuple(
    re.compile(pattern)
    for pattern in (
        rf"(?<!\w)(?i:in|en|em)\s+(?P<key>(?i:{_LETTER}|{_SYLLABLE})){_OCTAVE}(?!\w)",
        rf"(?<!\w)i\s+(?P<key>{_LETTER})(?!\w)",
        rf"[(\[]\s*(?P<key>{_LETTER}|{_SYLLABLE}){_OCTAVE}\s*[)\]]",
        r"(?P<key>(?:[降変变嬰升b♭](?=[A-Gイロハニホヘト]))?(?:[A-H][♭b♯#]?|[イロハニホヘト]))\s*(?P<cjk>[管调調])",
        # before the name; a letter with a dot is an abbreviation, and a bare E before a name is German for electric
        rf"^{_LEAD}(?P<key>(?i:[A-G]|do|r[eé]|mi|fa|sol|la|si){_SIGN})(?:\s*-\s*|\s+){_NO_NAME}(?=[^\W\d_]{{2}})",
        rf"^{_LEAD}(?P<key>[ABCDFGH]|Es|As|Des|Fis|Bes)(?:-|\s+){_NO_NAME}(?=[^\W\d_]{{4,}}(?!\.))",
        # behind it
        rf"(?:(?<=\w\w)|(?<=\w\w\.))\s+(?P<key>[BEA]b|[A-G](?!b){_SIGN}?|{_SYLLABLE})(?=\s*$|\s+(?:\d|[IV]+\b)|\s*[(\[,])",
    )
)

MOST = 400
"""Characters of a heading that are read: several times the longest known, and few enough that no pattern takes long."""

# Numbers, desks, players. _COUNT: figures that belong to the name ("17-string"), hidden while numbers are read.
_COUNT = re.compile(
    r"\d+(?=[\s-]*(?:(?i:strings?|stringed|saitig|cordes?|cuerdas?|telli|reeds?|keys?|keyed|holes?|courses?|rows?)\b|[絃弦簧孔현줄]))"
)
_HIDE = str.maketrans({str(n): chr(HIDDEN_FIGURES + n) for n in range(10)})
_SIZE = re.compile(r"(?<![\d.])(?P<lead>^|[(\[]\s*)?(\d)\.(\d)(?![\d.])(尺)?|([一二三\d])尺([一二三四五六七八九\d])寸?管?")
_ALSO_WORDS = r"(?i:doubling|doubles|also|auch|anche|aussi|también|muta in|change to|to)"
_ALSO = re.compile(rf"[(\[]\s*(?:{_ALSO_WORDS}|(?i:dbl\.?)|[+&])\s*([^)\]]+)[)\]]|[,;]?\s+{_ALSO_WORDS}\s+(?=\w)")
_JOIN = re.compile(
    r"\s*[/+&、兼]\s*|\s+(?i:and|und|et)\s+|\s+(?:u\.|y|och|og)\s+|(?<!\b[iIeE]n)\s+ed?\s+(?!flat|♭|natural)"
    r"|(?<=[.\d])\s*[,;]\s*|\s*[,;]\s*(?=\d|[IVX]+\b)"
)
_DESK_WORD = r"(?i:desks?|pulte?|pupitres?|leggi[oi]|stands?|プルト)"
_DESK = re.compile(
    rf"(\d+(?:\s*-\s*\d+)?)\s*(?:st|nd|rd|th|\.|er|e)?\s*{_DESK_WORD}(?!\w)"
    rf"|(?<!\w){_DESK_WORD}\s*(\d+(?:\s*-\s*\d+)?|[a-hA-H]\b)"
)
_PLAYERS = re.compile(
    r"[(\[]?(?<!\w)(?:[aà]|zu)\s?(\d{1,2})(?!\w)[)\]]?|(?<!\w)A([2-9])$|(?<!\w)(?:a|à|zu)\s("
    + "|".join(_CARDINALS)
    + r")(?!\w)|[(\[]?(\d{1,2})\s*(?i:players?|spieler|exécutants?|esecutori|suonatori|musiker|人|名)(?!\w)[)\]]?"
    r"|(?<!\w)[x×](\d{1,2})(?!\w)|(?<!\w)(\d{1,2})[x×](?!\w)"
)
_TRACK = re.compile(r"^0\d+\b[\s.:-]*(?=\S)")
_LEADING = re.compile(
    r"^#?\s*((?:\d+\.\s*)+|\d+(?:st|nd|rd|th|er|[eè]re|i?[eè]me|re|e|a|-?я|-?й)\.?(?=\s)"
    r"|(?:(?:I{1,3}|IV)(?:\.\s*|\s+))+|\d{1,2}\s*[-:])[\s-]*(?=[^\W\d_]{2})"
)
_CARDINAL = re.compile(r"^(\d{1,2})\s+(?=[^\W\d_])")
_HAN_NUMBER = re.compile(
    r"[第제]\s*(十[一二三四五六七八九]?|[一二三四五六七八九]|\d+)\s*[番部]?|(?<=[\u3040-\u9fff\s])([一二三四])$"
)
_BRACKET = re.compile(r"[(\[]\s*(\d{1,2}|I{1,3}|IV)\.?\s*[)\]]")
_TRAILING = re.compile(
    r"(?:^|(?<=[\s.(\-])|(?<=[^\W\d_]))(?:(?<!\w)(?i:nos?|nr|num)\.?\s*|#\s*)?(\d{1,2}(?:\s*[.\-]\s*\d{1,2})*)"
    r"(?:st|nd|rd|th|er|[eè]me|mo|do)?\.?([a-dA-D])?$"
)
_ROMAN = r"(?:I{1,3}|IV|VI{0,3}|IX|X)"
_TRAILING_ROMAN = re.compile(
    rf"(?:^|(?<=[\s.(\-])|(?<=[a-z\u2e80-\ud7af]))({_ROMAN}(?:\s*[.\-]\s*{_ROMAN})*)\.?([a-d])?$"
    rf"|(?<=[\s.])(i{{1,3}}|iv)\.?$"
)
_BREAKS = re.compile(r"[()\[\]|:;=—]|\s-+\s")
_CJK = "\u2e80-\ua4cf\uac00-\ud7af\uf900-\ufaff"
_SCRIPTS = re.compile(
    rf"(?<=[a-zA-Z.])\s*(?=[{_CJK}])|(?<=[{_CJK}])\s*(?=[a-zA-Z])"
    r"|(?<=[a-zA-Z])\s+(?=[\u0370-\u1fff])|(?<=[\u0370-\u1fff])\s+(?=[a-zA-Z])"
)

# Folding. _READ: ordinal signs, number sign, dashes and the music font's accidentals, as one types them.
_READ = str.maketrans("ªº°№_–−\ue260\ue261\ue262", "...# --♭♮♯")


@lru_cache(maxsize=512)
def key_name(text: str) -> str:
    """A key as "Bb", "F#", "C": letters, German names and syllables in. B alone is B flat, H and "B natural" are B.

    What is no key (a size, a house word) comes back folded.
    """
    if (octave := re.fullmatch(rf"(.+?){_OCTAVE}", text)) and octave[1] != text:
        return f"{key_name(octave[1])} {'low' if octave['low'] else 'high'}"
    plain = re.sub(r"[\s.\-]", "", re.sub(r"^[b♭](?=[A-G])", "降", text).casefold())
    plain = ACCENTS.sub("", unicodedata.normalize("NFD", plain))
    plain = re.sub("bemolle|bemol|bem|flat|бемоль", "♭", plain)
    plain = re.sub("diesis|diese|sostenido|sharp|диез|#", "♯", plain)
    plain = plain.replace("natural", "♮")
    found = re.fullmatch(r"(?P<pre>[降変变嬰升])?(?P<step>[a-h]|[^\W\d_]+?)(?P<sign>[♭♯♮]|b|e?s|is)?", plain)
    if not found or (found["step"] not in _STEPS and found["step"] not in set("abcdefgh")):
        return fold(text) if not re.fullmatch(r"\s*\d\.\d+\s*", text) else text.strip()
    step = _STEPS.get(found["step"], found["step"].upper())
    sign = found["sign"] or found["pre"] or ""
    if sign in ("♯", "is", "嬰", "升"):
        return f"{step}#"
    if sign == "♮" or (not sign and plain != "b"):
        return step
    return f"{step}b"


def find_key(text: str) -> tuple[str, str]:
    """The key or size that a heading names, "" where none, and the heading without it."""
    for pattern in _KEYS:
        if found := pattern.search(text):
            groups = found.groupdict()
            key = "B" if (groups.get("cjk") or "管") in "调調" and groups["key"] == "B" else key_name(groups["key"])
            octave = " low" if groups.get("low") else " high" if groups.get("high") else ""
            return key + octave, f"{text[: found.start()]} {groups.get('lead') or ''}{text[found.end() :]}".strip()
    return "", text


def _find_size(text: str) -> tuple[str, str]:
    """ "1.8" or 一尺九寸. Two figures close to each other are part numbers ("1.2", "2.4") unless set apart."""
    found = _SIZE.search(text)
    if not found:
        return "", text
    low, high = (found[2], found[3]) if found[2] else (found[5], found[6])
    low, high = (str(_HAN.get(figure, figure)) for figure in (low, high))
    gap = int(high) - int(low)
    if found[2] and not found[4] and (gap == 1 or (gap == 2 and found["lead"] is None)):
        return "", text
    return f"{low}.{high}", f"{text[: found.start()]} {text[found.end() :]}".strip(" ()[]")


@lru_cache(maxsize=4096)
def part_name(text: str) -> PartName:
    """Take a heading apart. Never raises; what is not understood stays in `stem`. Only the first MOST characters are read."""
    source = unicodedata.normalize("NFKC", text[:MOST].translate(_READ))
    source = " ".join(_COUNT.sub(lambda found: found[0].translate(_HIDE), source).split())
    source = _KEY_LIST.sub(lambda found: found[0].replace(",", " & "), source)
    source = _ALSO.sub(lambda found: f" / {found[1] or ''}", source)
    pieces = [piece for piece in _JOIN.split(source) if piece.strip()]
    found = [_single(piece, len(pieces) > 1) for piece in pieces]
    return replace(_together(found), text=text) if found else PartName(text, "")


def _together(found: list[PartName]) -> PartName:
    """Pieces without instrument words ("… & 2", "… and A") belong to the one before, or at the start to the one after."""
    first = next((n for n, item in enumerate(found) if item.stem), 0)
    head = found[first]
    stop = next((n for n, item in enumerate(found) if item.stem not in ("", head.stem)), len(found))
    mine = found[:stop]
    numbers = list(dict.fromkeys(number for item in mine for number in item.number.split(" & ") if number))
    solo = any(item.solo for item in mine)
    tutti = any(item.section for item in mine)
    return replace(
        head,
        key=" & ".join(dict.fromkeys(item.key for item in mine if item.key)),
        number=" & ".join(numbers),
        players=next((item.players for item in mine if item.players), len(numbers) if len(numbers) > 1 else None),
        solo=solo,
        section=None if solo == tutti else tutti,
        desk=next((item.desk for item in mine if item.desk), ""),
        doubles=tuple(dict.fromkeys(item.stem for item in found[stop:] if item.stem not in ("", head.stem))),
    )


def _single(text: str, joined: bool) -> PartName:
    """One instrument's words. Order matters: a desk's and a key's letters and figures must not be read as part numbers."""
    if joined and (bare := _BARE_KEY.fullmatch(text)):
        return PartName(text, "", key_name(bare[1]))
    rest, desk = _take(_DESK, text)
    key, rest = find_key(rest)
    rest, count = _take(_PLAYERS, rest)
    size, rest = _find_size(rest)
    unsolo = _SOLO.sub(" ", rest)
    whole = _TUTTI.sub(" ", unsolo)
    tutti = whole != unsolo
    plain = re.sub(r"[(\[]\s*[)\]]", " ", whole)
    left, numbers, letter, leading = _numbers(" ".join(_named(plain.split())).strip(" ,-"))
    pieces: list[str] = []
    for piece in _BREAKS.split(_SCRIPTS.sub(" | ", left)):
        words = [word for word in fold(piece).split() if word not in _NEUTRAL]
        if kept := [word for word in words if word not in _ORDINALS]:
            if not _NAMELESS.issuperset(kept):
                pieces.append(" ".join(kept))
        elif words and not pieces and len(words) == len(fold(text).split()):
            pieces.append(" ".join(words))  # "Primo" alone is a name
            continue
        numbers += [str(_ORDINALS[word]) for word in words if word in _ORDINALS]
    players = None if tutti else int(count) if count.isdigit() else _CARDINALS.get(count)  # "div. a 3" counts divisions
    return PartName(
        text,
        stem=" ".join(pieces),
        key=key or size,
        number=" & ".join(dict.fromkeys(numbers)),
        solo=unsolo != rest,
        players=players or leading,
        section=tutti or None,
        desk=re.sub(r"\s*-\s*", " & ", desk) or letter,
        pieces=tuple(pieces),
    )


def _named(words: list[str]) -> list[str]:
    """The words without those of a way of playing before and behind them; all of them where no other is left."""
    folded = [fold(word) for word in words]
    start, end = 0, len(words)
    while start < end and folded[start] in _PLAYED_FIRST:
        start += 1
    while end > start and folded[end - 1] in _PLAYED:
        end -= 1
        while end > start and folded[end - 1] in _PLAYED_LEADS:
            end -= 1
    return words[start:end] or words


def bare_key(text: str) -> str:
    """The key that a text names and nothing else ("A", "B flat", "Sib"), as `key_name` spells it; "" for any other text."""
    found = _BARE_KEY.fullmatch(text)
    return key_name(found[1]) if found else ""


def _take(pattern: re.Pattern[str], text: str) -> tuple[str, str]:
    """The text without the pattern's first match, and the value of the group that was filled."""
    found = pattern.search(text)
    if not found:
        return text, ""
    return f"{text[: found.start()]} {text[found.end() :]}".strip(), next(group for group in found.groups() if group).lower()


def _numbers(text: str) -> tuple[str, list[str], str, int | None]:
    """The text without its part numbers; the numbers; a desk letter behind one; a leading count of players."""
    numbers: list[str] = []
    leading = None
    text = _TRACK.sub("", text)
    if found := _LEADING.match(text):
        numbers += _values(found[1])
        text = text[found.end() :]
    elif found := _CARDINAL.match(text):
        leading, text = int(found[1]), text[found.end() :]
    for pattern in (_HAN_NUMBER, _BRACKET):
        text, value = _take(pattern, text)
        numbers += _values(value)
    letter = ""
    if found := _TRAILING.search(text) or _TRAILING_ROMAN.search(text):
        groups = [group for group in found.groups() if group]
        numbers += _values(groups[0])
        letter = groups[1].lower() if len(groups) > 1 else ""
        text = re.sub(r"\s(?:di|da|de)$", "", text[: found.start()].rstrip(" #,-("))
    return text, numbers, letter, leading


def _values(text: str) -> list[str]:
    """ "1.2." → 1, 2; "I-III" → 1, 2, 3; 十二 → 12."""
    if text[:1] in _HAN:
        return [str(sum(_HAN[char] for char in text))]
    items = re.findall(r"\d+|\b[ivx]+\b", text.casefold())
    values = [int(item) if item.isdigit() else _ROMANS[item] for item in items]
    if len(values) == 2 and "-" in text and values[0] < values[1] <= values[0] + 12:
        values = list(range(values[0], values[1] + 1))
    return [str(value) for value in values]

# ruff: noqa: RUF001 - full-width signs are what these languages write
"""Our own few words in other languages. Translations are from memory, unchecked; what is not here stands in English."""

from __future__ import annotations

from collections.abc import Iterable

_WORDS: dict[str, dict[str, str]] = {
    "en": {
        "pitch": "Pitch standard",
        "mode": "Mode",
        "tonic": "tonic",
        "signs": "Signs, against the natural note",
        "strings": "Numbers below: the open string, where one string alone has the note",
        "degrees": "1 = {one} (' an octave higher, comma an octave lower)",
    },
    "de": {
        "pitch": "Stimmton",
        "mode": "Modus",
        "tonic": "Grundton",
        "signs": "Zeichen, gegen den Stammton",
        "strings": "Zahlen unten: die leere Saite, wo nur eine den Ton hat",
        "degrees": "1 = {one} (' eine Oktave höher, Komma eine Oktave tiefer)",
        "Tuning:": "Stimmung:",
        "Pedals:": "Pedale:",
        "Levers:": "Klappen:",
        "breath after this note": "Atem nach dieser Note",
    },
    "fr": {
        "pitch": "Diapason",
        "mode": "Mode",
        "tonic": "tonique",
        "signs": "Signes, par rapport à la note naturelle",
        "strings": "Chiffres au-dessous : la corde à vide, si une seule a la note",
        "degrees": "1 = {one} (' une octave plus haut, virgule une octave plus bas)",
        "Tuning:": "Accord :",
        "Pedals:": "Pédales :",
        "Levers:": "Leviers :",
        "breath after this note": "respiration après cette note",
    },
    "it": {
        "pitch": "Diapason",
        "mode": "Modo",
        "tonic": "tonica",
        "signs": "Segni, rispetto alla nota naturale",
        "strings": "Numeri sotto: la corda vuota, dove una sola ha la nota",
        "degrees": "1 = {one} (' un'ottava sopra, virgola un'ottava sotto)",
        "Tuning:": "Accordatura:",
        "Pedals:": "Pedali:",
        "Levers:": "Leve:",
        "breath after this note": "respiro dopo questa nota",
    },
    "es": {
        "pitch": "Diapasón",
        "mode": "Modo",
        "tonic": "tónica",
        "signs": "Signos, respecto a la nota natural",
        "strings": "Números debajo: la cuerda al aire, donde una sola tiene la nota",
        "degrees": "1 = {one} (' una octava más alta, coma una octava más baja)",
        "Tuning:": "Afinación:",
        "Pedals:": "Pedales:",
        "Levers:": "Palancas:",
        "breath after this note": "respiración después de esta nota",
    },
    "ja": {
        "pitch": "基準ピッチ",
        "mode": "旋法",
        "tonic": "主音",
        "signs": "記号（幹音との差）",
        "strings": "下の数字：開放弦（その音の弦が一本だけの場合）",
        "degrees": "1 = {one}（' は1オクターブ上、コンマは1オクターブ下）",
        "Tuning:": "調弦：",
        "Pedals:": "ペダル：",
        "Levers:": "レバー：",
        "breath after this note": "この音の後で息継ぎ",
    },
    "zh": {
        "pitch": "标准音高",
        "mode": "调式",
        "tonic": "主音",
        "signs": "记号（与本位音之差）",
        "strings": "下方数字：空弦（仅一根弦有此音时）",
        "degrees": "1 = {one}（' 高八度，逗号低八度）",
        "Tuning:": "定弦：",
        "Pedals:": "踏板：",
        "Levers:": "拨杆：",
        "breath after this note": "此音后换气",
    },
}  # fmt: skip
LANGUAGES = tuple(_WORDS)


def unknown(languages: Iterable[str]) -> list[str]:
    """A sentence for each language that there are no words in. `de-AT` and `zh-Hans` are asked by their first part."""
    known = ", ".join(LANGUAGES)
    missing = dict.fromkeys(text for text in languages if text and _base(text) not in _WORDS)
    return [f'no words in the language "{text}" (known: {known}); English is written.' for text in missing]


def said(key: str, language: str) -> str:
    """Our word in a language, else in English."""
    return _WORDS.get(_base(language), {}).get(key) or _WORDS["en"].get(key, key)


def plan_text(text: str, language: str) -> str:
    """A plan's line with its opening words in the language, where they are known; else as it is."""
    for key, word in _WORDS.get(_base(language), {}).items():
        if text.startswith(key):
            return word + text[len(key) :]
    return text


def _base(language: str) -> str:
    return language.replace("_", "-").split("-")[0].strip().lower()

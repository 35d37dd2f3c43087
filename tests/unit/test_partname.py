"""Headings taken apart. Expected values: headings as these languages have them in part lists; common practice, no source."""
# ruff: noqa: RUF001 - letters of other scripts are meant

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from xmlcheck.partname import find_key, fold, fold_lines, key_name, part_name

NUMBERS = [  # heading, stem, number
    ("Vn. I", "vn", "1"),
    ("Vn. ii", "vn", "2"),
    ("Violin II.", "violin", "2"),
    ("VIOLINO PRIMO", "violino", "1"),
    ("Violino secondo", "violino", "2"),
    ("Violino 1º", "violino", "1"),
    ("Violino 2", "violino", "2"),
    ("Piano 1", "piano", "1"),
    ("Viola da Iª", "viola", "1"),
    ("1st Violin", "violin", "1"),
    ("First Violins", "violins", "1"),
    ("Erste Violine", "violine", "1"),
    ("Zweite Geige", "geige", "2"),
    ("I. Violine", "violine", "1"),
    ("1er violon", "violon", "1"),
    ("2ème violon", "violon", "2"),
    ("Second violon", "violon", "2"),
    ("Violín segundo", "violin", "2"),
    ("1-я скрипка", "скрипка", "1"),
    ("Вторая скрипка", "скрипка", "2"),
    ("2. Klarinette", "klarinette", "2"),
    ("Violin1", "violin", "1"),
    ("Vln.2", "vln", "2"),
    ("VlnII", "vln", "2"),
    ("Violin No. 2", "violin", "2"),
    ("Violin #2", "violin", "2"),
    ("Ｖｉｏｌｉｎ　２", "violin", "2"),
    ("Violin Ⅱ", "violin", "2"),
    ("二胡①", "二胡", "1"),
    ("二胡Ⅱ", "二胡", "2"),
    ("第一二胡", "二胡", "1"),
    ("第二琵琶", "琵琶", "2"),
    ("第1ヴァイオリン", "ヴァイオリン", "1"),
    ("제2바이올린", "바이올린", "2"),
    ("尺八 一", "尺八", "1"),
    ("琵琶二", "琵琶", "2"),
    ("Piano (2)", "piano", "2"),
    ("Horns 1 & 2", "horns", "1 & 2"),
    ("Horn 1.2", "horn", "1 & 2"),
    ("Horn 2.4", "horn", "2 & 4"),
    ("1.2. Hörner", "horner", "1 & 2"),
    ("1./2. Horn", "horn", "1 & 2"),
    ("Horn I/II", "horn", "1 & 2"),
    ("Trumpet 1,2", "trumpet", "1 & 2"),
    ("Trumpets 1-3", "trumpets", "1 & 2 & 3"),
    ("Trumpets 1–3", "trumpets", "1 & 2 & 3"),
    ("Violino I e II", "violino", "1 & 2"),
    ("Violine I und II", "violine", "1 & 2"),
    ("1 - Violin", "violin", "1"),
    ("01 Violin", "violin", ""),  # a track number
    ("Part 3", "", "3"),
    ("P1", "", "1"),
]

KEEP = [  # figures and words that belong to the name: nothing may be taken off
    ("17-string koto", "17 string koto"),
    ("十七絃", "十七絃"),
    ("尺八", "尺八"),  # ends with a numeral
    ("二胡", "二胡"),  # begins with one
    ("三味線", "三味線"),
    ("四胡", "四胡"),
    ("Viola da gamba", "viola da gamba"),
    ("Oboe d’amore", "oboe damore"),
    ("Cor anglais", "cor anglais"),
    ("E-Gitarre", "e gitarre"),  # E is no key here
    ("B. Cl.", "b cl"),  # nor are these letters
    ("D. B.", "d b"),
    ("Cb. Solo", "cb"),
    ("Dbl. Bass", "dbl bass"),
    ("Quinto", "quinto"),  # an ordinal alone is a voice's name
    ("Clarinet, Bass", "clarinet bass"),
    ("Çalgı: Kânun", "calgi kanun"),
    ("‘Ūd", "ud"),
    ("đàn tranh", "dan tranh"),
    ("قانون", "قانون"),
    ("Йоники", "йоники"),  # accents go for Latin letters only
]

KEYS = [  # heading, stem, key
    ("Clarinet in B♭", "clarinet", "Bb"),
    ("Clarinet in Bb 2", "clarinet", "Bb"),
    ("CLARINET IN B FLAT", "clarinet", "Bb"),
    ("clarinet in e flat", "clarinet", "Eb"),
    ("Clarinet in B", "clarinet", "Bb"),
    ("Clarinet in B♮", "clarinet", "B"),
    ("Klarinette in B", "klarinette", "Bb"),
    ("Klarinette in H", "klarinette", "B"),
    ("Es-Klarinette", "klarinette", "Eb"),
    ("B-Klarinette", "klarinette", "Bb"),
    ("2. Klarinette in A", "klarinette", "A"),
    ("Horn in Fis", "horn", "F#"),
    ("B♭ Clarinet", "clarinet", "Bb"),
    ("2nd Bb Clarinet", "clarinet", "Bb"),
    ("A Clarinet", "clarinet", "A"),
    ("Clarinet (A)", "clarinet", "A"),
    ("Horn (F)", "horn", "F"),
    ("Horn F 2", "horn", "F"),
    ("Cor en fa", "cor", "F"),
    ("Clarinette en si♭", "clarinette", "Bb"),
    ("Clarinette en la", "clarinette", "A"),
    ("Trompette en ut", "trompette", "C"),
    ("Cor en ré", "cor", "D"),
    ("Clarinetto in Si bemolle", "clarinetto", "Bb"),
    ("Tromba in Sib basso", "tromba", "Bb low"),
    ("Corno in B alto", "corno", "Bb high"),
    ("Clarinete en Si bemol", "clarinete", "Bb"),
    ("Trompa em Fá", "trompa", "F"),
    ("Clarinete Sib 1", "clarinete", "Bb"),
    ("Klarinet i B", "klarinet", "Bb"),
    ("Кларнет in B", "кларнет", "Bb"),
    ("Кларнет си-бемоль", "кларнет", "Bb"),
    ("クラリネット B♭管 2", "クラリネット", "Bb"),
    ("ホルン（F管）", "ホルン", "F"),
    ("笛子(D调)", "笛子", "D"),
    ("D调曲笛", "曲笛", "D"),
    ("降B调笛", "笛", "Bb"),
    ("bB调新笛", "新笛", "Bb"),
    ("Low D Whistle", "low whistle", "D"),
    ("Low Whistle in D", "low whistle", "D"),
    ("Si bemol klarnet", "klarnet", "Bb"),
    ("Clarinet in B♭ and A", "clarinet", "Bb & A"),
    ("Clarinet in B♭ / A", "clarinet", "Bb & A"),
    ("Horn in F & E♭", "horn", "F & Eb"),
    ("Shakuhachi 1.8", "shakuhachi", "1.8"),
    ("Shakuhachi (2.4)", "shakuhachi", "2.4"),
    ("尺八 一尺八寸", "尺八", "1.8"),
    ("尺八（2尺4寸）", "尺八", "2.4"),
    ("尺八（一尺八寸管）", "尺八", "1.8"),
]

PLAYERS = [  # heading, players, solo, section
    ("Corni in F a 4", 4, False, None),
    ("Trombe a2", 2, False, None),
    ("Hörner zu 4", 4, False, None),
    ("Cors à deux", 2, False, None),
    ("4 Corni in F", 4, False, None),
    ("2 Klarinetten in B", 2, False, None),
    ("Horns 1 & 2", 2, False, None),
    ("Violins (3 players)", 3, False, None),
    ("Violine (2 Spieler)", 2, False, None),
    ("Violin x2", 2, False, None),
    ("Solo Violin", None, True, False),
    ("Violino I solo", None, True, False),
    ("Solo-Violine", None, True, False),
    ("Violine (Solo)", None, True, False),
    ("独奏二胡", None, True, False),
    ("Viole tutti", None, False, True),
    ("Violini II div. a 3", None, False, True),  # counts the divisions, not the players
    ("Violin section", None, False, True),
    ("Violine (die übrigen)", None, False, True),
    ("Violins", None, False, None),
]

DOUBLES = [  # heading, stem, number, doubles
    ("Flute / Piccolo", "flute", "", ("piccolo",)),
    ("Flute (doubling piccolo)", "flute", "", ("piccolo",)),
    ("Fl., Picc.", "fl", "", ("picc",)),
    ("Fl. 3/Picc.", "fl", "3", ("picc",)),
    ("Picc./Fl. 3", "picc", "", ("fl",)),
    ("3. Flöte (auch Piccolo)", "flote", "3", ("piccolo",)),
    ("Flauto III (muta in Ottavino)", "flauto", "3", ("ottavino",)),
    ("Oboe 2 & English Horn", "oboe", "2", ("english horn",)),
    ("Violone e Organo", "violone", "", ("organo",)),
    ("笛子兼箫", "笛子", "", ("箫",)),
]


@pytest.mark.parametrize(("heading", "stem", "number"), NUMBERS)
def test_numbers(heading: str, stem: str, number: str) -> None:
    name = part_name(heading)
    assert (name.stem, name.number, name.key, name.doubles) == (stem, number, "", ())
    assert name.text == heading


@pytest.mark.parametrize(("heading", "stem"), KEEP)
def test_what_belongs_to_a_name_stays(heading: str, stem: str) -> None:
    name = part_name(heading)
    assert (name.stem, name.number, name.key, name.doubles) == (stem, "", "", ())


@pytest.mark.parametrize(("heading", "stem", "key"), KEYS)
def test_keys_and_sizes(heading: str, stem: str, key: str) -> None:
    name = part_name(heading)
    assert (name.stem, name.key, name.doubles) == (stem, key, ())


@pytest.mark.parametrize(("heading", "players", "solo", "section"), PLAYERS)
def test_players(heading: str, players: int | None, solo: bool, section: bool | None) -> None:
    name = part_name(heading)
    assert (name.players, name.solo, name.section) == (players, solo, section)


@pytest.mark.parametrize(("heading", "stem", "number", "doubles"), DOUBLES)
def test_further_instruments(heading: str, stem: str, number: str, doubles: tuple[str, ...]) -> None:
    name = part_name(heading)
    assert (name.stem, name.number, name.doubles) == (stem, number, doubles)


@pytest.mark.parametrize(
    ("heading", "number", "desk"),
    [
        ("Violin I desk 2", "1", "2"),
        ("Violin I, Desk 1-2", "1", "1 & 2"),
        ("Violine I, 1. Pult", "1", "1"),
        ("Viola (2nd desk)", "", "2"),
        ("Violoncello, 3. Pult", "", "3"),
        ("Violin 1a", "1", "a"),
    ],
)
def test_desks(heading: str, number: str, desk: str) -> None:
    name = part_name(heading)
    assert (name.number, name.desk) == (number, desk)
    assert name.stem in {"violin", "violine", "viola", "violoncello"}


@pytest.mark.parametrize(
    "heading", ["", " ", "MusicXML Part", "Music", "Staff 2", "Instrument 12", "Track 3", "solo", "a 2", "Untitled"]
)
def test_headings_that_name_nothing(heading: str) -> None:
    assert part_name(heading).stem == ""


@pytest.mark.parametrize(
    ("heading", "pieces"),
    [
        ("Erhu (二胡)", ("erhu", "二胡")),
        ("古筝Guzheng", ("古筝", "guzheng")),
        ("Oud عود", ("oud", "عود")),
        ("Koto (17-string) 2", ("koto", "17 string")),
        ("Kemençe (Karadeniz)", ("kemence", "karadeniz")),
    ],
)
def test_glosses_are_kept_apart(heading: str, pieces: tuple[str, ...]) -> None:
    assert part_name(heading).pieces == pieces
    assert part_name(heading).stem == " ".join(pieces)


KEY_NAMES = (
    "B=Bb H=B B♮=B Bb=Bb bes=Bb es=Eb as=Ab des=Db fis=F# si♭=Bb Mi-bémol=Eb la=A ut=C F-sharp=F# 変ロ=Bb ヘ=F соль=G 降E=Eb"
    " 1.8=1.8 B♭_low=Bb_low Mansur=mansur abc=abc"
)


@pytest.mark.parametrize(("text", "key"), [item.replace("_", " ").split("=") for item in KEY_NAMES.split()])
def test_key_names(text: str, key: str) -> None:
    assert key_name(text) == key


def test_a_heading_without_a_key_is_left_alone() -> None:
    assert find_key("Viola d'amore") == ("", "Viola d'amore")


@given(st.text(max_size=40))
def test_any_text_can_be_taken_apart(text: str) -> None:
    name = part_name(text)
    assert name.text == text
    assert name.stem == " ".join(name.stem.split())


@given(
    st.lists(st.text(st.characters(blacklist_characters="\n\r\x0b\x0c\x1c\x1d\x1e\x85\u2028\u2029"), max_size=12), min_size=1)
)
def test_folding_many_lines_is_folding_each(lines: list[str]) -> None:
    assert [" ".join(words) for words in fold_lines("\n".join(lines))] == [fold(line) for line in lines]

"""Recognition on an invented index with real names. Headings and nomenclature: common practice, no source.

Sound ids are those of the sounds list of MusicXML 4.0 (https://www.w3.org/2021/06/musicxml40/listings/sounds.xml).
"""
# ruff: noqa: RUF001 - letters of other scripts are meant

from __future__ import annotations

import pytest

from xmlcheck.errors import BadConfig, BadPlugin
from xmlcheck.identify import Entry, Known, Match, Names, Shared, identify
from xmlcheck.model import Part, ScoreInstrument


def entry(
    id: str, aliases: str, abbreviations: str = "", sound: str = "", family: str = "", keys: str = "", program: int = 0
) -> Entry:
    """An index entry; lists are divided by semicolons."""
    split = [tuple(item.strip() for item in text.split(";") if item.strip()) for text in (aliases, abbreviations, sound, keys)]
    names = {"en": split[0][0], "fr": "alto"} if id == "viola" else {"en": split[0][0]}
    return Entry(id, "test", names, split[0], split[1], split[2], (program,) if program else (), split[3], family)


NAMES = Names(
    [
        entry("violin", "violin; violins; violino; violini; Violine; violon; скрипка; ヴァイオリン; 小提琴; 바이올린", "Vn.; Vln.; Vl.",
              "strings.violin", "bowed", program=41),
        entry("viola", "viola; viole; Bratsche; 中提琴", "Va.; Vla.", "strings.viola", "bowed", program=42),
        entry("cello", "cello; violoncello; violoncelle; 大提琴; チェロ", "Vc.", "strings.cello", "bowed", program=43),
        entry("double-bass", "double bass; contrabass; Kontrabass; contrabbasso", "Cb.; D.B.", "strings.contrabass", "bowed"),
        entry("clarinet-b-flat", "clarinet; clarinet in B flat; Klarinette; clarinetto; clarinette; クラリネット; кларнет", "Cl.; Kl.",
              "wind.reed.clarinet.bflat", "reeds", "Bb", 72),
        entry("horn-f", "horn; horns; Hörner; French horn; corno; corni; cor; trompa; ホルン", "Hn.; Cor.; F.Hn.", "brass.french-horn",
              "brass", "F", 61),
        entry("oud", "oud; ud; عود", "", "pluck.oud", "lutes"),
        entry("ney-turkish", "ney; Turkish ney; ناي", "", "wind.flutes.ney", "flutes"),
        entry("qanun", "qanun; kanun; kânun; قانون", "Kan.", "pluck.kanun", "zithers"),
        entry("koto-13", "koto; 13-string koto; 箏; 十三絃", "Kt.", "pluck.koto", "zithers"),
        entry("koto-17", "17-string koto; bass koto; 十七絃", "", "pluck.koto", "zithers"),
        entry("shakuhachi", "shakuhachi; 尺八", "Shak.", "wind.flutes.shakuhachi", "flutes"),
        entry("erhu", "erhu; èrhú; 二胡", "", "strings.erhu", "bowed"),
        entry("pipa", "pipa; 琵琶", "", "pluck.pipa", "lutes"),
        entry("lever-harp", "lever harp; Celtic harp; clàrsach", "", "pluck.celtic-harp", "harps"),
        entry("kemence-classical", "kemençe; classical kemençe; İstanbul kemençesi", "", "strings.lyra.byzantine", "bowed"),
        entry("kemence-black-sea", "kemençe; Black Sea kemençe; Karadeniz kemençesi", "", "strings.fiddle", "bowed"),
        entry("gong", "gong", "", "metal.gong", "gongs"),
        entry("gong-opera", "opera gong", "", "metal.gong.opera", "gongs"),
    ]
)  # fmt: skip


def ask(name: str = "", sound: str = "", instrument: str = "", program: int | None = None, **more: str) -> Match:
    part = Part("P1", name, instruments=(ScoreInstrument("I1", instrument, sound=sound, program=program),), **more)  # type: ignore[arg-type]
    return identify(part, part.instruments[0], NAMES)


KNOWN = [
    ("Vn. I", "violin"),
    ("Vn I", "violin"),
    ("VIOLINO SECONDO", "violin"),
    ("Violini II div. a 3", "violin"),
    ("1. Violine", "violin"),
    ("Solo Violin", "violin"),
    ("Скрипка 1", "violin"),
    ("第1ヴァイオリン", "violin"),
    ("제1바이올린", "violin"),
    ("小提琴 Violin", "violin"),
    ("Violin (小提琴) I", "violin"),
    ("Viola.", "viola"),
    ("Violoncello, 2. Pult", "cello"),
    ("Contra-Bass", "double-bass"),
    ("DoubleBass", "double-bass"),
    ("D. B.", "double-bass"),
    ("Clarinet", "clarinet-b-flat"),
    ("Clarinet in B♭ 2", "clarinet-b-flat"),
    ("Bb Clarinet", "clarinet-b-flat"),
    ("2. Klarinette in B", "clarinet-b-flat"),
    ("Clarinetto I in Si♭", "clarinet-b-flat"),
    ("クラリネット（B♭管）", "clarinet-b-flat"),
    ("Corni in F a 4", "horn-f"),
    ("Cor en fa", "horn-f"),
    ("1.2. Horn", "horn-f"),
    ("Cor", "horn-f"),
    ("‘Ūd", "oud"),
    ("Oud عود", "oud"),
    ("KANUN", "qanun"),
    ("Koto 1", "koto-13"),
    ("17-string Koto", "koto-17"),
    ("Koto (17-string)", "koto-17"),
    ("koto, bass", "koto-17"),
    ("十七絃", "koto-17"),
    ("尺八 一尺八寸", "shakuhachi"),
    ("Shakuhachi 2.4", "shakuhachi"),
    ("Er-hu", "erhu"),
    ("第一二胡", "erhu"),
    ("独奏琵琶", "pipa"),
    ("Clarsach", "lever-harp"),
    ("Harp, Celtic", "lever-harp"),
    ("Black-Sea Kemence", "kemence-black-sea"),
    ("Klasik Kemençe", None),  # not an alias here
    ("Kemençe, classical", "kemence-classical"),
]


@pytest.mark.parametrize(("heading", "profile"), KNOWN)
def test_printed_names(heading: str, profile: str | None) -> None:
    match = ask(heading)
    assert (match.profile, match.certainty) == (profile, "sure" if profile else "none")
    assert match.evidence.startswith(f'part name "{heading}"')


OTHERS = (
    "Bass Clarinet|B. Cl.|Clarinet Bass|English Horn|Basset Horn|Tenor Horn|Corno inglese|Viola da gamba|Viola d'amore|Violin Synth"
    "|Violin Viola|Piano Violin Reduction|Electric Violin|Violin (Geige)|Violoncelli e|B.D.|B.C.|Harp|Alto|Pipal|Erhu (高胡)|低音二胡"
    "|バス・クラリネット|Soprano\rOboe 1,2\rViolin1"
)


@pytest.mark.parametrize("heading", OTHERS.split("|"))
def test_a_longer_name_is_another_instrument(heading: str) -> None:
    match = ask(heading)
    assert (match.profile, match.certainty, match.candidates) == (None, "none", ())
    assert match.evidence.endswith("is not known")


@pytest.mark.parametrize(
    ("heading", "key"),
    [("Clarinet in A", "A"), ("Klarinette in H", "B"), ("Es-Klarinette", "Eb"), ("Horn in D", "D"), ("Cor en mi♭", "Eb")],
)
def test_a_known_name_in_a_key_that_no_profile_has(heading: str, key: str) -> None:
    match = ask(heading)
    assert (match.profile, match.certainty, match.key) == (None, "none", key)
    assert match.evidence.endswith(f"no profile in {key}")
    assert "known as" in match.evidence


def test_two_keys_of_which_one_is_known_are_a_guess() -> None:
    assert (ask("Clarinet in B♭ and A").profile, ask("Clarinet in B♭ and A").certainty) == ("clarinet-b-flat", "guess")


def test_a_key_on_a_profile_without_keys_is_told_and_fits() -> None:
    match = ask("Kanun in D")
    assert (match.profile, match.certainty, match.key) == ("qanun", "sure", "D")


def test_a_name_that_fits_several_is_not_picked() -> None:
    match = ask("Kemençe")
    assert (match.profile, match.certainty) == (None, "none")
    assert match.candidates == ("kemence-black-sea", "kemence-classical")


def test_sound_and_name_decide_together() -> None:
    assert ask("Kemençe", "strings.lyra.byzantine").profile == "kemence-classical"
    assert ask("Koto 2", "pluck.koto").profile == "koto-13"
    assert ask("Bass koto", "pluck.koto").profile == "koto-17"
    match = ask("Violin I", "strings.violin")
    assert (match.profile, match.certainty) == ("violin", "sure")
    assert match.evidence == 'part name "Violin I" and instrument-sound strings.violin'


def test_sound_alone() -> None:
    assert ask("Staff 3", "strings.erhu") == Match("erhu", "sure", "instrument-sound strings.erhu", name=ask("Staff 3").name)
    several = ask("", "pluck.koto")
    assert (several.profile, several.candidates) == (None, ("koto-13", "koto-17"))
    assert ask("", "no.such.sound").certainty == "none"


def test_sound_and_name_that_disagree_are_both_told() -> None:
    match = ask("Violin", "pluck.oud")
    assert (match.profile, match.certainty, match.candidates) == (None, "none", ("oud", "violin"))
    assert '"Violin"' in match.evidence
    assert "pluck.oud" in match.evidence


def test_the_finer_of_two_in_one_family_wins() -> None:
    assert ask("Opera gong", "metal.gong").profile == "gong-opera"
    assert ask("Gong", "metal.gong.opera").profile == "gong-opera"
    assert ask("Viola", "strings.violin").profile is None  # one family, but neither refines the other


def test_a_sound_behind_an_unknown_name_is_a_guess() -> None:
    match = ask("Morning lute", "pluck.oud")
    assert (match.profile, match.certainty) == ("oud", "guess")
    assert "not known" in match.evidence


@pytest.mark.parametrize(
    ("heading", "sound"),
    [
        ("Viola da gamba", "strings.viola"),  # contains the sound's own name: a variant of it
        ("Violone e Organo", "strings.cello"),  # one sound does not settle a name for two
    ],
)
def test_a_sound_does_not_override_a_name_that_speaks_against_it(heading: str, sound: str) -> None:
    match = ask(heading, sound)
    assert (match.profile, match.certainty, match.candidates) == (None, "none", (sound.partition(".")[2],))


def test_display_name_abbreviation_instrument_name_program() -> None:
    assert ask("Part 1", display_name="Erhu").profile == "erhu"
    torn = ask("Violin", display_name="Erhu")
    assert (torn.profile, torn.candidates) == (None, ("erhu", "violin"))
    by_abbreviation = ask("", abbreviation="Vc.")
    assert (by_abbreviation.profile, by_abbreviation.evidence) == ("cello", 'abbreviation "Vc."')
    by_instrument = ask("MusicXML Part", instrument="Oud")
    assert (by_instrument.profile, by_instrument.evidence) == ("oud", 'instrument-name "Oud"')
    by_program = ask("", program=41)
    assert (by_program.profile, by_program.certainty) == ("violin", "guess")
    assert by_program.evidence == "MIDI program 41 (a guess)"
    assert ask("", program=0).profile is None


def test_weaker_witnesses_are_candidates_behind_an_unknown_name() -> None:
    match = ask("Viola da gamba", instrument="Viola", program=42, abbreviation="Vla.")
    assert (match.profile, match.certainty, match.candidates) == (None, "none", ("viola",))
    assert ask("Melody", program=41).candidates == ()


def test_program_one_is_no_witness() -> None:
    names = Names([entry("first", "first of all", program=1)])
    part = Part("P1", "", instruments=(ScoreInstrument("I1", program=1),))
    assert identify(part, None, names).profile is None


def test_one_of_several_instruments_speaks_for_itself() -> None:
    horn, ud = ScoreInstrument("I1", "Horn", sound="brass.french-horn"), ScoreInstrument("I2", "Oud", sound="pluck.oud")
    plain, odd = ScoreInstrument("I3", "Ney"), ScoreInstrument("I4", "Whirling tube")
    part = Part("P1", "Horn 1", instruments=(horn, ud, plain, odd))
    assert [identify(part, item, NAMES).profile for item in (horn, ud, plain)] == ["horn-f", "oud", "ney-turkish"]
    assert identify(part, odd, NAMES).certainty == "guess"
    doubled = Part("P1", "Oud / Bass koto", instruments=(ud, ScoreInstrument("I2", "", sound="pluck.koto")))
    assert identify(doubled, doubled.instruments[1], NAMES).profile == "koto-17"


def test_first_of_the_doubled_instruments() -> None:
    match = ask("Koto (doubling bass koto)")
    assert match.profile == "koto-13"
    assert match.name is not None
    assert match.name.doubles == ("bass koto",)
    assert match.certainty == "sure"
    assert ask("Violin / Piano Reduction").certainty == "guess"  # one of the two is not known


def test_the_users_word_comes_first() -> None:
    part = Part("P3", "Violin", instruments=(ScoreInstrument("I1", sound="strings.violin"),))
    match = identify(part, None, NAMES, {"P3": "ud"})
    assert (match.profile, match.certainty, match.evidence) == ("oud", "sure", "given as --part P3=ud")
    assert identify(part, None, NAMES, {"violin": "lever-harp"}).profile == "lever-harp"
    assert identify(part, None, NAMES, {"P4": "oud"}).profile == "violin"


@pytest.mark.parametrize(("value", "near"), [("ood", "oud"), ("shakuhashi", "shakuhachi"), ("lever-hrap", "lever harp")])
def test_a_given_name_that_is_none_is_told_with_the_nearest(value: str, near: str) -> None:
    with pytest.raises(BadConfig, match=f"--part P1={value}.*nearest: .*{near}"):
        identify(Part("P1", ""), None, NAMES, {"P1": value})


def test_a_given_name_that_fits_several_is_told() -> None:
    with pytest.raises(BadConfig, match="kemence-black-sea, kemence-classical"):
        identify(Part("P1", ""), None, NAMES, {"P1": "kemençe"})


def test_a_plugin_may_recognise_a_house_name() -> None:
    def house(*, name: str, sound: str) -> str | None:
        return {"LH-2": "lever-harp", "XX": "no-such"}.get(name)

    part = Part("P1", "LH-2")
    assert identify(part, None, NAMES, hooks=house).profile == "lever-harp"
    assert identify(part, None, NAMES, {"P1": "oud"}, house).profile == "oud"
    assert identify(Part("P1", "Vn."), None, NAMES, hooks=house).profile == "violin"
    with pytest.raises(BadPlugin, match="no-such"):
        identify(Part("P1", "XX"), None, NAMES, hooks=house)


def test_names_know_what_words_name() -> None:
    assert NAMES.find("Koto")
    assert not NAMES.find("con sordino")
    assert NAMES.find("Clarinet in A")  # known, though in no key on offer
    assert NAMES.find("Clarinet in A").ids == ()


# --- instruments without a profile, and names that several share -----------------------------------------------------------

SHARED = Names(
    [
        Entry("lamp", "p", {"en": "lamp"}, aliases=("glow",), sound_ids=("light.lamp",), family="lights"),
        Entry("lantern", "p", {"en": "lantern"}, family="lights", key_names=("Bb",)),
        Entry("wick", "p", {"en": "wick"}, family="strings"),
    ],
    [
        Known(
            entries=(
                Entry("candle", "p", {"en": "candle"}, aliases=("Kerze", "glow"), sound_ids=("light.candle",), family="lights"),
                Entry("lamp", "p", {"en": "another lamp"}, family="lights"),
            ),
            kinds={"light.": "lights", "light.far.": "stars"},
            shared=(
                Shared(("beam",), {"lamp": ("wick",), "lantern": ("candle",)}),
                Shared(("ray",), {"lamp": ("*",), "lantern": ("wick",)}),
            ),
        )
    ],
)


def told(*headings: str, sound: str = "") -> list[Match]:
    parts = [Part(f"P{n}", text, instruments=(ScoreInstrument("I", sound=sound),)) for n, text in enumerate(headings)]
    return [identify(part, None, SHARED, score=parts) for part in parts]


def test_an_instrument_without_profile_is_known_and_none() -> None:
    (match,) = told("Kerze 2")
    assert (match.profile, match.certainty, match.known, match.candidates) == (None, "none", "candle", ())
    assert match.evidence == 'part name "Kerze 2": candle is known, no profile yet'


def test_a_profile_takes_the_place_of_what_is_only_known() -> None:
    assert told("Glow")[0].profile == "lamp"
    assert told("another lamp")[0].known == ""
    assert set(SHARED.bare) == {"candle"}


@pytest.mark.parametrize(
    ("sound", "known"), [("light.candle", "candle"), ("light.torch", "lights"), ("light.far.away", "stars"), ("dark.room", "")]
)
def test_a_sound_id_tells_the_instrument_or_its_kind(sound: str, known: str) -> None:
    match = told("", sound=sound)[0]
    assert (match.profile, match.known) == (None, known)
    assert told("Unheard of", sound=sound)[0].known == known


def test_a_shared_name_is_settled_by_the_heading_beside_it_or_not_at_all() -> None:
    assert told("Wick", "Beam")[1].profile == "lamp"
    assert told("Beam", "Candle")[0].profile == "lantern"
    assert told("Beam")[0].candidates == ("lamp", "lantern")
    assert told("Wick", "Beam", "Candle")[1].candidates == ("lamp", "lantern"), "both have somebody beside them"
    assert told("Wick", "Beam 1", "Beam 2", "Nothing", "Candle")[2].candidates == ("lamp", "lantern")


def test_the_usual_meaning_holds_unless_another_fits() -> None:
    assert told("Ray")[0].profile == "lamp"
    assert told("Ray", "Wick")[0].profile == "lantern"
    assert identify(Part("P1", "Ray"), None, SHARED).profile == "lamp", "without a score as well"


def test_a_key_settles_a_shared_name() -> None:
    assert told("Beam in Bb")[0].profile == "lantern"


def test_a_users_word_for_what_has_no_profile_is_told() -> None:
    with pytest.raises(BadConfig, match="candle is known, and no installed profile"):
        SHARED.named("Kerze", "--part P1=Kerze")

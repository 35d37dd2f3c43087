"""The demo handoff passes, and what is planted in a copy of it is found and named, with nothing else new.

What the folder was made to agree in is the truth here: every plant is one edit of files that agree, written before it was run.
"""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from xmlcheck.checking import check_document
from xmlcheck.config import Config
from xmlcheck.document import Document
from xmlcheck.finding import Report
from xmlcheck.handing import answer as answering
from xmlcheck.handing.answer import handoff
from xmlcheck.handing.kinds import KINDS
from xmlcheck.handing.values import Handoff
from xmlcheck.model import Score
from xmlcheck.registry import Registry

DEMO = Path(__file__).parents[2] / "corpus" / "demo" / "handoff"
LOW, LAMPS, LIT = "1m1 Low Water", "1m2 Lamps, One by One", "1m3 All Lit"


@dataclass(frozen=True)
class Plant:
    """One disagreement: an edit of a folder with one cue of the demo, and the kinds and parts that must be told.

    own: rules of the files' own checks that the edit sets off too, because it makes the part itself worse.
    """

    name: str
    cue: str
    edit: Callable[[Path], None]
    told: tuple[tuple[str, str | None], ...]
    bar: str | None = None
    own: tuple[str, ...] = ()


def part(folder: Path, cue: str, name: str) -> Path:
    return folder / cue / f"{cue.split()[0]} {name} rev B.musicxml"


def swap(cue: str, name: str, old: str, new: str, count: int = 1, bar: int | None = None) -> Callable[[Path], None]:
    """Replaces a text in a file, in one bar of its first part where given. Fails where the text is not there."""

    def edit(folder: Path) -> None:
        path = part(folder, cue, name)
        text = path.read_text(encoding="utf-8")
        start, end = 0, len(text)
        if bar is not None:
            start = text.index(f'<measure number="{bar}"')
            end = text.index("</measure>", start) + len("</measure>")
        inner = text[start:end]
        assert re.search(old, inner), f"{old!r} is not in {name}"
        path.write_text(text[:start] + re.sub(old, new, inner, count=count) + text[end:], encoding="utf-8")

    return edit


def remove(cue: str, name: str) -> Callable[[Path], None]:
    return lambda folder: part(folder, cue, name).unlink()


def copy(source: tuple[str, str], to: tuple[str, str]) -> Callable[[Path], None]:
    def edit(folder: Path) -> None:
        shutil.copy(part(DEMO, *source), part(folder, *to))

    return edit


def cut_file(folder: Path) -> None:
    path = part(folder, LOW, "Oud")
    path.write_bytes(path.read_bytes()[:4000])


def cut_bar(folder: Path) -> None:
    path = part(folder, LOW, "Horn in F")
    text = path.read_text(encoding="utf-8")
    path.write_text(re.sub(r'<measure number="8".*?</measure>\n?', "", text, flags=re.DOTALL), encoding="utf-8")


def other_revision_inside(folder: Path) -> None:
    """The part of another revision under this one's name: bars 5 to 9 another music."""
    path = part(folder, LOW, "Oud")
    text = path.read_text(encoding="utf-8")
    for bar in (5, 6, 8, 9):
        start = text.index(f'<measure number="{bar}"')
        end = text.index("</measure>", start)
        text = (
            text[:start]
            + text[start:end].replace("<step>A</step>", "<step>E</step>").replace("<step>G</step>", "<step>B</step>")
            + text[end:]
        )
    start = text.index('<measure number="13"')
    path.write_text(text[:start] + re.sub(r".*?</measure>\n?", "", text[start:], count=1, flags=re.DOTALL), encoding="utf-8")


def renamed(cue: str, old: str, new: str) -> Callable[[Path], None]:
    def edit(folder: Path) -> None:
        part(folder, cue, old).rename(folder / cue / new)

    return edit


def concert_pitch_lost(folder: Path) -> None:
    """The transposition taken out of a transposing part, notes and key signature left as they were."""
    path = part(folder, LOW, "Clarinet in Bb")
    text = re.sub(r"<transpose>.*?</transpose>", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    path.write_text(text, encoding="utf-8")


def renumbered(folder: Path) -> None:
    path = part(folder, LOW, "Viola")
    text = path.read_text(encoding="utf-8")
    path.write_text(re.sub(r'number="(\d+)"', lambda m: f'number="{int(m[1]) + 20}"', text), encoding="utf-8")


def stale_page(folder: Path) -> None:
    page = part(folder, LOW, "Oud").with_suffix(".pdf")
    page.write_bytes(b"%PDF-1.4\n")
    music = part(folder, LOW, "Oud").stat().st_mtime
    os.utime(page, (music - 3600, music - 3600))


def declared(old: str, new: str) -> Callable[[Path], None]:
    def edit(folder: Path) -> None:
        path = folder / "handoff.toml"
        text = path.read_text(encoding="utf-8")
        assert old in text, old
        path.write_text(text.replace(old, new), encoding="utf-8")

    return edit


def second_score(folder: Path) -> None:
    path = part(folder, LOW, "Score")
    shutil.copy(path, path.with_name("1m1 Score old.musicxml"))
    text = path.read_text(encoding="utf-8")
    path.with_name("1m1 Score old.musicxml").write_text(text.replace("<alter>", "<alter> "), encoding="utf-8")


def midi(change: Callable[..., None]) -> Callable[[Path], None]:
    def edit(folder: Path) -> None:
        mido = pytest.importorskip("mido")
        path = folder / "mock-up" / "1m1 mock-up.mid"
        file = mido.MidiFile(str(path))
        change(file)
        file.save(str(path))

    return edit


def tempo_off(file: object) -> None:
    next(m for m in reversed(file.tracks[0]) if m.type == "set_tempo").tempo = 900_000  # type: ignore[attr-defined]


def starts_late(file: object) -> None:
    next(m for m in file.tracks[1] if m.type == "note_on").time += 120  # type: ignore[attr-defined]
    [m for m in file.tracks[1] if m.type == "note_off"][-1].time -= 120  # type: ignore[attr-defined]


def goes_on(file: object) -> None:
    [m for m in file.tracks[1] if m.type == "note_off"][-1].time += 1920  # type: ignore[attr-defined]


def doubling(folder: Path) -> None:
    """The oud player is to take a pipa, in the score too."""
    for name in ("Score", "Oud"):
        path = part(folder, LOW, name)
        text = path.read_text(encoding="utf-8")
        at = text.index("<part id=", text.index("<part id=") if name == "Oud" else 0)
        if name == "Score":
            id_ = re.search(r'<score-part id="([^"]+)">\s*<part-name[^>]*>Oud<', text)
            assert id_ is not None
            at = text.index(f'<part id="{id_[1]}">')
        at = text.index("<note", text.index('<measure number="9"', at))
        word = "<direction><direction-type><words>to Pipa</words></direction-type></direction>"
        path.write_text(text[:at] + word + text[at:], encoding="utf-8")


def page_beside(folder: Path) -> None:
    """A page that is newer than its music, of a player who reads numbers in another key than the part's."""
    declared('reads = "staff"\nbrings = { sizes', 'reads = "numbered"\nkey = "E"\nbrings = { sizes')(folder)
    page = part(folder, LOW, "Shakuhachi").with_suffix(".pdf")
    page.write_bytes(b"%PDF-1.4\n")


def page_turn(folder: Path) -> None:
    swap(LOW, "Oud", r'(<measure number="6"[^>]*>)', r'\1<print new-page="yes"/>')(folder)


PLANTS = [
    Plant("a part is missing", LOW, remove(LOW, "Oud"), (("files.missing", "Oud"),)),
    Plant("a part of another cue's band", LOW, copy((LAMPS, "Pipa"), (LOW, "Pipa")), (("files.extra", "Pipa"),)),
    Plant("a part twice", LOW, copy((LOW, "Oud"), (LOW, "Oud copy")), (("files.duplicate", None),)),
    Plant("a truncated file", LOW, cut_file, (("files.unreadable", None),)),
    Plant("two scores", LOW, second_score, (("files.two-scores", None),)),
    Plant("another revision in the header", LOW, swap(LOW, "Oud", r">B</misc", ">A</misc"), (("revision.mixed", "Oud"),)),
    Plant("another revision in the name", LOW, renamed(LOW, "Oud", "1m1 Oud rev A.musicxml"), (("revision.mixed", "Oud"),)),
    Plant("another revision's music", LOW, other_revision_inside, (("revision.mixed", "Oud"),), None, ("bar.numbers",)),
    Plant("a bar lost", LOW, cut_bar, (("frame.bars", "Horn in F"),), "8", ("bar.numbers",)),
    Plant("other bar numbers", LOW, renumbered, (("frame.numbers", "Viola"),), "1"),
    Plant("another meter", LOW, swap(LOW, "Oud", "<beats>4</beats>", "<beats>2</beats>"), (("frame.meter", "Oud"),), "1",
          ("bar.overfull",)),
    Plant(
        "another tempo", LOW, swap(LOW, "Oud", r'66(?=<|")', "72", count=2, bar=1), (("frame.tempo", "Oud"),), "1"
    ),
    Plant("another key", LOW, swap(LOW, "Viola", "<fifths>0</fifths>", "<fifths>1</fifths>"), (("frame.key", "Viola"),), "1"),
    Plant(
        "another rehearsal mark", LOW, swap(LOW, "Viola", ">B</rehearsal>", ">C</rehearsal>"), (("frame.rehearsal", "Viola"),), "10"
    ),
    Plant(
        "a repeat lost", LIT, swap(LIT, "Viola", r'<repeat direction="backward"/>', ""), (("frame.repeats", "Viola"),), "8",
        ("bar.repeats",)
    ),
    Plant("a wrong note", LOW, swap(LOW, "Viola", "<step>E</step>", "<step>F</step>", bar=2), (("music.notes", "Viola"),), "2"),
    Plant(
        "a note lost", LOW,
        swap(LOW, "Violoncello", r"<note>\s*<pitch>\s*<step>G</step>.*?</note>",
             "<note><rest/><duration>1</duration><voice>1</voice><type>quarter</type></note>", bar=6),
        (("music.notes", "Violoncello"),), "6",
    ),
    Plant("a bar an octave high", LOW, swap(LOW, "Double Bass", "<octave>3</octave>", "<octave>4</octave>", bar=12),
          (("music.notes", "Double Bass"),), "12"),
    Plant("a transposition lost", LOW, concert_pitch_lost, (("music.transposition", "Clarinet in B♭"),), None,
          ("transposition.missing", "transposition.unsaid")),
    Plant("another dynamic", LOW, swap(LOW, "Viola", "<p ?/>", "<f/>", bar=1), (("music.dynamics", "Viola"),), "1"),
    Plant("a technique word lost", LOW, swap(LOW, "Violoncello", ">arco<", "> <", bar=8), (("music.words", "Violoncello"),), "8"),
    Plant("a sign lost", LOW, swap(LOW, "Shakuhachi", r"<accent ?/>", ""), (("music.signs", "Shakuhachi"),), "7"),
    Plant("another heading", LOW, swap(LOW, "Viola", "<part-name>Viola<", "<part-name>Violin<"), (("names.part", "Violin"),),
          None, ("recognition.ambiguous",)),
    Plant("another title", LOW, swap(LOW, "Oud", "Low Water", "High Water"), (("names.title", "Oud"),)),
    Plant("another cue number inside", LOW, swap(LOW, "Oud", "1m1</mov", "1m7</mov"), (("names.cue", "Oud"),)),
    Plant("not named by the house pattern", LOW, renamed(LOW, "Oud", "Oud 1m1 rev B.musicxml"), (("files.naming", "Oud"),)),
    Plant("a stale page", LOW, stale_page, (("files.stale", "Oud"),)),
    Plant("the mock-up's tempo", LOW, midi(tempo_off), (("sync.tempo", None),), "13"),
    Plant("the mock-up starts later", LOW, midi(starts_late), (("sync.start", None),)),
    Plant("the mock-up is longer", LOW, midi(goes_on), (("sync.length", None),)),
    Plant("a hit point missed", LOW, declared("at = 43.64", "at = 44.0"), (("sync.hit", None),), "13"),
    Plant("another length declared", LOW, declared("length = 51.64", "length = 53.0"), (("sync.length", None),)),
    Plant("another clef than the player reads", LOW, declared('clef = "alto"', 'clef = "treble"'), (("reading.differs", "Viola"),)),
    Plant("numbered notation read", LOW, declared('reads = "staff"\nbrings = { tun', 'reads = "numbered"\nbrings = { tun'),
          (("reading.differs", "Koto"),)),
    Plant("an expected part nobody has", LOW, declared('number = "1m1"', 'number = "1m1"\nparts = ["Oud", "Santur"]'),
          (("files.missing", "Santur"),)),
    Plant("another pitch standard", LOW, swap(LOW, "Oud", "A4 = 440 Hz", "A4 = 442 Hz"), (("declared.pitch", "Oud"),)),
    Plant("no time to turn", LOW, page_turn, (("page.turn", "Oud"),), "6"),
    Plant("a part for another instrument", LOW, declared('instrument = "oud"', 'instrument = "pipa"'),
          (("declared.instrument", "Oud"),)),
    Plant("an instrument that the player has not", LOW, doubling,
          (("declared.instrument", "Oud"), ("page.header", "Oud")), "9", ("ensemble.change-time",)),
    Plant("a player of a misspelt part", LOW, declared('part = "Koto"', 'part = "Kotto"'), (("declared.player", "Kotto"),)),
    Plant("numbers in another key", LOW, page_beside, (("reading.differs", "Shakuhachi"),)),
    Plant("a header without pitch standard", LOW, swap(LOW, "Oud", "A4 = 440 Hz", ""), (("page.header", "Oud"),)),
    Plant("a header without revision and cue", LOW,
          swap(LOW, "Oud", r"<movement-number>1m1</movement-number>", ""), (("page.header", "Oud"),)),
]  # fmt: skip


def folder_of(cue: str, tmp_path: Path) -> Path:
    """A copy of the demo with one cue, and of the declaration what belongs to it."""
    folder = tmp_path / "handoff"
    shutil.copytree(DEMO / cue, folder / cue)
    shutil.copytree(DEMO / "mock-up", folder / "mock-up")
    head, *cues = (DEMO / "handoff.toml").read_text(encoding="utf-8").split("[[cue]]")
    last, players = cues[-1].split("[players", 1)
    own = next(text for text in (*cues[:-1], last) if f'"{cue.split()[0]}"' in text)
    (folder / "handoff.toml").write_text(f"{head}[[cue]]{own}[players{players}", encoding="utf-8")
    return folder


def own_findings(answer: Handoff) -> set[tuple[str, str]]:
    return {(one.name, item.rule) for one in answer.files if one.report is not None for item in one.report.findings}


@pytest.fixture(scope="module", autouse=True)
def checked_once() -> Iterator[None]:
    """The same bytes under the same players are checked once: the folders differ in one file or two."""
    known: dict[tuple[str, str], Report] = {}
    check = check_document

    def once(document: Document, score: Score, registry: Registry, config: Config, **more: Any) -> Report:
        key = document.source.member_sha256, repr(config)
        if key not in known:
            known[key] = check(document, score, registry, config, **more)
        return known[key]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(answering, "check_document", once)
        yield


@pytest.fixture(scope="module")
def clean(tmp_path_factory: pytest.TempPathFactory) -> dict[str, set[tuple[str, str]]]:
    """The files' own findings in the demo as it is, and that nothing in it disagrees."""
    found = {}
    for cue in (LOW, LAMPS, LIT):
        answer = handoff(folder_of(cue, tmp_path_factory.mktemp("clean")))
        assert [(item.kind, item.file, item.text) for item in answer.disagreements] == []
        found[cue] = own_findings(answer)
    return found


def test_the_demo_passes() -> None:
    answer = handoff(DEMO)
    assert [(item.kind, item.file, item.text) for item in answer.disagreements] == []
    assert [cue.name for cue in answer.cues] == ["1m1", "1m2", "1m3"]
    assert all(len([one for one in answer.files if one.cue == cue.name and one.role == "part"]) >= 12 for cue in answer.cues)
    assert {grade for one in answer.files for grade, count in (one.counts or {}).items() if count} <= {"tidy"}


def test_there_are_thirty_plants_of_all_kinds() -> None:
    assert len(PLANTS) >= 30
    named = {kind for plant in PLANTS for kind, _ in plant.told}
    assert named <= set(KINDS)
    assert set(KINDS) - named <= {"files.no-score", "declared.cue", "page.cue"}  # tested in unit/handing


@pytest.mark.parametrize("plant", PLANTS, ids=lambda plant: plant.name)
def test_what_is_planted_is_found_and_nothing_else(
    plant: Plant, tmp_path: Path, clean: dict[str, set[tuple[str, str]]]
) -> None:
    folder = folder_of(plant.cue, tmp_path)
    plant.edit(folder)
    answer = handoff(folder)
    assert [(item.kind, item.part) for item in answer.disagreements] == list(plant.told), [
        (item.kind, item.file, item.part, item.bar, item.text) for item in answer.disagreements
    ]
    if plant.bar is not None:
        assert answer.disagreements[0].bar == plant.bar
    fresh = {rule for _, rule in own_findings(answer)} - {rule for _, rule in clean[plant.cue]}
    assert fresh <= set(plant.own)

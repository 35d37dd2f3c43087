"""Folders, zips, linked parts in an .mxl, no score, nothing declared, --init, names left out, the command line."""

from __future__ import annotations

import io
import json
import shutil
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from xmlcheck import schemas
from xmlcheck.annotation import unmark
from xmlcheck.cli import main
from xmlcheck.errors import Unreadable
from xmlcheck.handing.answer import handoff, look
from xmlcheck.handing.declared import parse
from xmlcheck.handing.init import declaration_of
from xmlcheck.handing.values import Handoff

from .conftest import LOWER, TIMED, UPPER, alone, kinds, two

Answered = Callable[..., Handoff]
GOOD = {"score.musicxml": two(), "oboe.musicxml": alone(UPPER, "Oboe"), "bassoon.musicxml": alone(TIMED + LOWER, "Bassoon")}
DEMO = Path(__file__).parents[3] / "corpus" / "demo" / "handoff"


def zipped(files: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return out.getvalue()


def test_a_zip_says_what_its_folder_says(tmp_path: Path, answered: Answered) -> None:
    bad = {**GOOD, "oboe.musicxml": alone(UPPER.replace("G5", "A5"), "Oboe")}
    (tmp_path / "all.zip").write_bytes(zipped(bad))
    of_zip, of_folder = handoff(tmp_path / "all.zip"), answered(bad)
    assert of_zip.disagreements == of_folder.disagreements
    assert kinds(of_zip) == ["music.notes"]


def test_linked_parts_inside_an_mxl(answered: Answered) -> None:
    """The container of MusicXML 4.0: the first rootfile is the score, part documents lie beside it."""
    container = b'<container><rootfiles><rootfile full-path="score.musicxml"/></rootfiles></container>'
    files = {"META-INF/container.xml": container, "score.musicxml": two()}
    files |= {f"parts/{name}": data for name, data in GOOD.items() if name != "score.musicxml"}
    answer = answered({"cue.mxl": zipped(files)})
    assert kinds(answer) == []
    assert {one.name for one in answer.files if one.role == "part"} == {
        "cue.mxl!parts/oboe.musicxml",
        "cue.mxl!parts/bassoon.musicxml",
    }
    files["parts/oboe.musicxml"] = alone(UPPER.replace("G5", "A5"), "Oboe")
    assert kinds(answered({"cue.mxl": zipped(files)})) == ["music.notes"]


def test_parts_without_a_score_are_held_against_one_another(answered: Answered) -> None:
    files = {name: data for name, data in GOOD.items() if name != "score.musicxml"}
    assert kinds(answered(files)) == ["files.no-score"]
    files["bassoon.musicxml"] = alone((TIMED + LOWER).replace("90", "100"), "Bassoon")
    assert kinds(answered(files)) == ["files.no-score", "frame.tempo"]


def test_a_declared_cue_without_files_and_an_unknown_instrument(answered: Answered) -> None:
    text = '[[cue]]\nname = "Even Keel"\n[[cue]]\nname = "Ripples"\n'
    assert kinds(answered({**GOOD, "handoff.toml": text})) == ["declared.cue"]


def test_a_long_rest_without_a_cue(answered: Answered) -> None:
    upper = "tempo=60 C5.w | " + "R | " * 9 + "C5.w"
    lower = "tempo=60 " + "C3.w | " * 10 + "C3.w"
    files = {"s.musicxml": two(upper, lower), "o.musicxml": alone(upper, "Oboe"), "b.musicxml": alone(lower, "Bassoon")}
    answer = answered(files)
    assert [(item.kind, item.bar) for item in answer.disagreements] == [("page.cue", "11")]


def test_a_folder_without_music(tmp_path: Path) -> None:
    with pytest.raises(Unreadable):
        handoff(tmp_path)
    (tmp_path / "a.musicxml").write_text("<score-partwise")
    with pytest.raises(Unreadable):
        handoff(tmp_path)


def test_init_writes_what_passes(tmp_path: Path, answered: Answered) -> None:
    answered(GOOD)
    folder = tmp_path / "folder"
    text = declaration_of(look(folder))
    assert parse(text.encode(), "handoff.toml").cues[0].parts == ("Oboe", "Bassoon")
    (folder / "handoff.toml").write_text(text, encoding="utf-8")
    assert kinds(handoff(folder)) == []


def test_names_are_left_out_of_everything() -> None:
    for names, there in ((True, True), (False, False)):
        answer = handoff(DEMO, names=names)
        everything = json.dumps(answer.to_dict()) + "".join(answer.sheets.values())
        assert [name in everything for name in ("hanae", "tolland", "merrin", "ishida")] == [there] * 4


def test_the_command_line(tmp_path: Path) -> None:
    run = CliRunner().invoke(main, ["handoff", str(DEMO), "--format", "json", "--sheets", str(tmp_path / "sheets")])
    assert run.exit_code == 0
    data = json.loads(run.stdout)
    assert schemas.validate("handoff-1", data) == []
    assert data["producer"]["order"]["exact"] is True
    sheets = sorted(path.name for path in (tmp_path / "sheets").iterdir())
    assert "producer.md" in sheets
    assert "Koto.md" in sheets
    assert all(len((tmp_path / "sheets" / name).read_text().splitlines()) <= 56 for name in sheets if name != "producer.md")


def test_exit_status(tmp_path: Path) -> None:
    for name, data in {**GOOD, "oboe.musicxml": alone(UPPER.replace("G5", "A5"), "Oboe")}.items():
        (tmp_path / name).write_bytes(data)
    assert CliRunner().invoke(main, ["handoff", str(tmp_path)]).exit_code == 1
    assert CliRunner().invoke(main, ["handoff", str(tmp_path / "none")]).exit_code == 2
    (tmp_path / "handoff.toml").write_text("titel = 'x'")
    run = CliRunner().invoke(main, ["handoff", str(tmp_path)])
    assert run.exit_code == 2
    assert 'nearest is "title"' in run.stderr


def test_players_copies_come_out_again(tmp_path: Path) -> None:
    run = CliRunner().invoke(main, ["handoff", str(DEMO), "--sheets", str(tmp_path), "--player-notes"])
    assert run.exit_code == 0
    path = tmp_path / "1m1 Low Water" / "1m1 Koto rev B.player.musicxml"
    data, before = path.read_bytes(), (DEMO / "1m1 Low Water" / "1m1 Koto rev B.musicxml").read_bytes()
    assert data != before
    assert unmark(data) == before


def test_a_part_in_the_folder_of_another_cue(tmp_path: Path) -> None:
    """The file says 1m2 and lies among those of 1m1 under a name that says 1m1."""
    shutil.copytree(DEMO, tmp_path / "all")
    (tmp_path / "all" / "handoff.toml").unlink()
    own = tmp_path / "all" / "1m2 Lamps, One by One" / "1m2 Pipa rev B.musicxml"
    own.rename(tmp_path / "all" / "1m1 Low Water" / "1m1 Pipa rev B.musicxml")
    answer = handoff(tmp_path / "all")
    assert [(item.kind, item.cue, item.file) for item in answer.disagreements] == [
        ("names.cue", "1m2", "1m1 Low Water/1m1 Pipa rev B.musicxml")
    ]

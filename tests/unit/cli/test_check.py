"""`check`: what it prints, writes and answers; that it never loses a file."""

from __future__ import annotations

import hashlib
import json
import os
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

import xmlcheck
from xmlcheck import schemas

Run = Callable[..., Result]


def tree(folder: Path) -> list[str]:
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file())


def packed(path: Path, score: bytes) -> Path:
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(
            "META-INF/container.xml", '<container><rootfiles><rootfile full-path="s.xml"/></rootfiles></container>'
        )
        archive.writestr("s.xml", score)
        archive.writestr("cover.txt", "ours")
    return path


def test_one_file_gives_a_table_an_annotated_copy_and_findings(run: Run, cue: Path, house: Path) -> None:
    before = cue.read_bytes()
    result = run("check", cue, "--plugin", house)
    assert result.exit_code == 1
    assert tree(cue.parent) == ["cue.checked.musicxml", "cue.findings.json", "cue.musicxml"]
    assert cue.read_bytes() == before
    checked = (cue.parent / "cue.checked.musicxml").read_bytes()
    assert xmlcheck.unmark(checked) == before
    assert b"held by the house" in checked
    data = json.loads((cue.parent / "cue.findings.json").read_bytes())
    assert schemas.validate("findings-1", data) == []
    assert data["source"]["sha256"] == hashlib.sha256(before).hexdigest()
    assert "bars 1-2 · held by the house (house.hold)" in result.stdout
    assert "wrote" in result.stderr
    assert "wrote" not in result.stdout


def test_the_exit_status_follows_hold_at(run: Run, cue: Path, house: Path) -> None:
    plain = ("check", cue, "--no-write", "--part", "P1=lamp-zither", "--plugin", house)
    assert run(*plain).exit_code == 1
    config = cue.parent / "xmlcheck.toml"
    config.write_text('[grades]\n"house.hold" = "query"\n', encoding="utf-8")
    assert run(*plain).exit_code == 0
    assert run(*plain, "--hold-at", "query").exit_code == 1
    config.write_text('hold_at = "query"\n[grades]\n"house.hold" = "query"\n', encoding="utf-8")
    assert run(*plain).exit_code == 1
    assert run(*plain, "--hold-at", "halt").exit_code == 0, "the command line is stronger than the file"
    config.write_text('[grades]\n"house.hold" = "off"\n', encoding="utf-8")
    result = run(*plain, "--format", "json")
    assert "house.hold" not in result.stdout


def test_an_accepted_finding_no_longer_holds(run: Run, cue: Path, house: Path) -> None:
    plain = ("check", cue, "--no-write", "--part", "P1=lamp-zither", "--plugin", house)
    data = json.loads(run(*plain, "--format", "json").stdout)
    id = next(item["id"] for item in data["findings"] if item["rule"] == "house.hold")
    (cue.parent / "xmlcheck.toml").write_text(
        f'accept = [{{ id = "{id}", by = "Ines Varga", why = "meant so" }}]\n', encoding="utf-8"
    )
    result = run(*plain)
    assert result.exit_code == 0
    assert "accepted by Ines Varga: meant so" in " ".join(result.stdout.split())


def test_nothing_is_written_with_no_write(run: Run, cue: Path) -> None:
    run("check", cue, "--no-write")
    assert tree(cue.parent) == ["cue.musicxml"]


def test_out_gets_the_files_and_the_input_folder_stays_clean(run: Run, cue: Path, tmp_path: Path) -> None:
    out = tmp_path / "new" / "desk"
    assert run("check", cue, "--out", out).exit_code == 0
    assert tree(out) == ["cue.checked.musicxml", "cue.findings.json"]
    assert "cue.findings.json" not in os.listdir(cue.parent)


def test_standard_input_is_only_printed_about(run: Run, cue: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(cue.parent)
    result = run("check", "-", stdin=cue.read_bytes())
    assert result.exit_code == 0
    assert result.stdout.startswith("standard input\n1 part")
    assert tree(cue.parent) == ["cue.musicxml"]


def test_a_folder_asks_where_to_write(run: Run, cue: Path) -> None:
    result = run("check", cue.parent)
    assert result.exit_code == 2
    assert "--out DIR, --beside, or --no-write" in result.stderr
    assert run("check", cue.parent, "--out", cue.parent / "x", "--beside").exit_code == 2
    assert tree(cue.parent) == ["cue.musicxml"]


def test_a_folder_is_mirrored_and_our_own_outputs_are_skipped(run: Run, cue: Path, tmp_path: Path) -> None:
    score = cue.read_bytes()
    (tmp_path / "parts" / "horn").mkdir(parents=True)
    (tmp_path / "parts" / "horn" / "horn.musicxml").write_bytes(score)
    (tmp_path / "parts" / "settings.xml").write_bytes(b"<settings/>")
    (tmp_path / "parts" / ".hidden.xml").write_bytes(score)
    (tmp_path / "parts" / "notes.txt").write_text("not a score")
    out = tmp_path / "out"
    first = run("check", tmp_path, "--out", out)
    assert first.exit_code == 0
    made = ["cue.checked.musicxml", "cue.findings.json", "parts/horn/horn.checked.musicxml", "parts/horn/horn.findings.json"]
    assert tree(out) == made
    assert "settings.xml: skipped: not a score (its root is 'settings')" in first.stderr
    assert "2 files checked: 0 halt" in first.stdout
    second = run("check", tmp_path, "--out", out)
    assert second.exit_code == 0
    assert tree(out) == made, "the copies under out are not checked again"
    assert second.stderr.count("an annotated file; name it to have it checked") == 2
    assert second.stdout == first.stdout


def test_beside_writes_into_the_folder(run: Run, cue: Path) -> None:
    assert run("check", cue.parent, "--beside").exit_code == 0
    assert tree(cue.parent) == ["cue.checked.musicxml", "cue.findings.json", "cue.musicxml"]


def test_equal_stems_keep_their_suffix_however_they_are_named(run: Run, cue: Path) -> None:
    (cue.parent / "cue.xml").write_bytes(cue.read_bytes())
    packed(cue.parent / "CUE.mxl", cue.read_bytes())
    run("check", cue)
    assert {"cue.musicxml.checked.musicxml", "cue.musicxml.findings.json"} < set(tree(cue.parent))
    result = run("check", cue.parent, "--beside")
    assert result.exit_code == 0
    assert set(tree(cue.parent)) == {
        "CUE.mxl", "CUE.mxl.checked.mxl", "CUE.mxl.findings.json",
        "cue.musicxml", "cue.musicxml.checked.musicxml", "cue.musicxml.findings.json",
        "cue.xml", "cue.xml.checked.musicxml", "cue.xml.findings.json",
    }  # fmt: skip


def test_a_packed_score_comes_back_packed(run: Run, cue: Path) -> None:
    path = packed(cue.parent / "song.mxl", cue.read_bytes())
    assert run("check", path).exit_code == 0
    with zipfile.ZipFile(cue.parent / "song.checked.mxl") as archive:
        assert archive.namelist() == ["META-INF/container.xml", "s.xml", "cover.txt"]
        assert b"<?xmlcheck file" in archive.read("s.xml")
        assert xmlcheck.unmark(archive.read("s.xml")) == cue.read_bytes()


def test_two_inputs_for_one_place_are_refused_before_anything_is_written(run: Run, cue: Path, tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "cue.musicxml").write_bytes(cue.read_bytes())
    result = run("check", cue, tmp_path / "other" / "cue.musicxml", "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert "would both be written to" in result.stderr
    assert not (tmp_path / "out").exists()


def test_an_annotated_file_named_is_checked_without_its_marks(run: Run, cue: Path, house: Path) -> None:
    run("check", cue, "--plugin", house)
    checked = cue.parent / "cue.checked.musicxml"
    before = checked.read_bytes()
    result = run("check", checked, "--plugin", house, "--format", "json")
    data = json.loads(result.stdout)
    assert data["source"]["sha256"] == hashlib.sha256(cue.read_bytes()).hexdigest()
    assert any("check marks were taken out" in notice for notice in data["notices"])
    assert checked.read_bytes() == before
    assert xmlcheck.unmark((cue.parent / "cue.checked.checked.musicxml").read_bytes()) == cue.read_bytes()


def test_an_edited_annotated_file_is_the_new_original_with_a_warning(run: Run, cue: Path) -> None:
    run("check", cue)
    checked = cue.parent / "cue.checked.musicxml"
    checked.write_bytes(checked.read_bytes().replace(b"<step>D</step>", b"<step>E</step>"))
    data = json.loads(run("check", checked, "--no-write", "--format", "json").stdout)
    assert any("edited after it was annotated" in notice for notice in data["notices"])
    assert (
        data["source"]["sha256"] == hashlib.sha256(cue.read_bytes().replace(b"<step>D</step>", b"<step>E</step>")).hexdigest()
    )


def test_an_edited_output_is_not_overwritten(run: Run, cue: Path) -> None:
    run("check", cue)
    checked, findings = cue.parent / "cue.checked.musicxml", cue.parent / "cue.findings.json"
    assert run("check", cue).exit_code == 0, "an untouched output is replaced"
    edited = checked.read_bytes().replace(b"<step>D</step>", b"<step>E</step>")
    checked.write_bytes(edited)
    kept = findings.read_bytes()
    result = run("check", cue)
    assert result.exit_code == 2
    assert "no untouched output of this tool" in result.stderr
    assert (checked.read_bytes(), findings.read_bytes()) == (edited, kept)


def test_an_input_is_never_overwritten_not_even_by_another_input(run: Run, cue: Path) -> None:
    run("check", cue)
    checked = cue.parent / "cue.checked.musicxml"
    before = checked.read_bytes()
    result = run("check", cue, checked)
    assert result.exit_code == 2
    assert "is an input of this run" in result.stderr
    assert checked.read_bytes() == before
    assert (cue.parent / "cue.checked.checked.musicxml").exists(), "the other file of the run is still done"


def test_one_bad_file_does_not_stop_the_rest_and_the_highest_status_wins(run: Run, cue: Path, house: Path) -> None:
    bad = cue.parent / "bad.musicxml"
    bad.write_bytes(b"<score-partwise><part")
    result = run("check", bad, cue.parent / "none.xml", cue, "--plugin", house, "--out", cue.parent / "out")
    assert result.exit_code == 2
    assert tree(cue.parent / "out") == ["cue.checked.musicxml", "cue.findings.json"]
    assert [line.split(":")[0] for line in result.stderr.splitlines()][:2] == ["xmlcheck", "xmlcheck"]
    assert "none.xml: no such file or folder" in result.stderr
    assert "1 file checked: 1 halt" in result.stdout
    assert "2 could not be checked" in result.stdout


def test_json_is_one_object_for_one_file_and_lines_for_several(run: Run, cue: Path) -> None:
    one = run("check", cue, "--no-write", "--format", "json")
    assert json.loads(one.stdout)["schema"] == "findings-1"
    assert one.stdout.startswith('{\n  "schema"')
    (cue.parent / "b.musicxml").write_bytes(cue.read_bytes())
    several = run("check", cue.parent, "--no-write", "--format", "json").stdout.splitlines()
    assert [json.loads(line)["source"]["name"] for line in several] == ["b.musicxml", "cue.musicxml"]
    folder = run("check", cue.parent, "--no-write", "--format", "json", "--quiet")
    assert folder.stdout.splitlines() == several
    assert folder.stderr == ""


def test_quiet_says_nothing_but_errors(run: Run, cue: Path, house: Path) -> None:
    result = run("check", cue, "--quiet", "--plugin", house)
    assert (result.exit_code, result.stdout, result.stderr) == (1, "", "")
    result = run("check", cue.parent / "none.xml", "-q")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith("xmlcheck: ")


def test_several_jobs_give_the_same_as_one(run: Run, cue: Path, house: Path) -> None:
    for number in range(4):
        (cue.parent / f"c{number}.musicxml").write_bytes(cue.read_bytes())
    (cue.parent / "c2.musicxml").write_bytes(b"<not-a-score/>")
    plain = ("check", cue.parent, "--no-write", "--plugin", house)
    one, two = run(*plain), run(*plain, "-j", 2)
    assert two.stdout == one.stdout
    assert two.stderr == one.stderr
    assert two.exit_code == one.exit_code == 2


def test_marks_all_none_and_from_the_configuration(run: Run, cue: Path, house: Path) -> None:
    checked = cue.parent / "cue.checked.musicxml"
    (cue.parent / "xmlcheck.toml").write_text('[grades]\n"house.hold" = "tidy"\n', encoding="utf-8")
    run("check", cue, "--plugin", house)
    assert b"held by the house" not in checked.read_bytes()
    run("check", cue, "--plugin", house, "--marks", "all")
    assert b"held by the house" in checked.read_bytes()
    run("check", cue, "--plugin", house, "--marks", "none")
    assert b"[check" not in checked.read_bytes()
    assert b"<?xmlcheck file" in checked.read_bytes()
    (cue.parent / "xmlcheck.toml").write_text('marks = "all"\n[grades]\n"house.hold" = "tidy"\n', encoding="utf-8")
    run("check", cue, "--plugin", house)
    assert b"held by the house" in checked.read_bytes()


def test_part_instrument_and_config_decide_who_plays(run: Run, cue: Path, house: Path) -> None:
    profile = cue.parent / "own.toml"
    text = (house / "profiles" / "lamp-zither.toml").read_text(encoding="utf-8").replace("lamp-zither", "own-zither")
    profile.write_text(text.replace("lamp zither", "own zither").replace("Lampenzither", "Eigenzither"), encoding="utf-8")

    def plays(*options: object) -> str | None:
        result = run("check", cue, "--no-write", "--format", "json", *options)
        assert result.exit_code != 2, result.stderr
        instrument: str | None = json.loads(result.stdout)["parts"][0]["instrument"]
        return instrument

    assert plays() is None
    assert plays("--plugin", house) == "lamp-zither"
    assert plays("--instrument", profile) is None
    assert plays("--instrument", profile, "--part", "P1=own-zither") == "own-zither"
    assert plays("--instrument", profile, "--part", "lamp zither=own zither") == "own-zither", "part and instrument by name"
    config = cue.parent / "other.toml"
    config.write_text('instruments = ["own.toml"]\n[parts]\nP1 = "own zither"\n', encoding="utf-8")
    assert plays("--config", config) == "own-zither"
    assert plays("--config", config, "--plugin", house, "--part", "P1=lamp-zither") == "lamp-zither"


def test_a_players_values_reach_the_check(run: Run, cue: Path, house: Path) -> None:
    """The compass of the player, not of the profile, is in the snapshot of the findings."""
    (cue.parent / "xmlcheck.toml").write_text(
        '[players.Mira]\npart = "P1"\ninstrument = "lamp zither"\ncompass.lowest = { value = "E4", certainty = "player" }\n'
        'compass.highest = { value = "F4", certainty = "player" }\n',
        encoding="utf-8",
    )
    data = json.loads(run("check", cue, "--no-write", "--format", "json", "--plugin", house).stdout)
    lowest = data["parts"][0]["profile"]["facets"]["compass"]["lowest"]
    assert lowest["value"] == "E4"
    assert lowest["origin"] == "xmlcheck.toml players.Mira"


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--part", "P1"), "say NAME=INSTRUMENT"),
        (("--part", "P1=violoncelloo"), "no installed instrument is called 'violoncelloo'"),
        (("--config", "none.toml"), "no such configuration file"),
        (("--instrument", "none.toml"), "no such instrument file"),
        (("--plugin", "none"), "no such plugin folder"),
    ],
)
def test_options_that_name_nothing_are_refused(run: Run, cue: Path, options: tuple[str, str], told: str) -> None:
    result = run("check", cue, *options)
    assert result.exit_code == 2
    assert told in result.stderr
    assert tree(cue.parent) == ["cue.musicxml"]


def test_a_part_name_that_no_file_has_is_told(run: Run, cue: Path, house: Path) -> None:
    result = run("check", cue, "--no-write", "--plugin", house, "--part", "Lamp zithr=lamp-zither")
    assert "--part Lamp zithr: no part of this id or name." in result.stderr


def test_configuration_is_told_where_it_names_no_rule_or_instrument(run: Run, cue: Path, house: Path) -> None:
    config = cue.parent / "xmlcheck.toml"
    config.write_text('[grades]\n"house.held" = "tidy"\n', encoding="utf-8")
    result = run("check", cue, "--no-write", "--plugin", house)
    assert 'no installed plugin has the rule "house.held"; the nearest is "house.hold".' in " ".join(result.stdout.split())
    config.write_text('[parts]\nP7 = "lamp zitherr"\n', encoding="utf-8")
    result = run("check", cue, "--no-write", "--plugin", house)
    assert result.exit_code == 2
    assert "xmlcheck.toml: parts.P7" in result.stderr
    config.write_text("hold-at = 1", encoding="utf-8")
    result = run("check", cue, "--no-write")
    assert result.exit_code == 2
    assert 'unknown key "hold-at"; the nearest is "hold_at"' in result.stderr


def test_an_empty_folder_is_no_success(run: Run, tmp_path: Path) -> None:
    result = run("check", tmp_path, "--no-write")
    assert result.exit_code == 2
    assert "no scores in this folder" in result.stderr


def test_a_folder_that_cannot_be_written_leaves_nothing_behind(run: Run, cue: Path) -> None:
    (cue.parent / "wall").write_text("a file where a folder is asked for")
    result = run("check", cue, "--out", cue.parent / "wall")
    assert result.exit_code == 2
    assert "cannot be written" in result.stderr
    assert tree(cue.parent) == ["cue.musicxml", "wall"]


def test_outputs_get_ordinary_rights(run: Run, cue: Path) -> None:
    """A copyist opens them from another account; a temporary file's private rights would lock them out."""
    if sys.platform == "win32":
        pytest.skip("Windows has no such bits")
    mask = os.umask(0o022)
    try:
        run("check", cue)
    finally:
        os.umask(mask)
    assert (cue.parent / "cue.findings.json").stat().st_mode & 0o777 == 0o644

"""A plugin folder full of rules that misbehave, through the command line: tables, JSON, exit status, several processes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from tests.hostile.row import bar, score
from xmlcheck.cli import main

HEAD = "from xmlcheck.plugin import Chair, Hit, Hits, rule\nimport sys\n\n\n@rule\ndef odd(chair: Chair) -> Hits:\n"
RULES = {
    "raises": "    raise ValueError('lamp')\n    yield\n",
    "leaves": "    sys.exit(0)\n    yield\n",
    "interrupts": "    raise KeyboardInterrupt\n    yield\n",
    "hangs": "    while True:\n        pass\n    yield\n",
    "prints": "    print('lamp ' * 1000)\n    print('oil', file=sys.stderr)\n    yield from ()\n",
    "strange": "    yield 7\n",
    "nan": "    yield Hit(at=chair.tones[:1], values={'x': float('nan')})\n",
}
CARD = """schema = "rule-1"
id = "odd.{0}"
title = "Odd"
grade = "halt"
label = "odd"
message = "Odd."
why = "For tests."
remedy = "None."
"""


@pytest.fixture(scope="module")
def odd(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("plugins") / "xmlcheck_test_odd"
    for slug, body in RULES.items():
        (folder / "rules" / slug).mkdir(parents=True)
        (folder / "rules" / slug / "rule.toml").write_text(CARD.format(slug), encoding="utf-8")
        (folder / "rules" / slug / "rule.py").write_text(HEAD + body, encoding="utf-8")
    (folder / "plugin.toml").write_text('schema = "plugin-1"\nversion = "3"\n', encoding="utf-8")
    return folder


@pytest.fixture
def desk(tmp_path: Path) -> Path:
    (tmp_path / ".git").mkdir()
    (tmp_path / "xmlcheck.toml").write_text('[settings."odd.hangs"]\ntime_limit = 0.5\n', encoding="utf-8")
    for name in ("cue", "lamp"):
        (tmp_path / f"{name}.musicxml").write_bytes(score(bars=bar().replace("<octave>4", "<octave>1")))
    return tmp_path


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, ["check", *map(str, arguments), "--no-write"])


def findings(result: Result) -> list[object]:
    return [json.loads(line)["findings"] for line in result.stdout.splitlines()]


@pytest.mark.parametrize("jobs", [1, 2])
def test_a_folder_of_odd_rules_changes_no_finding(odd: Path, desk: Path, jobs: int) -> None:
    plain = run(desk, "--format", "json")
    result = run(desk, "--format", "json", "--plugin", odd, "-j", jobs)
    assert findings(result) == findings(plain)
    assert any(finding for finding in findings(plain))
    assert result.exit_code == plain.exit_code == 1, "the exit status is that of the findings"
    for line in result.stdout.splitlines():
        notices = json.loads(line)["notices"]
        for slug in RULES:
            assert sum(f"Rule odd.{slug} of xmlcheck_test_odd " in notice for notice in notices) == 1, slug
    assert "lamp lamp" not in result.stderr
    assert "oil" not in result.stderr


def test_blame_stands_in_the_table(odd: Path, desk: Path) -> None:
    result = run(desk / "cue.musicxml", "--plugin", odd)
    told = " ".join(result.stdout.split())
    assert "Rule odd.raises of xmlcheck_test_odd failed on part P1 and is left out there: ValueError: lamp" in told
    assert "Rule odd.hangs of xmlcheck_test_odd failed on part P1 and is left out there: it took more than 0.5 seconds" in told
    assert "Rule odd.prints of xmlcheck_test_odd printed" in told


def test_a_time_limit_that_is_none_is_told(odd: Path, desk: Path) -> None:
    (desk / "xmlcheck.toml").write_text('[settings."odd.hangs"]\ntime_limit = "long"\n', encoding="utf-8")
    result = run(desk / "cue.musicxml", "--plugin", odd)
    assert result.exit_code == 2
    assert result.stderr == "xmlcheck: settings.\"odd.hangs\".time_limit: expected seconds above 0, found 'long'.\n"

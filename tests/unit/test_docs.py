"""`xmlcheck docs`: pages written, compared, and nothing of anybody else's touched. A small registry of our own stands in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from xmlcheck import registry as registries
from xmlcheck.authoring import docs
from xmlcheck.cli import main
from xmlcheck.errors import WriteFailed
from xmlcheck.identify import Names
from xmlcheck.registry import Registry, discover

Run = Callable[..., Result]


@pytest.fixture(scope="module")
def small() -> Registry:
    """Two rules and one instrument of those that are installed."""
    whole = discover()
    offers = {id: whole.offers[id] for id in ("koto",)}
    rules = tuple(rule for rule in whole.rules if rule.id in ("compass.above", "compass.below"))
    return replace(whole, offers=offers, rules=rules, names=Names([offer.entry for offer in offers.values()]))


@pytest.fixture
def run(small: Registry, monkeypatch: pytest.MonkeyPatch) -> Run:
    monkeypatch.setattr(registries, "discover", lambda *_: small)
    monkeypatch.setattr(docs, "examples", lambda _: {})
    return lambda *arguments: CliRunner().invoke(main, ["docs", *map(str, arguments)])


def test_what_was_written_is_fresh_until_something_changes(run: Run, tmp_path: Path) -> None:
    written = run("--out", tmp_path)
    assert written.exit_code == 0
    assert "wrote 6 pages" in written.stderr
    assert sorted(path.relative_to(tmp_path).as_posix() for path in tmp_path.rglob("*.md")) == [
        "README.md",
        "instruments/README.md",
        "instruments/koto.md",
        "rules/README.md",
        "rules/compass.above.md",
        "rules/compass.below.md",
    ]
    fresh = run("--check", tmp_path)
    assert (fresh.exit_code, fresh.stdout) == (0, "")


def test_each_stale_page_is_named_and_what_is_wrong_with_it(run: Run, tmp_path: Path) -> None:
    run("--out", tmp_path)
    (tmp_path / "rules" / "compass.above.md").unlink()
    (tmp_path / "rules" / "compass.below.md").write_text("other", encoding="utf-8")
    (tmp_path / "rules" / "old.rule.md").write_bytes((tmp_path / "README.md").read_bytes())
    (tmp_path / "notes.md").write_text("somebody's own", encoding="utf-8")
    stale = run("--check", tmp_path)
    assert stale.exit_code == 1
    assert stale.stdout.splitlines() == [
        f"{tmp_path}/rules/compass.above.md: missing",
        f"{tmp_path}/rules/compass.below.md: not fresh",
        f"{tmp_path}/rules/old.rule.md: no page of the reference any more",
    ]
    assert f"xmlcheck docs --out {tmp_path}" in stale.stderr


def test_old_pages_go_and_what_is_not_ours_stays(run: Run, tmp_path: Path) -> None:
    run("--out", tmp_path)
    (tmp_path / "rules" / "old.rule.md").write_bytes((tmp_path / "README.md").read_bytes())
    (tmp_path / "notes.md").write_text("somebody's own", encoding="utf-8")
    again = run("--out", tmp_path)
    assert "old pages taken away: 1" in again.stderr
    assert not (tmp_path / "rules" / "old.rule.md").exists()
    assert (tmp_path / "notes.md").read_text(encoding="utf-8") == "somebody's own"
    assert run("--check", tmp_path).exit_code == 0


def test_a_page_that_somebody_wrote_is_not_replaced(small: Registry, run: Run, tmp_path: Path) -> None:
    (tmp_path / "README.md").write_text("somebody's own", encoding="utf-8")
    result = run("--out", tmp_path)
    assert result.exit_code == 2
    assert f"{tmp_path}/README.md: is there already" in result.stderr
    with pytest.raises(WriteFailed, match="give --out another folder"):
        docs.put(tmp_path, small)
    assert [path.name for path in tmp_path.iterdir()] == ["README.md"]


@pytest.mark.parametrize("options", [(), ("--out", "a", "--check", "b")])
def test_one_of_the_two_is_asked_for(run: Run, options: tuple[str, ...]) -> None:
    assert run(*options).exit_code == 2

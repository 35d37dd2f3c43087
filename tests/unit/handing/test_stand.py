"""What the player meets on the stand: turns, headers, supplied pages; and the picture where there is no score.

Page breaks: MusicXML 4.0, print/@new-page. Two seconds for a turn and three for a bridge are the project's own and the
profile's; what a header holds is common practice, no source.
"""

from __future__ import annotations

import io
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from xmlcheck.handing.answer import handoff
from xmlcheck.handing.values import Handoff
from xmlcheck.testing.mini import Part, score

from .conftest import LOWER, TIMED, UPPER, alone, kinds, two

Answered = Callable[..., Handoff]
TURN = '`<print new-page="yes"/>`'


def koto(rest: str, turn: bool) -> str:
    """Gakujōshi on D, then the strings on C go to B in the rest: the part says so."""
    first = "tempo=60 D4.q G4 A4 C5 | D5.q E5 C5 A4"
    after = "D4.q G4 A4 B4 | D5.q E5 B4 A4"
    return f"{first} | {rest} | {TURN if turn else ''} {after}"


@pytest.mark.parametrize(("rest", "told"), [("R", True), ("R | R | R", False)])
def test_a_turn_that_meets_both_hands_retuning(rest: str, told: bool, answered: Answered) -> None:
    whole = score([Part(koto(rest, False), name="Koto"), Part(TIMED.replace("90", "60") + "C3.w", name="Bassoon")])
    files = {"score.musicxml": whole, "koto.musicxml": score(Part(koto(rest, True), name="Koto"))}
    answer = answered(files)
    plans = [
        line.text
        for one in answer.files
        if one.role == "part" and one.report
        for plan in one.report.plans
        for line in plan.lines
    ]
    assert any("->" in text and text.startswith(("bar", "before")) for text in plans), plans
    turns = [item.text for item in answer.disagreements if item.kind == "page.turn"]
    assert bool(turns) is told, turns
    assert all("both hands retune" in text for text in turns)


def header_of(answer: Handoff) -> list[str]:
    return [item.text for item in answer.disagreements if item.kind == "page.header"]


@pytest.mark.parametrize(("name", "lost"), [("Flute", True), ("Flute (doubling Piccolo)", False), ("Flute / Piccolo", False)])
def test_a_doubling_that_no_heading_names(name: str, lost: bool, answered: Answered) -> None:
    notes = 'tempo=90 A4.q A4 A4 A4 | R | R | R | "to Piccolo" A5.q A5 A5 A5'
    whole = score([Part(notes, name=name), Part("tempo=90 clef=bass C3.w | C3 | C3 | C3 | C3", name="Bassoon")])
    bass = score(Part("tempo=90 clef=bass C3.w | C3 | C3 | C3 | C3", name="Bassoon"))
    answer = answered({"score.musicxml": whole, "a.musicxml": score(Part(notes, name=name)), "b.musicxml": bass})
    assert header_of(answer) == (["its header does not say: doublings"] if lost else [])


def test_a_declared_doubling_is_no_other_instrument(answered: Answered) -> None:
    notes = 'tempo=90 A4.q A4 A4 A4 | R | R | R | "to Piccolo" A5.q A5 A5 A5'
    whole = score([Part(notes, name="Flute / Piccolo"), Part("tempo=90 clef=bass C3.w | C3 | C3 | C3 | C3", name="Bassoon")])
    files = {"score.musicxml": whole, "a.musicxml": score(Part(notes, name="Flute / Piccolo"))}
    plain = '[players.x]\npart = "Flute / Piccolo"\ninstrument = "flute"\n'
    alone_ = [item for item in answered({**files, "handoff.toml": plain}).disagreements if item.kind == "declared.instrument"]
    assert [(item.bar, item.part) for item in alone_] == [("5", "Flute / Piccolo")]
    both = answered({**files, "handoff.toml": plain + 'doublings = ["piccolo"]'})
    assert "declared.instrument" not in kinds(both)


@pytest.mark.parametrize(("words", "lost"), [("", True), ('"scordatura" ', False), ('"cross tuning" ', False)])
def test_a_tuning_that_the_part_does_not_name(words: str, lost: bool, answered: Answered) -> None:
    notes = f"tempo=90 {words}A4.q A4 A4 A4"
    whole = score([Part(notes, name="Violin"), Part("tempo=90 clef=bass C3.w", name="Bassoon")])
    text = '[players.x]\npart = "Violin"\ninstrument = "violin"\nbrings = { tunings = ["A E A E"] }'
    answer = answered({"score.musicxml": whole, "a.musicxml": score(Part(notes, name="Violin")), "handoff.toml": text})
    assert header_of(answer) == (["its header does not say: tuning"] if lost else [])


GOOD = {"score.musicxml": two(), "oboe.musicxml": alone(UPPER, "Oboe"), "bassoon.musicxml": alone(TIMED + LOWER, "Bassoon")}


@pytest.mark.parametrize(("older", "told"), [(3600.0, ["files.stale"]), (-3600.0, [])])
def test_supplied_pages(older: float, told: list[str], answered: Answered, tmp_path: Path) -> None:
    answered({**GOOD, "oboe.pdf": b"%PDF-1.4\n"})
    page, music = tmp_path / "folder" / "oboe.pdf", tmp_path / "folder" / "oboe.musicxml"
    os.utime(page, (music.stat().st_mtime - older,) * 2)
    answer = handoff(tmp_path / "folder")
    assert kinds(answer) == told
    assert [(one.role, one.note) for one in answer.files if one.name == "oboe.pdf"] == [("supplied", "supplied, not checked")]


def midi(micros: int) -> bytes:
    mido = pytest.importorskip("mido")
    file = mido.MidiFile(ticks_per_beat=480)
    track = mido.MidiTrack()
    file.tracks.append(track)
    track.append(mido.MetaMessage("set_tempo", tempo=micros))
    for _ in range(16):
        track += [mido.Message("note_on", note=60), mido.Message("note_off", note=60, time=480)]
    out = io.BytesIO()
    file.save(file=out)
    return out.getvalue()


@pytest.mark.parametrize(("micros", "told"), [(666_667, []), (600_000, ["sync.tempo"])])
def test_the_mock_up_against_parts_without_a_score(micros: int, told: list[str], answered: Answered) -> None:
    """90 quarters a minute are 666 667 microseconds each (Standard MIDI File, set tempo)."""
    files = {name: data for name, data in GOOD.items() if name != "score.musicxml"}
    text = '[[cue]]\nnumber = "1m1"\nname = "Even Keel"\nmidi = "1m1.mid"'
    answer = answered({**files, "1m1.mid": midi(micros), "handoff.toml": text})
    assert kinds(answer) == ["files.no-score", *told]
    assert any("held against the picture" in text for text in answer.inferred)

"""One pair of files for each kind of change: exactly that change is told, at its place, in its layer.

What a kind is follows from the elements that differ (MusicXML 4.0 reference, https://www.w3.org/2021/06/musicxml40/); which words
a musician uses for it is common practice, no source.
"""

from __future__ import annotations

import pytest

import xmlcheck
from xmlcheck.comparing.change import IDENTITY, NOTATION, SOUND, Change
from xmlcheck.testing.mini import Instrument, Part, score

TUNE = "C4.q D4 E4 F4 | G4.h A4 | B4.w | C5.q B4 A4 G4"


def changes(old: str | bytes, new: str | bytes) -> tuple[Change, ...]:
    one, other = (score(text) if isinstance(text, str) else text for text in (old, new))
    return xmlcheck.compare(one, other).changes


def only(old: str | bytes, new: str | bytes) -> Change:
    found = changes(old, new)
    assert len(found) == 1, [(change.kind, change.text) for change in found]
    return found[0]


CASES = [
    ("pitch", SOUND, "1", "3", "E4 is now Eb4", TUNE, TUNE.replace("E4", "Eb4", 1)),
    ("respelled", NOTATION, "1", "2", "D#4 is now spelled Eb4, the same sound", "C4.q D#4 E4 F4", "C4.q Eb4 E4 F4"),
    ("pitch", SOUND, "1", "2", "D4 is now D4-50c", "C4.q D4 E4 F4", "C4.q D4-50c E4 F4"),
    ("note-removed", SOUND, "1", "2", "D4, quarter is gone", TUNE, TUNE.replace("D4", "r", 1)),
    ("note-added", SOUND, "2", "1", "E4, half is new", TUNE, TUNE.replace("G4.h", "[E4 G4].h", 1)),
    ("rhythm", SOUND, "2", "1", "G4: half is now a dotted half", "C4.w | G4.h r", "C4.w | G4.h. r.q"),
    ("divided", SOUND, "3", "1", "B4, whole: now 4 notes", TUNE, TUNE.replace("B4.w", "B4.q B4 B4 B4")),
    ("tied-otherwise", NOTATION, "3", "1", "B4: the same sound, written with other tied notes", TUNE, TUNE.replace("B4.w", "B4.h~ B4")),
    ("tied", SOUND, "1", "1", "C4 is tied to the next note", "C4.h C4 | C4.w", "C4.h~ C4 | C4.w"),
    ("tied", SOUND, "1", "1", "C4 is no longer tied to the next note", "C4.h~ C4 | C4.w", "C4.h C4 | C4.w"),
    ("note-added", SOUND, "1", "2", "grace note C5 is new", "C4.q D4 E4 F4", "C4.q 'C5 D4 E4 F4"),
    ("cue", SOUND, "1", "2", "each of 2 notes is now a cue note", "C4.q D4 E4 F4", "C4.q {cue D4 E4} F4"),
    ("hidden", SOUND, "1", "2", "D4 is now hidden from the player", "C4.q D4 E4 F4", "C4.q {hidden D4} E4 F4"),
    ("articulation", SOUND, "1", "1", "articulation: staccato is new at 2 notes", TUNE, "C4.q!staccato D4!staccato " + TUNE[8:]),
    ("articulation", SOUND, "1", "1", "articulation: staccato is now tenuto", "C4.w!staccato", "C4.w!tenuto"),
    ("technique", SOUND, "1", "1", "technique: up bow is gone", "C4.w!up-bow", "C4.w"),
    ("ornament", SOUND, "1", "1", "ornament: trill mark is new", "C4.w", "C4.w!trill-mark"),
    ("fermata", SOUND, "1", "1", "fermata is new", "C4.w", "C4.w!fermata"),
    ("slur", SOUND, "1", "2", "slur to bar 1, beat 4 is new", TUNE, "C4.q D4!slur=start E4 F4!slur=stop " + TUNE[14:]),
    ("slur", SOUND, "1", "4", "slur: its end is now elsewhere", "C4.q!slur=start D4 E4!slur=stop F4", "C4.q!slur=start D4 E4 F4!slur=stop"),
    ("dynamic", SOUND, "2", "1", "dynamic: mf is new", TUNE, TUNE.replace("G4.h", "<mf> G4.h")),
    ("dynamic", SOUND, "1", "1", "dynamic: p is now mf", "<p> C4.w", "<mf> C4.w"),
    ("dynamic", SOUND, "1", "3", "p moved from beat 1", "<p> C4.h D4", "C4.h <p> D4"),
    ("hairpin", SOUND, "1", "1", "crescendo to bar 1, beat 4 is new", TUNE, "<cresc> C4.q D4 E4 <end> F4 " + TUNE[14:]),
    ("words", SOUND, "1", "1", '"pizz." is now "arco"', f'"pizz." {TUNE}', f'"arco" {TUNE}'),
    ("lyrics", SOUND, "1", "1", 'syllable: "la" is now "lo"', "C4.w!lyric=la", "C4.w!lyric=lo"),
    ("tempo", SOUND, "1", "1", "tempo 90 is now 120 quarter notes a minute", f"tempo=90 {TUNE}", f"tempo=120 {TUNE}"),
    ("repeat", SOUND, "2", None, "repeat backward is gone", "C4.w | D4 :| E4", "C4.w | D4 | E4"),
    ("meter", SOUND, "1", None, "meter 4/4 is now 2/2", TUNE, f"meter=2/2 {TUNE}"),
    ("key", SOUND, "1", None, "key no sharps or flats is now 2 sharps", f"key=0 {TUNE}", f"key=2 {TUNE}"),
    ("clef", NOTATION, "1", None, "clef G clef on line 2 is now F clef on line 4", f"clef=treble {TUNE}", f"clef=bass {TUNE}"),
    ("ottava", NOTATION, "1", "1", "8va to bar 1, beat 4 is new", "C5.q D5 E5 F5 | G5.w", "<8va> C5.q D5 E5 <8-end> F5 | G5.w"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "layer", "bar", "beat", "text", "old", "new"), CASES)
def test_one_change(kind: str, layer: str, bar: str, beat: str | None, text: str, old: str, new: str) -> None:
    change = only(old, new)
    assert (change.kind, change.layer) == (kind, layer)
    assert change.new is not None
    assert change.new.bar == bar
    if beat is not None:
        assert change.new.beat == beat
    assert text in change.text
    assert 1 <= len(change.label.split()) <= 5


@pytest.mark.parametrize(("interval", "cents", "new"), [
    ("up a tone", 200, "D4.q E4 F#4 G4 | A4.h B4 | C#5.w | D5.q C#5 B4 A4"),
    ("down an octave", -1200, "C3.q D3 E3 F3 | G3.h A3 | B3.w | C4.q B3 A3 G3"),
])  # fmt: skip
def test_a_transposed_passage_is_one_change(interval: str, cents: int, new: str) -> None:
    change = only(TUNE, new)
    assert change.text == f"{interval} (11 notes)"
    assert change.values["cents"] == cents
    assert change.new is not None
    assert (change.new.bar, change.new.to_bar) == ("1", "4")


def test_chords_that_share_notes_with_the_old_ones_move_as_chords() -> None:
    """C E G up a major third is E G# B: the common E is no sign that a note stayed."""
    change = only("[C4 E4 G4].h [D4 F4 A4] | C4.w", "[E4 G#4 B4].h [F#4 A4 C#5] | C4.w")
    assert change.kind == "transposed"
    assert change.values["cents"] == 400


def test_a_note_that_did_not_go_along_is_told_with_the_passage() -> None:
    change = only("C4.q D4 E4 F4 | G4 A4 B4 C5 | D5 E5 F5 G5", "D4.q E4 F#4 G4 | A4 A4 C#5 D5 | E5 F#5 G5 A5")
    assert change.kind == "transposed"
    assert change.values["stayed"] == 1


def test_transposition_lost_is_not_told_note_by_note() -> None:
    """Written notes stay, <transpose> is gone: what is heard moves, and that is one cause (element transpose)."""
    change = only(f"transpose=-2/-1 {TUNE}", TUNE)
    assert change.kind == "transposition"
    assert "the written notes stayed" in change.text


def test_turned_to_concert_pitch_is_one_change() -> None:
    """A clarinet part in B flat, written a tone higher, against the same part as it sounds."""
    change = only("transpose=-2/-1 D4.q E4 F#4 G4 | A4.w", "C4.q D4 E4 F4 | G4.w")
    assert change.kind == "transposition"
    assert "what is heard stayed" in change.text


def test_saying_again_what_is_in_force_is_no_change() -> None:
    assert changes("key=1 C4.w | D4 | E4", "key=1 C4.w | key=1 clef=treble meter=4/4 D4 | E4") == ()


def test_double_values_are_one_change_besides_the_meter() -> None:
    found = changes("C4.q D4 E4 F4 | G4 A4 B4 C5 | D5.h C5", "meter=4/2 C4.h D4 E4 F4 | G4 A4 B4 C5 | D5.w C5")
    assert [change.kind for change in found] == ["values-rewritten", "meter"]
    assert found[0].values["factor"] == "2"


def test_tuning_of_the_strings() -> None:
    """<staff-details> with another <staff-tuning> (elements staff-tuning, tuning-step)."""
    tuning = '<staff-tuning line="1"><tuning-step>{}</tuning-step><tuning-octave>2</tuning-octave></staff-tuning>'
    tuned = f"`<attributes><staff-details>{tuning}</staff-details></attributes>` C4.w"
    change = only(tuned.format("E"), tuned.format("D"))
    assert (change.kind, change.text) == ("tuning", "tuning E2 is now D2")


def test_names_and_instruments() -> None:
    old = score(Part(TUNE, name="Lamp flute", sound="wind.flutes.flute"))
    new = score(Part(TUNE, name="Lantern flute", sound="wind.flutes.shakuhachi"))
    found = xmlcheck.compare(old, new).changes
    assert {(change.kind, change.layer) for change in found} == {("part-renamed", IDENTITY), ("instrument", IDENTITY)}


def test_player_of_a_part_with_two_instruments() -> None:
    two = (Instrument("Flute", "wind.flutes.flute"), Instrument("Piccolo", "wind.flutes.flute.piccolo"))
    old = score(Part("C5.w | D5", instruments=two))
    new = score(Part("C5.w | instrument=2 D5", instruments=two))
    assert "player" in {change.kind for change in xmlcheck.compare(old, new).changes}


def test_a_rounded_septuplet_is_no_change() -> None:
    """Seven in the time of four sixteenths: 1/7 of a quarter, or 69, 68 and 69 ticks of 480 (rounded to a tick)."""
    exact = score("{7:4 C4.s D4 E4 F4 G4 A4 B4} C5.q D5 E5").decode()
    lengths = iter((69, 68, 69, 68, 69, 68, 69))
    root_divisions = exact.split("<divisions>")[1].split("<")[0]
    unit = int(root_divisions)
    pieces = exact.split("<duration>")
    rounded = [pieces[0].replace(f"<divisions>{unit}<", "<divisions>480<")]
    for piece in pieces[1:]:
        ticks, rest = piece.split("<", 1)
        exactly = int(ticks) * 480 / unit
        rounded.append(f"{next(lengths) if exactly != round(exactly) else round(exactly)}<{rest}")
    assert changes(exact.encode(), "<duration>".join(rounded).encode()) == ()

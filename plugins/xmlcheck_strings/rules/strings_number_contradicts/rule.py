"""String numbers, fret numbers and open-string signs that give another pitch than the note has."""

from collections.abc import Iterator

from xmlcheck.plugin import Chair, Hit, Hits, Tone, rule
from xmlcheck_strings.board import Board
from xmlcheck_strings.derived import Heights
from xmlcheck_strings.facets import Fingerboard, Strings
from xmlcheck_strings.stringing import Stringing
from xmlcheck_strings.telling import open_strings, string_name


@rule
def number_contradicts(
    chair: Chair,
    strings: Strings,
    fingerboard: Fingerboard | None,
    stringing: Stringing,
    height: Heights,
    tolerance_cents: int = 40,
) -> Hits:
    """One hit for each tone with a sign that its pitch does not fit. Harmonics, whose sign may name the touched place, are left out."""
    from_bass = strings.numbering is not None and strings.numbering.value == "bass"
    for tone in chair.tones:
        if tone.harmonic or not tone.has("string", "fret", "open-string"):
            continue
        board = stringing.board_at(tone.onset)
        open = open_strings(stringing, tone.onset)
        for mark, gives in _wrong(tone, board, height(tone), from_bass, tolerance_cents):
            string, text = gives
            values = {
                "mark": mark,
                "pitch": tone.sounding,
                "gives": text if string is None else f"{string_name(open, string)} {text}".strip(),
                "tuning": stringing.told_at(tone.onset),
            }
            yield Hit(at=(tone,), values=values, rests_on=tuple(strings.courses))
            break


def _wrong(
    tone: Tone, board: Board, cents: int, from_bass: bool, tolerance: int
) -> Iterator[tuple[str, tuple[int | None, str]]]:
    """Each sign that does not give the pitch, and what it gives: a string or None, and words."""
    number, fret = _number(tone, "string"), _number(tone, "fret")
    if tone.has("open-string") and not any(abs(item - cents) <= tolerance for item in _all_open(board)):
        yield "open", (None, "no open string of this pitch")
    if number is None:
        return
    string = number - 1 if from_bass else len(board.open) - number
    if not 0 <= string < len(board.open):
        yield f"string {number}", (None, f"nothing: there are {len(board.open)} strings")
        return
    opens = (board.open[string], *board.also[string])
    if fret is not None and board.neck.frets is not None:
        at = 0 if not fret else board.neck.frets[fret - 1] if fret <= len(board.neck.frets) else 100 * fret
        if not any(abs(item + at - cents) <= tolerance for item in opens):
            yield f"string {number}, fret {fret}", (string, f"fret {fret}")
    elif board.on(string, cents) is None:
        yield (
            f"string {number}",
            (string, "which does not reach it" if cents > board.open[string] else "from its open pitch up"),
        )


def _all_open(board: Board) -> tuple[int, ...]:
    return (*board.open, *(cents for group in board.also for cents in group))


def _number(tone: Tone, name: str) -> int | None:
    value = next((mark.value for note in tone.notes for mark in note.named(name)), "")
    return int(value) if value.isdigit() and len(value) < 4 else None

"""Runs of strokes: stretches in which each note takes a stroke of its own, with their speed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from xmlcheck.plugin import Chair, Cited, Hit, Hits, Tone

FEWEST = 8
"""Strokes that make a run: fewer are an ornament, which players take faster (ours)."""
MARGIN = 1.05
"""What a rate may exceed the limit by: limits are round figures (ours)."""
_LINKED = ("hammer-on", "pull-off")


@dataclass(frozen=True, slots=True)
class Run:
    """Strokes one after the other, none slower than the rate asked for. rate: strokes a second over the whole run."""

    tones: tuple[Tone, ...]
    seconds: float
    rate: float

    @property
    def repeats(self) -> bool:
        """Whether it is one note again and again: a tremolo, written out."""
        return len({tone.sounding.cents for tone in self.tones}) == 1


def slack(chair: Chair) -> float:
    """By how much time may be longer than reckoned: 1 where the file has a tempo; without one 120 is assumed, and 60 may be meant."""
    return 1.0 if chair.tempo.given else 2.0


def runs(chair: Chair, strokes: Sequence[Tone], rate: float, fewest: int = FEWEST) -> Iterator[Run]:
    """Every longest run of at least so many strokes in which each comes sooner after the one before than `rate` a second, a
    hair's breadth (MARGIN) allowed for."""
    longest = 1 / (rate * MARGIN * slack(chair)) if rate > 0 else 0.0
    run: list[Tone] = []
    for tone in strokes:
        if run and tone.onset == run[-1].onset:
            continue
        if run and chair.seconds(run[-1].onset, tone.onset) > longest:
            yield from _made(chair, run, fewest)
            run = []
        run.append(tone)
    yield from _made(chair, run, fewest)


def hurried(
    chair: Chair, strokes: Sequence[Tone], limit: Cited[float], tremolo: Cited[float] | None, fewest: int = FEWEST
) -> Hits:
    """One hit for each run of strokes above the limit; of one repeated note, above that of a tremolo where there is one."""
    for run in runs(chair, strokes, limit.value, fewest):
        most = tremolo if run.repeats and tremolo is not None else limit
        if run.rate <= most.value * MARGIN:
            continue
        values = {
            "count_notes": len(run.tones),
            "rate": round(run.rate, 1),
            "seconds": round(run.seconds, 1),
            "limit": f"{most.value:g}",
        }
        yield Hit(at=run.tones, values=values, rests_on=(most,))


def _made(chair: Chair, run: Sequence[Tone], fewest: int) -> Iterator[Run]:
    if len(run) >= fewest:
        seconds = chair.seconds(run[0].onset, run[-1].onset)
        if seconds > 0:
            yield Run(tuple(run), seconds, (len(run) - 1) / seconds)


def strokes(tones: Sequence[Tone]) -> Iterator[Tone]:
    """The tones that begin a stroke: not those inside a slur, hammered or pulled, nor those of a tremolo sign."""
    open_slurs: set[str] = set()
    for tone in tones:
        begins = not open_slurs
        for note in tone.notes:
            for mark in note.marks:
                if mark.name == "slur":
                    if mark.type == "start":
                        open_slurs.add(mark.number)
                    elif mark.type == "stop":
                        open_slurs.discard(mark.number)
                elif mark.name == "tremolo" or (mark.name in _LINKED and mark.type == "stop"):
                    begins = False
        if begins:
            yield tone

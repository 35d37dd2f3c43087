"""Repeat-bar signs over empty bars, and rests of many bars over music."""

from __future__ import annotations

from xmlcheck.plugin import Hit, Hits, ScoreFacts, rule
from xmlcheck_export.values import real


@rule
def bar_shorthand(score: ScoreFacts) -> Hits:
    """One hit for each sign under which the file has not what the sign stands for."""
    for part in score.score.parts:
        busy = {note.measure for note in part.notes if real(note)}
        for index, style in enumerate(part.styles):
            if style.name == "measure-repeat" and style.type == "start":
                later = part.styles[index + 1 :]
                stops = (
                    s.measure for s in later if s.name == "measure-repeat" and s.type == "stop" and s.measure > style.measure
                )
                last = next(stops, style.measure + max(style.count, 1))
                if not busy & set(range(style.measure, last)):
                    told = "The file has no notes under this repeat-bar sign, though it keeps the music of repeated bars"
                    yield Hit(at=(style,), values={"sign": "repeat-bar sign", "told": told}, part=part.id)
            elif style.name == "multiple-rest" and style.count > 1:
                bars = range(style.measure, style.measure + style.count)
                sign = f"rest of {style.count} bars"
                if busy & set(bars):
                    told = f"Within this rest of {style.count} bars the file has notes, in {len(busy & set(bars))} of them"
                    yield Hit(at=(style,), values={"sign": sign, "told": told}, part=part.id)
                elif bars.stop > len(part.measures):
                    told = f"This rest of {style.count} bars goes beyond the end of the part"
                    yield Hit(at=(style,), values={"sign": sign, "told": told}, part=part.id)

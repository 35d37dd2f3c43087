"""A lasting technique that later marks contradict although no word ended it."""

from math import inf

from xmlcheck.plugin import Chair, Hit, Hits, Techniques, Wording, rule, spans, within


@rule
def contradicted(chair: Chair, techniques: Techniques) -> Hits:
    """One hit for each span, at the first head that carries a mark which the technique excludes. To the end is good."""
    by_id = {item.id: item for item in techniques.has if item.lasting and item.against}
    vocabulary = [Wording(item.id, item.words, item.cancels, item.lasting) for item in techniques.has]
    places = chair.facts.places(chair.part)
    for span in spans(chair.directions, vocabulary):
        technique = by_id.get(span.id)
        if technique is None:
            continue
        for note in within(chair.notes, span.start, inf if span.end is None else span.end):
            if not span.covers(note.onset, note.staff):
                continue
            mark = next((mark.name for mark in note.marks if mark.name in technique.against), None)
            if mark is None:
                continue
            values = {
                "technique": span.begins.words,
                "since": places.bars[span.begins.measure],
                "mark": mark,
                "cancel": " or ".join(technique.cancels[:2]),
            }
            yield Hit(at=(note,), values=values, rests_on=(technique,))
            break

"""Marks and words of another instrument's technique."""

from xmlcheck.plugin import Chair, Foreign, Hit, Hits, Techniques, rule, says


@rule
def foreign(chair: Chair, techniques: Techniques) -> Hits:
    """One hit for each head or direction that carries a foreign mark or word; hits of one mark merge over the part."""
    by_mark = {mark: item for item in techniques.foreign for mark in item.marks}
    for note in chair.notes:
        mark = next((mark.name for mark in note.marks if mark.name in by_mark), None)
        if mark is not None and not note.cue:
            yield Hit(at=(note,), values=_told(mark, by_mark[mark]), rests_on=(by_mark[mark],), group=mark)
    own = tuple(word for technique in techniques.has for word in technique.words)
    for direction in chair.directions:
        for mark in sorted({mark.name for mark in direction.marks if mark.name in by_mark}):
            yield Hit(at=(direction,), values=_told(mark, by_mark[mark]), rests_on=(by_mark[mark],), group=mark)
        words = direction.words
        if words and not says(words, own):
            for item in techniques.foreign:
                if item.words and says(words, item.words):
                    yield Hit(at=(direction,), values=_told(words, item), rests_on=(item,), group=item.id)


def _told(mark: str, item: Foreign) -> dict[str, str]:
    return {"mark": mark, "instead": item.instead}

"""Marks and words of another instrument's technique."""

from xmlcheck.plugin import Chair, Hit, Hits, Techniques, rule, says


@rule
def foreign(chair: Chair, techniques: Techniques) -> Hits:
    """One hit for each head or direction that carries a foreign mark or word; hits of one mark merge over the part."""
    own = tuple(word for technique in techniques.has for word in technique.words)
    for item in techniques.foreign:
        values = {"instead": item.instead}
        for note in chair.notes if item.marks else ():
            if note.cue:
                continue
            mark = next((mark.name for mark in note.marks if mark.name in item.marks), None)
            if mark is not None:
                yield Hit(at=(note,), values={"mark": mark, **values}, rests_on=(item,), group=mark)
        for direction in chair.directions:
            words, mark = direction.words, next((mark.name for mark in direction.marks if mark.name in item.marks), None)
            if mark is not None:
                yield Hit(at=(direction,), values={"mark": mark, **values}, rests_on=(item,), group=mark)
            if words and says(words, item.words) and not says(words, own):
                yield Hit(at=(direction,), values={"mark": words, **values}, rests_on=(item,), group=item.id)

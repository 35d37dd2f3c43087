"""What the file says of itself and of its parts: names, instruments, players, order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from xmlcheck.comparing import costs
from xmlcheck.comparing.change import IDENTITY, NOTATION, Change
from xmlcheck.comparing.pairing import PartPair
from xmlcheck.comparing.sequences import rising
from xmlcheck.model import Part, Score


def called(part: Part) -> str:
    """A part's name in words: as displayed, else as listed, else its id."""
    return " ".join((part.display_name or part.name or part.id).split())


def score_changes(old: Score, new: Score) -> Iterator[Change]:
    """Title, concert pitch."""
    was, now = " ".join(old.title.split()), " ".join(new.title.split())
    if was != now:
        yield _change(
            "title", None, f'title "{was}" is now "{now}"' if now else f'title "{was}" is gone', "title changed", was, now
        )
    if old.concert != new.concert:
        told = ("transposing score", "score in concert pitch")
        was, now = told[old.concert], told[new.concert]
        yield _change("concert", None, f"{was} is now a {now}", "score pitch changed", was, now, NOTATION)


def part_changes(old: Score, new: Score, pairs: Sequence[PartPair]) -> Iterator[Change]:
    """Parts that came, went, moved or are called otherwise; instruments and players of each."""
    order = [pair.old for pair in pairs if pair.old is not None and pair.new is not None]
    kept = {order[index] for index in rising(order)}
    for pair in pairs:
        if pair.old is None and pair.new is not None:
            part = new.parts[pair.new]
            yield _change("part-added", part.id, "the part is new", "new part", "", called(part))
        elif pair.new is None and pair.old is not None:
            part = old.parts[pair.old]
            yield _change("part-removed", part.id, "the part is gone", "part gone", called(part), "")
        elif pair.old is not None and pair.new is not None:
            one, other = old.parts[pair.old], new.parts[pair.new]
            if pair.old not in kept:
                yield _change(
                    "part-moved", other.id, "stands elsewhere in the score", "part moved", str(pair.old + 1), str(pair.new + 1)
                )
            yield from _names(one, other)


def _names(old: Part, new: Part) -> Iterator[Change]:
    was, now = called(old), called(new)
    named = bool(old.name or old.display_name), bool(new.name or new.display_name)
    if was != now and any(named):
        was, now = was if named[0] else "", now if named[1] else ""
        text = f'was called "{was}"' if now and was else f'now called "{now}"' if now else f'no name any more, was "{was}"'
        yield _change("part-renamed", new.id, text, "part renamed", was, now)
    for what, one, other in (
        ("instrument", [_sound(item.sound) for item in old.instruments], [_sound(item.sound) for item in new.instruments]),
        ("instrument", [item.name for item in old.instruments], [item.name for item in new.instruments]),
        ("player", [item.ensemble for item in old.instruments], [item.ensemble for item in new.instruments]),
    ):
        before, after = ", ".join(filter(None, one)), ", ".join(filter(None, other))
        if " ".join(before.split()) == " ".join(after.split()):
            continue
        told = "players" if what == "player" else "instrument"
        text = f"{before} is now {after}" if before and after else f"{after} is new" if after else f"{before} is gone"
        text = f"{told}: {text}"
        yield _change(what, new.id, text, f"{told} changed", before, after)


def _sound(id: str) -> str:
    return id.strip()


def _change(kind: str, part: str | None, text: str, label: str, was: str, now: str, layer: str = IDENTITY) -> Change:
    return Change(0, kind, layer, part, None, None, text, label, was=was, now=now, cost=costs.IDENTITY)

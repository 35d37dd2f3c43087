"""All that a comparison says, and its JSON form (schema `comparison-1`)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from xmlcheck.comparing.account import Accounting
from xmlcheck.comparing.change import SCHEMA, Change, PartMatch, Run, plain
from xmlcheck.comparing.consequences import Consequences
from xmlcheck.comparing.reissue import Reissue
from xmlcheck.comparing.revision import Revision
from xmlcheck.comparing.transfer import Transfer
from xmlcheck.version import VERSION


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two files: name, sums of the file and of the score in it, size, MusicXML version, parts and bars."""

    name: str
    sha256: str
    member_sha256: str
    bytes: int
    musicxml: str
    parts: int
    measures: int


def side(revision: Revision) -> Side:
    source, score = revision.source, revision.score
    bars = max((len(part.measures) for part in score.parts), default=0)
    return Side(source.name, source.sha256, source.member_sha256, len(source.data), score.version, len(score.parts), bars)


@dataclass(frozen=True, slots=True)
class Comparison:
    """changes: whole score first, then by part and place. runs: bars that are the same bars. findings, transfer, account: null
    where they were not asked for. asked: revision, round trip or account."""

    asked: str
    old: Side
    new: Side
    parts: tuple[PartMatch, ...] = ()
    runs: tuple[Run, ...] = ()
    changes: tuple[Change, ...] = ()
    reissue: tuple[Reissue, ...] = ()
    findings: Consequences | None = None
    transfer: Transfer | None = None
    account: Accounting | None = None
    notices: tuple[str, ...] = ()

    @property
    def same(self) -> bool:
        """Nothing changed; of an account: every note arrived; of a round trip: nothing was lost either."""
        if self.account is not None:
            return self.account.complete
        return not self.changes and not (self.transfer is not None and self.transfer.elements)

    def counts(self) -> dict[str, int]:
        """Changes by layer."""
        return {layer: sum(one.layer == layer for one in self.changes) for layer in ("sound", "notation", "identity")}

    def to_dict(self) -> dict[str, Any]:
        """The comparison file as plain values. Deterministic; no timestamps."""
        return {
            "schema": SCHEMA,
            "tool": {"name": "xmlcheck", "version": VERSION},
            "asked": self.asked,
            "same": self.same,
            "old": plain(self.old),
            "new": plain(self.new),
            "parts": plain(self.parts),
            "runs": plain(self.runs),
            "changes": plain(self.changes),
            "findings": plain(self.findings),
            "reissue": plain(self.reissue),
            "transfer": plain(self.transfer),
            "account": plain(self.account),
            "notices": list(self.notices),
            "summary": self.counts(),
        }

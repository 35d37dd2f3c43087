"""The report as one HTML file that needs nothing else: no network, no plugin, no other file.

Eats a report and, where it is at hand, the document it speaks of. `make` gives the text; what is written into it ends with a
comment that records the sha256 of all before, so that a later run knows its own untouched work.
"""

from __future__ import annotations

from xmlcheck import engrave
from xmlcheck.document import Document, parse
from xmlcheck.errors import BadConfig, XmlcheckError
from xmlcheck.excerpt import Excerpts
from xmlcheck.finding import Report
from xmlcheck.output.html import render, views
from xmlcheck.output.html.render import own_untouched as own_untouched
from xmlcheck.source import Source, from_bytes, original

WITHOUT_SCORE = "The score was not at hand, so places are told in words."
WITHOUT_ENGRAVER = "Pictures need the engraver verovio (pip install 'xmlcheck[report]'); without it places are told in words."


def make(report: Report, document: Document | None = None) -> str:
    """The page of a report; document: the score that it speaks of, for the pictures."""
    excerpts = Excerpts(document) if document is not None else None
    title = _title(document) if document is not None else ""
    with engrave.child():
        view = views.page(report, excerpts, title, WITHOUT_SCORE if document is None else WITHOUT_ENGRAVER)
    return render.page("report.html.j2", page=view)


def document_of(report: Report, data: bytes, name: str) -> Document:
    """The document that a report speaks of, from the bytes of the checked file or of its annotated copy.

    Raises BadConfig where the bytes are another score's, and what reading them raises.
    """
    source = original(from_bytes(data, name))
    if not speaks_of(report, source):
        raise BadConfig(f"{name}: is not the score that these findings are about (its SHA-256 differs); check it again.")
    return parse(source)


def document_or_none(report: Report, data: bytes, name: str) -> Document | None:
    """The same, None where the bytes are another score's or none."""
    try:
        return document_of(report, data, name)
    except XmlcheckError:
        return None


def speaks_of(report: Report, source: Source) -> bool:
    """Whether a report was made of these bytes."""
    return source.member_sha256 == report.source.member_sha256


def _title(document: Document) -> str:
    root = document.root
    found = (root.findtext("work/work-title"), root.findtext("movement-title"))
    return ": ".join(dict.fromkeys(text.strip() for text in found if text and text.strip()))

"""Rows: what XML can point to or unfold. Nothing outside the file is ever read; entities of one's own are refused.

Entities and document types: XML 1.0, section 4; the ways to abuse them are the usual ones of XML's history (entity expansion,
external entities, parameter entities, XInclude, style sheet instructions).
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from tests.hostile.row import Row, score

SECRET = "the-lamp-oil-is-under-the-stairs"


def _doctype(subset: str, use: str = "") -> bytes:
    return score(head=f"<!DOCTYPE score-partwise [{subset}]>", title=use or "x")


def _file(subset: str, head: str = "", **given: str) -> Callable[[Path], Path]:
    """A score beside a secret file, whose place is put for @."""

    def make(folder: Path) -> Path:
        secret = folder / "secret.txt"
        secret.write_text(SECRET, encoding="utf-8")
        (folder / "lamp.dtd").write_text(f'<!ENTITY secret "{SECRET}">', encoding="utf-8")
        doctype = head.replace("@dtd", "lamp.dtd") or f"<!DOCTYPE score-partwise [{subset.replace('@', secret.as_uri())}]>"
        path = folder / "cue.musicxml"
        texts = {key: value.replace("@", secret.as_uri()) for key, value in given.items()}
        path.write_bytes(score(head=doctype, **texts))
        return path

    return make


LAUGHS = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10 if n else "ha"}">' for n in range(12))
NET = "http://127.0.0.1:9"
XML = (
    Row("an entity of its own", _doctype('<!ENTITY lamp "lit">', "&lamp;"), "refused", "entities"),
    Row("an entity that nothing uses", _doctype('<!ENTITY lamp "lit">'), "refused", "entities"),
    Row("a billion laughs", _doctype(LAUGHS, "&e11;"), "refused", "entities"),
    Row("one long entity 100,000 times", _doctype(f'<!ENTITY a "{"x" * 100_000}">', "&a;" * 100_000), "refused", "entities"),
    Row("an entity that holds itself", _doctype('<!ENTITY a "&b;"><!ENTITY b "&a;">', "&a;"), "refused", "entities"),
    Row("an entity from a file", _file('<!ENTITY secret SYSTEM "@">', title="&secret;"), "refused", "entities", SECRET),
    Row("an entity from the network", _doctype(f'<!ENTITY far SYSTEM "{NET}/a">', "&far;"), "refused", "entities"),
    Row("a parameter entity", _doctype('<!ENTITY % a "<!ELEMENT b ANY>"> %a;'), "refused", "entities"),
    Row("a parameter entity from the network", _doctype(f'<!ENTITY % a SYSTEM "{NET}/a.dtd"> %a;'), "refused", "entities"),
    Row("an unparsed entity", _doctype('<!NOTATION n SYSTEM "n"><!ENTITY p SYSTEM "p.gif" NDATA n>'), "refused", "entities"),
    Row("entities hidden behind comments and quotes",
        score(head="<!-- <score> --><!DOCTYPE score-partwise [<!-- ]> --><!ELEMENT a ANY><!ENTITY n \"]>\">]>"),
        "refused", "entities"),
    Row("a document type on the network", score(head=f'<!DOCTYPE score-partwise SYSTEM "{NET}/score.dtd">'), "checked"),
    Row("a document type by public name on the network",
        score(head=f'<!DOCTYPE score-partwise PUBLIC "-//Lamp//DTD//EN" "{NET}/score.dtd">'), "checked"),
    Row("a document type in a file with an entity",
        _file("", '<!DOCTYPE score-partwise SYSTEM "@dtd">', title="&secret;"), "checked", "", SECRET),
    Row("default attributes from a document type", _doctype('<!ATTLIST note dynamics CDATA "90">'), "checked"),
    Row("an undeclared entity", score(title="&lamp;"), "refused", "not well-formed"),
    Row("XInclude of a file",
        _file("<!ELEMENT a ANY>", note='<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="@" parse="text"/>'),
        "checked", "", SECRET),
    Row("XInclude from the network",
        score(note=f'<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="{NET}/a"/>'), "checked"),
    Row("a style sheet instruction", score(head=f'<?xml-stylesheet type="text/xsl" href="{NET}/a.xsl"?>'), "checked"),
    Row("links to other files", score(
        root=f' xmlns:xlink="http://www.w3.org/1999/xlink" xml:base="{NET}/"',
        listed='<score-part id="P1"><part-link xlink:href="file:///etc/hostname"/><part-name>Violin</part-name></score-part>'),
        "checked"),
    Row("a schema location on the network", score(
        root=f' xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" xsi:noNamespaceSchemaLocation="{NET}/a.xsd"'), "checked"),
    Row("check marks that open and never close", score(first="<?xmlcheck begin?>"), "checked", own_marks=True),
    Row("check marks around the music",
        score(bars="<?xmlcheck begin?>" + "<measure number='2'><note><rest/><duration>4</duration></note></measure>"
              + "<?xmlcheck end?>"), "checked", own_marks=True),
    Row("a forged header mark", score(head=f'<?xmlcheck file sha256="{"0" * 64}"?>'), "checked", "edited after", own_marks=True),
    Row("10,000 check marks", score(first="<?xmlcheck begin?><?xmlcheck end?>" * 10_000), "checked", own_marks=True),
)  # fmt: skip

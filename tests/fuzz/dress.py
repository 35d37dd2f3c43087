"""Writes a tree as bytes in any of the ways that XML 1.0 allows: encodings, line ends, quotes, comments, instructions, references."""

from __future__ import annotations

import io
import zipfile

from lxml import etree

from tests.fuzz.pen import Pen

ENCODINGS = (
    ("UTF-8", "utf-8"), ("", "utf-8"), ("UTF-8", "utf-8-sig"), ("UTF-16", "utf-16"), ("UTF-16", "utf-16-be-bom"),
    ("ISO-8859-1", "latin-1"), ("windows-1252", "cp1252"), ("US-ASCII", "ascii"), ("UTF-16LE", "utf-16-le"), ("Shift_JIS", "cp932"),
)  # fmt: skip
"""What the declaration says, and the codec; "" is no declaration."""
_ASIDES = (
    "<!-- <note> -->", "<?other thing?>", "<!---->", "<!-- xmlcheck begin -->", "<?xmlchecker begin?>", "<?page > break?>",
    "<!-- - ' \" ]]> & -->",
)  # fmt: skip
_DOCTYPES = (
    "", '<!DOCTYPE {root} PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">',
    '<!DOCTYPE {root} SYSTEM "a>b.dtd" [<!-- ] > <!ATTLIST -->\n<?pi ]>?>\n<!ATTLIST note tide CDATA #IMPLIED>]>', "<!DOCTYPE {root}>",
)  # fmt: skip


def dressed(root: etree._Element, pen: Pen) -> bytes:
    """The document as bytes. Texts keep their meaning; only what a parser folds or drops differs."""
    said, codec = pen.pick(ENCODINGS)
    doctype = pen.pick(_DOCTYPES).format(root=root.tag)
    words: list[str] = []
    if said:
        quote = pen.pick("\"'")
        words.append(
            f"<?xml version={quote}1.0{quote} encoding={quote}{said}{quote}{pen.pick(('', ' standalone=' + quote + 'no' + quote))}?>\n"
        )
    words += [_aside(pen), doctype, pen.pick(("", "\n")), _aside(pen)]
    _write(root, pen, words, "\n" if pen.maybe(80) else "", 5 if pen.maybe(40) else 0)
    words += [pen.pick(("", "\n", "\n<!-- end -->\n"))]
    text = "".join(words)
    if pen.maybe(25):
        text = text.replace("\n", "\r\n")
    return _encoded(text, codec)


def _encoded(text: str, codec: str) -> bytes:
    if codec == "utf-16-be-bom":
        return b"\xfe\xff" + text.encode("utf-16-be")
    return text.encode(codec, "xmlcharrefreplace")


def _aside(pen: Pen) -> str:
    return pen.pick(_ASIDES) if pen.maybe(20) else ""


def _write(element: etree._Element, pen: Pen, words: list[str], line: str, asides: int) -> None:
    """asides: percent of places between tags that get a comment or an instruction."""
    words.append(f"<{_name(element.tag, words)}")
    for name, value in element.attrib.items():
        quote = '"' if '"' not in str(value) and pen.maybe(90) else "'"
        words.append(f"{pen.pick((' ', ' ', chr(10), '  '))}{_name(name, words)}={quote}{_text(str(value), pen, quote)}{quote}")
    if (
        element.tag.startswith("score-")
        and "xlink:" not in str(element.get("x"))
        and element.tag in ("score-partwise", "score-timewise")
    ):
        words.append(' xmlns:xlink="http://www.w3.org/1999/xlink"')
    if not len(element) and not element.text:
        words.append("/>" if pen.maybe(90) else f"></{element.tag}>")
        return
    words.append(">" if pen.maybe(97) else " >")
    if element.text:
        words.append(_text(element.text, pen, ""))
        if asides and pen.maybe(asides):
            words.append(pen.pick(_ASIDES))
    for one in element:
        words.append(line)
        if asides and pen.maybe(asides):
            words.append(pen.pick(_ASIDES))
        _write(one, pen, words, line, asides)
    words.append(line if len(element) else "")
    words.append(f"</{element.tag}>")


def _name(name: object, words: list[str]) -> str:
    return (
        str(name).replace("{http://www.w3.org/1999/xlink}", "xlink:").replace("{http://www.w3.org/XML/1998/namespace}", "xml:")
    )


def _text(text: str, pen: Pen, quote: str) -> str:
    if not quote and "]]>" not in text and pen.maybe(2):
        return f"<![CDATA[{text}]]>"
    out = text.replace("&", "&amp;").replace("<", "&lt;").replace("]]>", "]]&gt;")
    if quote:
        out = out.replace("\n", "&#10;").replace(quote, "&quot;" if quote == '"' else "&apos;")
    if out.isalnum() and pen.maybe(1):
        out = f"&#{ord(out[0])};{out[1:]}"
    return out


def packed(data: bytes, pen: Pen) -> bytes:
    """An .mxl with several rootfiles, of which the first is the score, and other entries."""
    out, path = io.BytesIO(), pen.pick(("score.musicxml", "a/b c.xml", "Größe.musicxml"))
    other = b"<score-partwise><part-list/></score-partwise>"
    roots = [f'<rootfile full-path="{path}" media-type="application/vnd.recordare.musicxml+xml"/>']
    roots += (
        [f'<rootfile full-path="{path}"/>']
        if pen.maybe(20)
        else ['<rootfile full-path="other.pdf" media-type="application/pdf"/>']
    )
    container = '<?xml version="1.0" encoding="UTF-8"?>\n<container><rootfiles>' + "".join(roots) + "</rootfiles></container>"
    entries = [("META-INF/container.xml", container.encode()), ("other.pdf", b"%PDF"), (path, data), ("other.musicxml", other)]
    if pen.maybe(50):
        entries.insert(0, ("mimetype", b"application/vnd.recordare.musicxml"))
    if pen.maybe(30):
        entries.reverse()
    with zipfile.ZipFile(out, "w") as archive:
        for name, content in entries:
            kind = zipfile.ZIP_STORED if name == "mimetype" else zipfile.ZIP_DEFLATED
            archive.writestr(zipfile.ZipInfo(name), content, kind)  # a ZipInfo has a date of its own: the same bytes each time
    return out.getvalue()

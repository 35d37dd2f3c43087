"""Schema errors of MusicXML bytes, by the standard's own schema as a test dependency ships it. For tests only.

The schema comes with the package `musicxml`, the two that it imports with `xmlschema` (both in the extra
`xmlcheck[test]`). Neither is imported as Python: their files are read.
"""

from __future__ import annotations

import re
from functools import cache
from importlib.util import find_spec
from pathlib import Path

from lxml import etree

MISSING = "the MusicXML schema is not installed (pip install 'xmlcheck[test]'): schema errors are not compared"
_FILES = {
    "musicxml": ("musicxml", "generate_classes/musicxml_4_0.xsd"),
    "xml": ("xmlschema", "schemas/XML/xml.xsd"),
    "xlink": ("xmlschema", "schemas/XLINK/xlink.xsd"),
}


def available() -> bool:
    """Whether the schema files are installed."""
    return all(_file(name) is not None for name in _FILES)


def errors(data: bytes) -> list[str]:
    """Schema errors in document order, without line numbers, so that insertions do not change them. [] where valid.

    Raises LookupError where the schema is not installed, etree.XMLSyntaxError where the bytes are no XML.
    """
    schema = _schema()
    parser = etree.XMLParser(resolve_entities=False, no_network=True)
    schema.validate(etree.fromstring(data, parser))
    return [str(entry.message) for entry in schema.error_log]  # type: ignore[attr-defined]


def _file(name: str) -> Path | None:
    package, inner = _FILES[name]
    spec = find_spec(package)
    for folder in (spec.submodule_search_locations or ()) if spec else ():
        if (Path(folder) / inner).is_file():
            return Path(folder) / inner
    return None


@cache
def _schema() -> etree.XMLSchema:
    files = {name: _file(name) for name in _FILES}
    if None in files.values():
        raise LookupError(MISSING)

    def local(found: re.Match[bytes]) -> bytes:
        file = files[found[1].decode()]
        assert file is not None  # looked up above
        return b'schemaLocation="' + file.as_uri().encode() + b'"'

    main = files["musicxml"]
    assert main is not None  # looked up above
    text = re.sub(rb'schemaLocation="[^"]*?(xml|xlink)\.xsd"', local, main.read_bytes())
    return etree.XMLSchema(etree.fromstring(text, base_url=str(main)))

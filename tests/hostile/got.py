"""What a row got, in the words of tests/hostile/README.md: the same function tells it to the page and to the test that holds them equal."""

from __future__ import annotations

import re
from pathlib import Path

from tests.hostile.row import Row

PAGE = Path(__file__).with_name("README.md")
_PLACE = re.compile(r"^.*?(?:musicxml|json|desk|zero|empty|cue|scores): ")
_PARSER = re.compile(r"\([^()]*\)(?=; (?:export|no score))")


def got(row: Row, status: int, err: str) -> str:
    """`checked` and what is told beside the findings, or the sentence of a refusal, without its place and the parser's words."""
    if status != 2:
        return f"checked: “… {row.says} …”" if row.says else "checked"
    usage = re.search(r"^Error: (.*)$", err, re.MULTILINE)
    if usage:
        return f"refused: “{usage[1]}”"
    sentence = _PLACE.sub("", err.strip().removeprefix("xmlcheck: "), count=1)
    return f"refused: “{_PARSER.sub('(…)', sentence)}”"


def shown(row: Row, text: str) -> tuple[str, str]:
    """The two cells of a row on the page."""
    return _cell(row.name), _cell(text)


def _cell(text: str) -> str:
    return text.replace("\\", "\\\\").replace("|", "\\|").replace("<", "&lt;").replace("*", "\\*")


def page_says() -> dict[str, str]:
    """The page's cells: name to what it got. Rows that differ in a number stand in one, as `name: one, two`."""
    found: dict[str, str] = {}
    for line in PAGE.read_text(encoding="utf-8").splitlines():
        cells = re.split(r" (?<!\\)\| ", line.removeprefix("| ").removesuffix(" |"))
        if line.startswith("| ") and len(cells) == 2:
            name, text = cells
            head, colon, texts = name.partition(": ")
            if colon and text == "checked" and ", " in texts:
                found |= {f"{head}: {one}": text for one in texts.split(", ")}
            else:
                found[name] = text
    return found

"""The few forms of Markdown that our own sheets use: headings, lists, tables, paragraphs. All else is text."""

from __future__ import annotations

from dataclasses import dataclass

from xmlcheck.output.html.words import signs


@dataclass(frozen=True, slots=True)
class Block:
    """kind: `h1` to `h3`, `p`, `list` or `table`. rows: the lines of a list, the rows of a table, its heads first."""

    kind: str
    text: str = ""
    rows: tuple[tuple[str, ...], ...] = ()


def blocks(sheet: str) -> tuple[Block, ...]:
    """A sheet in blocks."""
    result: list[Block] = []
    for line in sheet.splitlines():
        stripped = line.strip()
        mark, _, rest = stripped.partition(" ")
        if not stripped:
            result.append(Block(""))
        elif mark in ("#", "##", "###"):
            result.append(Block(f"h{len(mark)}", signs(rest)))
        elif mark == "-":
            _grow(result, "list", (signs(rest),))
        elif stripped.startswith("|"):
            cells = tuple(signs(cell.strip()) for cell in stripped.strip("|").split("|"))
            if not all(set(cell) <= set("-: ") for cell in cells) or not any(cells):
                _grow(result, "table", cells)
        else:
            result.append(Block("p", signs(stripped)))
    return tuple(block for block in result if block.kind)


def _grow(result: list[Block], kind: str, row: tuple[str, ...]) -> None:
    if result and result[-1].kind == kind:
        result[-1] = Block(kind, "", (*result[-1].rows, row))
    else:
        result.append(Block(kind, "", (row,)))

"""Writes tests/hostile/README.md: `python -m tests.hostile.tell`. The table is what each row gets when it is run here and now."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from click.testing import CliRunner

from tests.hostile.got import PAGE, got, shown
from tests.hostile.row import Row
from tests.hostile.table import KINDS
from xmlcheck.checking import guard
from xmlcheck.cli import main
from xmlcheck.container import VARIABLE, Limits
from xmlcheck.facts.order import LONGEST as PLAYED
from xmlcheck.reader.grid import LONGEST as QUARTERS
from xmlcheck.ticks import LARGEST

_MEBI = 1 << 20


def limits() -> list[tuple[str, str, str]]:
    """Limit, number, how to change it."""
    usual, by = Limits(), f"`{VARIABLE}`: "
    own = "fixed: more is a slip of the writer, not music"
    return [
        ("size of an input", f"{usual.input // _MEBI} MiB", by + "`input`, in bytes"),
        ("a file in a zip, unpacked", f"{usual.member // _MEBI} MiB", by + "`member`, in bytes"),
        ("all files in a zip together, unpacked", f"{usual.together // _MEBI} MiB", by + "`together`, in bytes"),
        ("entries of a zip", f"{usual.entries:,}", by + "`entries`"),
        (f"unpacked to packed size, over {usual.ratio_from // _MEBI} MiB", f"{usual.ratio}", by + "`ratio`, `ratio_from`"),
        ("depth of elements", "256", "the XML parser's own; fixed"),
        ("one text or attribute", "10 MB", "the XML parser's own; fixed"),
        ("seconds of a rule on one chair", f"{guard.SECONDS:g}", f"`xmlcheck.toml`: `{guard.TIME_LIMIT}` of the rule, below"),
        ("hits of a rule on one chair", f"{guard.MOST:,} and {guard.MOST_BY_NOTE} for each note of the score", "fixed"),
        ("ticks a quarter note", f"{LARGEST:,}", "fixed: durations that need more are rounded, with a notice"),
        ("a duration", f"{QUARTERS:,} quarter notes", own),
        ("bars as played", f"{PLAYED} times the bars written", "fixed: from there on nothing is repeated"),
        ("bars of a rest of many bars", "10,000", own),
        ("times of a repeat", "1,000", own),
    ]


def rows() -> Iterator[str]:
    """The tables, one for each kind."""
    for kind, items in KINDS.items():
        yield f"\n### {kind}\n\n| input | what it got |\n|---|---|\n"
        kept: dict[str, list[str]] = {}
        for row in items:
            name, text = shown(row, _run(row))
            head, colon, number = name.partition(": ")
            if colon and text == "checked" and ", " not in number:
                kept.setdefault(head, []).append(number)
            else:
                yield f"| {name} | {text} |\n"
        for head, numbers in kept.items():
            yield f"| {head}: {', '.join(numbers)} | checked |\n"


def _run(row: Row) -> str:
    with tempfile.TemporaryDirectory() as top:
        (Path(top) / ".git").mkdir()
        folder = Path(top) / "desk"
        folder.mkdir()
        path = row.put(folder)
        options = [option.replace("@", str(folder)) for option in row.options]
        result = CliRunner().invoke(main, ["check", str(path), *options])
        return got(row, result.exit_code, result.stderr)


def text() -> str:
    """The whole page."""
    count = sum(map(len, KINDS.values()))
    table = "".join(f"| {' | '.join(line)} |\n" for line in limits())
    return f"""# Limits and safety

<!-- Written by `python -m tests.hostile.tell`; tests/unit/test_hostile_inputs.py holds it true. -->

## What is promised

* A file that cannot be checked is refused with one sentence and exit status 2. Nothing in its folder changes.
* One slip in a file that can be read is told in a notice, and the rest is checked.
* Nothing outside the file is read: no document type, no entity, no link, no address on a network.
* Inputs are never written to. Each output is written under a temporary name in its folder, flushed to the disk and then renamed;
  where that fails, every file is as it was. A kill leaves each output whole, old or new, and perhaps hidden files
  `.xmlcheck-….part`, which no run takes for a score and which can be deleted.
* An output takes the place of an untouched earlier output only, and is never written through a link.
* Names and texts out of files are shown without signs that could steer a terminal, and as text in pages.

## Limits in numbers

| limit | number | how to change it |
|---|---|---|
{table}
`{VARIABLE}` is an environment variable, for files that you trust: names and whole numbers with commas between, such as
`{VARIABLE}="input=2000000000,ratio=1000"`. In Python, `xmlcheck.source.from_bytes` and `read_source` take `limits`.

The time limit of a rule is a setting that every rule has, in seconds:

```toml
[settings."area.slug"]
{guard.TIME_LIMIT} = 300
```

## Rules that misbehave

A rule of a plugin that raises anything (`sys.exit` and a `KeyboardInterrupt` of its own too), takes too long, gives what is no
hit, a hit at a place that is not in the part, numbers that JSON cannot hold, hits without end, or prints, is blamed by name in
the notices of the report: `Rule area.slug of plugin failed on part P1 and is left out there: …`. What it said of that part
before it failed is dropped, and the findings of all other rules are what they are without it. A rule over its time is not asked
again in that file. The exit status is that of the findings; the blame alone does not change it. A plugin that cannot be imported
is left out as a whole, with a notice.

What cannot be kept apart: a single call into C that never comes back (a sleep, a read from a pipe, one huge multiplication)
cannot be ended by the time limit, Ctrl-C can; a rule that catches every `BaseException` again and again; the end of the process
(`os._exit`, a crash in C, memory used up); a plugin that hangs while it is imported; what is written to the file descriptors
themselves; and values changed past their guard (`object.__setattr__`, or assignments to the views that rules are given). A plugin
is Python and may do what its user may do: use plugins that you trust.

## Hostile inputs

{count} inputs, each built by the tests and checked by `xmlcheck check FILE` in a folder with earlier outputs, whose names and bytes
are compared before and after; any attempt to open a connection fails the test. The parser's own words are left out here.
"checked" is a normal check: exit status 0 or 1, the input as it was, findings and annotated copy written.
{"".join(rows())}"""


if __name__ == "__main__":
    PAGE.parent.mkdir(exist_ok=True)
    PAGE.write_text(text(), encoding="utf-8")

"""Coverage-guided fuzzing of source, lexer, container, document and reader by hand:

    python -m tests.fuzz.atheris_reader -max_total_time=600 [-seed=1] [FOLDER]

Needs atheris (https://github.com/google/atheris, Apache-2.0), which is no part of the test extra. Inputs that raise something
other than an error of ours, or take long, are written to the current folder by the fuzzer; new ones of interest go to FOLDER, else to
a temporary one. Half of the inputs are bytes as they are; the other half are the choices that a pen makes, so that the fuzzer also
finds its way through valid scores.
"""

from __future__ import annotations

import sys
import tempfile
from importlib import import_module
from pathlib import Path
from typing import Any

from tests.fuzz.dress import dressed
from tests.fuzz.pen import Pen
from tests.fuzz.scores import score
from tests.fuzz.seeds import seed_files
from tests.fuzz.vocabulary import headings, sounds

SEED = 6_000
"""Bytes of a seed file, at most: a fuzzer learns most from short ones."""
CHOICES = b"\x01"
"""First byte of an input that is a pen's choices; all others are files, without their first byte."""


def scored(read: Any, data: bytes) -> None:
    """One input, for the fuzzer. read: a function of bytes."""
    errors: Any = import_module("xmlcheck.errors")
    if data[:1] == CHOICES:
        provider: Any = import_module("atheris").FuzzedDataProvider(data[1:])
        pen = Pen(lambda low, high: int(provider.ConsumeIntInRange(low, high)))
        data = dressed(score(pen, 1, 2, 25), pen)
    else:
        data = data[1:]
    try:
        read(data)
    except errors.XmlcheckError:
        return


def main() -> None:
    """Instruments the modules under test, then gives the inputs to the fuzzer."""
    atheris: Any = import_module("atheris")
    headings(), sounds()  # the plugins' names, read before anything is instrumented
    for name in [name for name in sys.modules if name.partition(".")[0] == "xmlcheck"]:
        del sys.modules[name]
    with atheris.instrument_imports(include=["xmlcheck"]):
        paths: Any = import_module("xmlcheck.paths")
    folder = Path(tempfile.mkdtemp(prefix="atheris-"))
    for number, path in enumerate(seed_files()):
        if path.stat().st_size <= SEED:
            (folder / f"seed-{number}").write_bytes(b"\x00" + path.read_bytes())
    arguments = sys.argv if any(not one.startswith("-") for one in sys.argv[1:]) else [*sys.argv, str(folder)]
    atheris.Setup(arguments, lambda data: scored(paths.read, data))
    atheris.Fuzz()


if __name__ == "__main__":
    main()

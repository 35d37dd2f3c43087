"""A two-bar score of our own, a plugin folder with one rule that always holds the cue, and a way to run the command line."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from xmlcheck.cli import main

SCORE = b"""<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
  <part-list><score-part id="P1"><part-name>Lamp zither</part-name></score-part></part-list>
  <part id="P1">
    <measure number="1">
      <attributes><divisions>1</divisions><time><beats>2</beats><beat-type>4</beat-type></time></attributes>
      <direction><direction-type><dynamics><p/></dynamics></direction-type><sound tempo="60"/></direction>
      <note><pitch><step>C</step><octave>4</octave></pitch><duration>2</duration><voice>1</voice></note>
    </measure>
    <measure number="2">
      <note><pitch><step>D</step><octave>4</octave></pitch><duration>2</duration><voice>1</voice></note>
    </measure>
  </part>
</score-partwise>
"""

PROFILE = """schema = "profile-1"
id = "lamp-zither"
names = { en = "lamp zither", de = "Lampenzither" }
family = "invented zithers"
sources = { H = "House list of invented instruments" }

[compass]
lowest = { value = "A3", cite = ["H"], certainty = "player" }
highest = { value = "A5", cite = ["H"], certainty = "documented", note = "the last string" }
comfortable_lowest = { value = "C4" }

[[reading.conventions]]
id = "high"
chromatic = 0
diatonic = 0
octave = 1
usual = true
cite = ["H"]
certainty = "player"

[polyphony]
at_once = { value = 3, cite = ["H"], certainty = "conflicting" }

[breath]
soft = { value = 9, certainty = "memory" }

[[techniques.has]]
id = "glow"
title = "glowing tremolo"
words = ["glow"]
native = "lumo"

[[techniques.foreign]]
id = "bow"
words = ["arco"]
instead = "a glow"

[lantern]
wick = { value = 1 }

[[cautions]]
text = "Hot to the touch. Ask the player."
"""

CARD = """schema = "rule-1"
id = "house.hold"
title = "Every note holds the cue"
grade = "halt"
label = "held by the house"
message = "{count} held."
why = "This rule is for tests: it speaks of every note."
remedy = "None is needed."
merge = "part"
to = "orchestrator"
"""

NEEDY = """schema = "rule-1"
id = "house.needy"
title = "Asks for breath"
grade = "query"
label = "breath"
message = "Breath."
why = "This rule is for tests: it asks for a facet."
remedy = "None is needed."
cite = ["H"]
sources = { H = "House list of invented rules" }
"""

RULE = '''"""Speaks of every note."""

from xmlcheck.plugin import Chair, Hit, Hits, rule


@rule
def hold(chair: Chair, strength: int = 3) -> Hits:
    for tone in chair.tones:
        yield Hit(at=(tone,))
'''

NEEDY_RULE = '''"""Asks for a facet that few profiles have."""

from xmlcheck.plugin import Breath, Chair, Hits, rule


@rule
def needy(chair: Chair, breath: Breath) -> Hits:
    yield from ()
'''


@pytest.fixture(scope="session")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The plugin folder. One for all tests, because Python keeps a package that it has imported."""
    folder = tmp_path_factory.mktemp("plugins") / "xmlcheck_test_house"
    for slug, card, rule in (("hold", CARD, RULE), ("needy", NEEDY, NEEDY_RULE)):
        (folder / "rules" / slug).mkdir(parents=True)
        (folder / "rules" / slug / "rule.toml").write_text(card, encoding="utf-8")
        (folder / "rules" / slug / "rule.py").write_text(rule, encoding="utf-8")
    (folder / "profiles").mkdir()
    (folder / "profiles" / "lamp-zither.toml").write_text(PROFILE, encoding="utf-8")
    (folder / "plugin.toml").write_text('schema = "plugin-1"\nversion = "3"\n', encoding="utf-8")
    return folder


@pytest.fixture
def cue(tmp_path: Path) -> Path:
    """A score in a folder of its own, with a `.git` above so that no configuration from outside holds."""
    (tmp_path / ".git").mkdir()
    path = tmp_path / "cue.musicxml"
    path.write_bytes(SCORE)
    return path


@pytest.fixture
def run() -> Callable[..., Result]:
    """Runs the command line: arguments, and `stdin` as bytes."""

    def call(*arguments: object, stdin: bytes | None = None) -> Result:
        return CliRunner().invoke(main, [str(item) for item in arguments], input=stdin)

    return call

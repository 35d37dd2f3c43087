"""For authors of plugins: a tiny notation that becomes MusicXML (`mini`), test cases as data (`cases`), and a pytest plugin.

    from xmlcheck.testing import score
    data = score("D4.q E4 F4 G4 | A4.w")

A `cases.toml` beside a rule is collected by pytest without any Python; its format stands in `xmlcheck.testing.cases`.
"""

from xmlcheck.testing.mini import Instrument, MiniError, Part, part, score

__all__ = ["Instrument", "MiniError", "Part", "part", "score"]

"""How often the rules about exports speak on published music, and whether their cards say so.

The scores are the 808 that music21 bundles (a test-only package): choral and chamber music, trecento, songs, a suite of notation
examples, one file of optical recognition. A rule that speaks often here speaks of how scores are written, not of faults.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from functools import cache

import pytest

from tests.corpus_files import music21_files
from tests.external.corpus_pass import checked, of_composers, registry
from xmlcheck.rule import Rule

PLUGIN = "xmlcheck_export"
MOST_HALTS = 0.01
STATED = re.compile(r"([\d.]+) hits a 1,000 notes, in (\d+) of (\d+) files")
QUARTETS = ("haydn", "mozart", "beethoven")

REALLY_SO = {
    "bar.overfull": {
        "corpus/beethoven/opus18no1/movement1.mxl": "bar 169: a C of the first violin lasts twice its value",
        "corpus/beethoven/opus18no1/movement2.mxl": "bar 101: the last two notes of the cello have lost their ratio",
        "corpus/beethoven/opus18no1/movement4.mxl": "bars 296 and 323: the tied note at the end of the second violin's bar is a quarter in"
        " the space of an eighth",
        "corpus/beethoven/opus59no3/movement2.mxl": "bar 143: the first violin has an eighth more than three quarters",
        "corpus/trecento/PMFC_24_17-Doctorum principem-Melodia suavissima-Vir mitis.xml": "one division a quarter note cannot hold the"
        " dotted quarters of the lower parts, each lasts a half note",
        "corpus/weber/concertino_clarinet.mxl": "bars 237 and 238: four dotted quarters in the pianist's right hand over three-four",
        "omr/k525OMRMvt1.xml": "optical recognition, uncorrected: dozens of bars do not add up",
        "omr/k525OMRshort.xml": "the beginning of the same",
    },
    "parts.unequal": {
        "corpus/trecento/PMFC_24_6-Gloria_Spiritus_et_alme.xml": "bar 33: six-eight below, two-two above, under common barlines; a"
        " proportion that the format cannot show so",
    },
    "accidental.contradicts": {
        "32c-MultipleNotationChildren.xml": "a suite file: sharps on notes without alteration",
    },
}
"""Every file on which a rule of this plugin halts, looked at one by one, and what is in it."""


def rules() -> list[Rule]:
    return [rule for rule in registry().rules if rule.card.plugin == PLUGIN]


@cache
def measured() -> tuple[int, int, dict[tuple[str, str], int], dict[tuple[str, str], set[str]]]:
    """Files, notes, hits and files by rule and grade."""
    own = {rule.id for rule in rules()}
    hits: Counter[tuple[str, str]] = Counter()
    where: defaultdict[tuple[str, str], set[str]] = defaultdict(set)
    files = [checked(path) for path in music21_files()]
    for file in files:
        for told in file.told:
            if told.rule in own:
                hits[told.rule, told.grade] += told.count
                where[told.rule, told.grade].add(file.name)
    return len(files), sum(part.notes for file in files for part in file.parts), dict(hits), dict(where)


def test_quartets_get_a_handful_of_lines() -> None:
    """Half of the movements get at most two tidy lines and one query of this plugin, nine in ten no halt."""
    own = {rule.id for rule in rules()}
    grades: defaultdict[str, list[int]] = defaultdict(list)
    paths = [path for path in of_composers(*QUARTETS) if path.stat().st_size < 100_000]
    for path in paths:
        told = [item for item in checked(path).told if item.rule in own]
        for grade in ("tidy", "query", "halt"):
            grades[grade].append(sum(item.grade == grade for item in told))
    assert len(paths) >= 30
    middle = {grade: sorted(counts)[len(counts) // 2] for grade, counts in grades.items()}
    nine_in_ten = {grade: sorted(counts)[9 * len(counts) // 10] for grade, counts in grades.items()}
    assert middle["tidy"] <= 2, grades["tidy"]
    assert middle["query"] <= 1, grades["query"]
    assert nine_in_ten["halt"] == 0, grades["halt"]


@pytest.mark.long
def test_rates_as_a_table(capsys: pytest.CaptureFixture[str]) -> None:
    """No rule halts on more than one published file in a hundred, unless the file is really so; all of these are listed."""
    files, notes, hits, where = measured()
    with capsys.disabled():
        print(f"\n{files} files, {notes} notes")
        for (rule, grade), count in sorted(hits.items()):
            print(
                f"{rule:26}{grade:6}{count:6} hits {1000 * count / notes:8.3f} a 1,000 notes {len(where[rule, grade]):4} files"
            )
        silent = sorted({rule.id for rule in rules()} - {rule for rule, _ in hits})
        print(f"silent: {', '.join(silent)}")
    halting = {rule: names for (rule, grade), names in where.items() if grade == "halt"}
    for rule, names in halting.items():
        known = {name for name in names if any(name.endswith(listed) for listed in REALLY_SO.get(rule, {}))}
        assert names - known == set(), rule
        assert len(names - known) <= MOST_HALTS * files


@pytest.mark.long
def test_cards_state_what_is_measured() -> None:
    files, notes, hits, where = measured()
    for rule in rules():
        stated = STATED.search(rule.card.base_rate)
        assert stated is not None, f"{rule.id}: {rule.card.base_rate!r}"
        count = sum(number for (id, _), number in hits.items() if id == rule.id)
        spoken = len(set().union(*(names for (id, _), names in where.items() if id == rule.id)))
        rate = 1000 * count / notes
        assert abs(float(stated[1]) - rate) <= max(0.02, 0.1 * rate), (rule.id, rate, stated[0])
        assert abs(int(stated[2]) - spoken) <= max(2, 0.1 * spoken), (rule.id, spoken, stated[0])
        assert int(stated[3]) == files

"""What the tool says of our own corpus, line by line: a change of a rule or a profile shows its whole effect here.

After a change that was meant, look at the difference, then write the file anew: python -m tests.golden.test_findings
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import xmlcheck

ROOT = Path(__file__).parents[2]
GOLDEN = Path(__file__).with_name("findings.txt")


def lines() -> list[str]:
    """One line a finding of every file of the corpus that can be checked."""
    manifest = tomllib.loads((ROOT / "corpus" / "manifest.toml").read_text(encoding="utf-8"))
    result = []
    for entry in sorted(manifest["file"], key=lambda entry: str(entry["path"])):
        report = xmlcheck.check(ROOT / "corpus" / entry["path"], config=xmlcheck.Config())
        result.append(f"{entry['path']}: {', '.join(f'{part.name} = {part.instrument}' for part in report.parts)}")
        for finding in report.findings:
            place = f"{finding.part} {finding.place.bar}:{finding.place.beat}"
            result.append(f"  {finding.grade.value} {finding.rule} {place} x{finding.count} {finding.label}")
    return result


def test_findings_of_our_own_corpus_are_as_recorded() -> None:
    assert lines() == GOLDEN.read_text(encoding="utf-8").splitlines()


if __name__ == "__main__":
    GOLDEN.write_text("\n".join(lines()) + "\n", encoding="utf-8")

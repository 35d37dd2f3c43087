"""The reports of `tests.pages` as fixtures."""

from __future__ import annotations

import pytest

from tests import pages
from xmlcheck.document import Document
from xmlcheck.finding import Report
from xmlcheck.output import html


@pytest.fixture(scope="session")
def demo() -> Report:
    return pages.demo()


@pytest.fixture(scope="session")
def demo_document() -> Document:
    return html.document_of(pages.demo(), pages.DEMO.read_bytes(), pages.DEMO.name)


@pytest.fixture(scope="session")
def hostile() -> Report:
    return pages.hostile()


@pytest.fixture(scope="session")
def thousand() -> Report:
    return pages.thousand()

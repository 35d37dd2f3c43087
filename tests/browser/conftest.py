"""A headless Chromium for the pages: Debian's `chromium` driven by Playwright. Without either these tests are skipped.

`Pages.open` opens a page from disk and keeps what must not happen: requests, errors, dialogs.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

from tests import pages
from xmlcheck import engrave
from xmlcheck.finding import Report
from xmlcheck.output import html

FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
WHY = next(
    (
        reason
        for reason, missing in (
            ("Playwright is not installed (extra: test)", find_spec("playwright") is None),
            ("no chromium on this machine", CHROMIUM is None),
            ("verovio is not installed (extra: report)", not engrave.available()),
        )
        if missing
    ),
    "",
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if WHY and Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.skip(reason=WHY))


@dataclass
class Seen:
    """What a page did that it must not: requests beyond its own file (and those the policy blocked), errors on the console, dialogs."""

    requests: list[str] = field(default_factory=list)
    blocked: list[str] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)
    dialogs: list[str] = field(default_factory=list)

    def asked(self, dialog: Any) -> None:
        """A dialog that stays open would stop the page."""
        self.dialogs.append(dialog.message)
        dialog.dismiss()


@dataclass
class Pages:
    """Writes reports to a folder and opens them in the browser."""

    browser: Any
    folder: Path
    written: dict[str, Path] = field(default_factory=dict)
    contexts: list[Any] = field(default_factory=list)

    def file(self, name: str, report: Report | None = None, text: str | None = None) -> Path:
        """The file of a page, written once."""
        if name not in self.written:
            if text is None:
                assert report is not None
                text = html.make(report, html.document_of(pages.demo(), pages.DEMO.read_bytes(), pages.DEMO.name))
            self.written[name] = self.folder / f"{name}.html"
            self.written[name].write_text(text, encoding="utf-8")
        return self.written[name]

    def open(self, path: Path, **given: Any) -> tuple[Any, Seen]:
        """The page in a context of its own: nothing is stored from one test to the next."""
        context = self.browser.new_context(**{"viewport": {"width": 1280, "height": 900}, **given})
        self.contexts.append(context)
        page, seen = context.new_page(), Seen()
        page.on("request", lambda request: seen.requests.append(request.url))
        page.on("requestfailed", lambda request: seen.blocked.append(request.url) if request.failure == "csp" else None)
        page.on("pageerror", lambda error: seen.errors.append(str(error)))
        page.on("console", lambda message: seen.errors.append(message.text) if message.type in ("error", "warning") else None)
        page.on("dialog", seen.asked)
        page.goto(path.as_uri())
        return page, seen

    def demo(self, **given: Any) -> tuple[Any, Seen]:
        return self.open(self.file("demo", pages.demo()), **given)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Path]]:
    return tmp_path_factory.mktemp("pages"), {}


@pytest.fixture
def browser_pages(chromium: Any, written: tuple[Path, dict[str, Path]]) -> Iterator[Pages]:
    made = Pages(chromium, *written)
    yield made
    for context in made.contexts:
        context.close()

"""Every kind of page before an accessibility engine, axe-core, which nobody here wrote, in a real browser."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, sync_playwright

from printed_pages import BROWSER
from wordy_pages import KINDS, WIDTHS, write_wordy_pages

#: On a narrow screen tables are lists; as tables two kinds of page stand for all.
LOOKS = [
    *((kind, min(WIDTHS)) for kind in KINDS),
    *((kind, max(WIDTHS)) for kind in ("week.html", "fit-cards/R-101.html", "report.html")),
]

pytestmark = pytest.mark.skipif(not BROWSER, reason="needs a browser")


@pytest.fixture(scope="module")
def window() -> Iterator[Page]:
    """Open a window of the browser that is there; the engine is put into pages that allow no scripts of their own."""
    with sync_playwright() as programs:
        browser = programs.chromium.launch(executable_path=BROWSER, args=["--no-sandbox"])
        yield browser.new_context(bypass_csp=True).new_page()
        browser.close()


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pages")
    write_wordy_pages(folder, tmp_path_factory.mktemp("ledger") / "shop.ledger")
    return folder


def judged(window: Page, page: Path, width: int) -> dict[str, Any]:
    window.set_viewport_size({"width": width, "height": 900})
    window.goto(page.as_uri())
    return Axe().run(window, options={"resultTypes": ["violations"]}).response


def faults(result: dict[str, Any]) -> list[tuple[str, str, str]]:
    return [(one["id"], one["impact"], node["html"]) for one in result["violations"] for node in one["nodes"]]


@pytest.mark.parametrize(("kind", "width"), LOOKS)
def test_the_engine_finds_nothing_wrong(window: Page, out: Path, kind: str, width: int) -> None:
    result = judged(window, out / kind, width)
    assert len(result["passes"]) > 10  # so many of its rules had something to look at
    assert faults(result) == []


def test_the_engine_finds_what_is_wrong(window: Page, tmp_path: Path) -> None:
    page = tmp_path / "bad.html"
    page.write_text('<!doctype html><title>Bad</title><p style="color:#999">faint</p><img src="x.png"><table><tr><th>'
                    "<td></table>", encoding="utf-8")  # fmt: skip
    found = {(name, impact) for name, impact, _ in faults(judged(window, page, 820))}
    assert {("color-contrast", "serious"), ("html-has-lang", "serious"), ("image-alt", "critical")} <= found

"""Every kind of page in a real browser: on a telephone, a tablet and a desk screen, and on paper."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from printed_pages import BROWSER, page_count, print_page
from seen_pages import Seen, look_at
from wordy_pages import KINDS, WIDTHS, write_wordy_pages

pytestmark = pytest.mark.skipif(not BROWSER, reason="needs a browser")


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pages")
    write_wordy_pages(folder, tmp_path_factory.mktemp("ledger") / "shop.ledger")
    return folder


@pytest.fixture(scope="module")
def looked(out: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[tuple[str, int], Seen], list[str]]:
    return look_at(out, KINDS, WIDTHS, tmp_path_factory.mktemp("looked"))


def test_every_kind_of_page_is_looked_at(out: Path) -> None:
    written = {path.relative_to(out).parts[0] for path in out.rglob("*.html")}
    assert written == {kind.split("/")[0] for kind in KINDS}


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("kind", KINDS)
def test_nothing_is_out_of_sight(looked: tuple[dict[tuple[str, int], Seen], list[str]], kind: str, width: int) -> None:
    seen = looked[0][kind, width]
    assert seen.scroll <= width
    assert (seen.beyond, seen.cut) == ([], [])


@pytest.mark.parametrize("kind", KINDS)
def test_words_stand_out_from_their_ground_and_are_large_enough(
    looked: tuple[dict[tuple[str, int], Seen], list[str]], kind: str
) -> None:
    """Contrast of at least 4.5 to 1: WCAG 2.2, success criterion 1.4.3; 11 px is common practice, no source."""
    for width in WIDTHS:
        assert (looked[0][kind, width].faint, looked[0][kind, width].small) == ([], [])


def test_no_page_has_anything_to_complain_about(looked: tuple[dict[tuple[str, int], Seen], list[str]]) -> None:
    assert looked[1] == []


def test_faults_are_seen(tmp_path: Path) -> None:
    """Contrast of #767676 on white is 4.54, of #777777 it is 4.48 (from memory; WCAG's formula gives both)."""
    body = (
        '<p style="width:900px">x <span style="float:right">far right</span></p>'
        '<div style="width:40px;overflow:hidden;white-space:nowrap">this is cut off</div>'
        '<p style="color:#777777">faint</p><p style="color:#767676">enough</p>'
        '<p style="font-size:10.9px">small</p><p style="font-size:11px">fair</p>'
        '<svg width="50" height="20"><text x="10" y="15">words beyond the picture</text></svg>'
        '<div style="overflow:auto;width:100px"><div style="width:3000px;text-align:right">scrolled</div></div>'
        '<img src="https://example.invalid/x.png" alt="">'
    )
    policy = "<meta http-equiv='Content-Security-Policy' content=\"default-src 'none'; style-src 'unsafe-inline'\">"
    (tmp_path / "bad.html").write_text(f"<!doctype html><head>{policy}</head><body>{body}</body>", encoding="utf-8")
    found, console = look_at(tmp_path, ["bad.html"], [390], tmp_path / "looked")
    seen = found["bad.html", 390]
    assert seen.scroll > 390
    assert (seen.beyond, seen.cut) == (["far right"], ["this is cut off", "words beyond the picture"])
    assert (seen.faint, seen.small) == (["faint 4.48"], ["small"])
    assert len(console) == 1 and "example.invalid" in console[0]


@pytest.mark.parametrize("paper", ["A4", "letter"])
def test_the_fit_card_prints_on_one_page(out: Path, tmp_path: Path, paper: str) -> None:
    text = (out / "fit-cards" / "R-101.html").read_text(encoding="utf-8")
    page = tmp_path / "card.html"
    page.write_text(text.replace("</head>", f"<style>@page {{ size: {paper}; }}</style></head>"), encoding="utf-8")
    assert page_count(print_page(page, tmp_path)) == 1


@pytest.mark.parametrize("paper", ["A4", "letter"])
def test_no_blank_page_follows_a_drawing(out: Path, tmp_path: Path, paper: str) -> None:
    """Exactly a page for each drawing, whatever the pages before the first drawing come to."""
    text = (out / "sheets" / "R-101.html").read_text(encoding="utf-8")
    first = text.index("<figure>")
    counts = []
    for name, body in (("all", text), ("none", text[:first] + text[text.rindex("</figure>") + 9 :])):
        page = tmp_path / f"{name}.html"
        body = body.replace("size: auto", f"size: {paper}").replace("size: landscape", f"size: {paper} landscape")
        page.write_text(body, encoding="utf-8")
        counts.append(page_count(print_page(page, tmp_path)))
    assert counts[0] - counts[1] == text.count("<figure>") == 3


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="needs poppler")
@pytest.mark.parametrize("kind", ["week.html", "sheets/R-103.html", "questions/Mara-Quill.html", "labels.html"])
def test_no_word_is_printed_beyond_the_paper(out: Path, tmp_path: Path, kind: str) -> None:
    pdf = print_page(out / kind, tmp_path)
    listing = tmp_path / "words.html"
    subprocess.run(["pdftotext", "-bbox", str(pdf), str(listing)], check=True, timeout=60)
    for page in re.findall(r'<page width="([\d.]+)"(.*?)</page>', listing.read_text(encoding="utf-8"), re.S):
        rights = [float(x) for x in re.findall(r'xMax="([\d.]+)"', page[1])]
        assert rights and max(rights) <= float(page[0]) - 5.0

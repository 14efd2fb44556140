"""Printing pages with a real browser, and measuring what lies on the paper."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

from lxml import etree

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
MEASURE = shutil.which("pdftocairo")
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
_SVG = "{http://www.w3.org/2000/svg}"
#: One point of paper, 1/72 in, in mm.
_POINT = 25.4 / 72.0


def run_browser(folder: Path, *arguments: str) -> tuple[str, list[str]]:
    """Run the browser without a window; ``folder`` holds its profile.

    Gives what it printed, and what pages wrote to its console: errors, and whatever their policy forbade.
    """
    assert BROWSER
    command = [BROWSER, *FLAGS, "--enable-logging=stderr", f"--user-data-dir={folder / 'browser'}", *arguments]
    done = subprocess.run(command, check=True, capture_output=True, text=True, timeout=90)
    return done.stdout, [line for line in done.stderr.splitlines() if "CONSOLE" in line]


def print_page(page: Path, folder: Path) -> Path:
    """Print a page to a PDF."""
    pdf = folder / f"{page.stem}.pdf"
    run_browser(folder, "--no-pdf-header-footer", f"--print-to-pdf={pdf}", page.as_uri())
    return pdf


def page_count(pdf: Path) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf.read_bytes()))


@dataclass(frozen=True)
class Mark:
    """A line or outline on paper: its colours as six figures, and its corners in mm from above left."""

    stroke: str
    fill: str
    corners: tuple[tuple[float, float], ...]

    @property
    def left(self) -> float:
        return min(x for x, _ in self.corners)

    @property
    def right(self) -> float:
        return max(x for x, _ in self.corners)

    @property
    def top(self) -> float:
        return min(y for _, y in self.corners)

    @property
    def bottom(self) -> float:
        return max(y for _, y in self.corners)

    @property
    def middle(self) -> float:
        return (self.left + self.right) / 2.0


def marks_of(pdf: Path, page: int, folder: Path) -> list[Mark]:
    """Measure every line and outline on one page of a PDF, letters left out."""
    assert MEASURE
    svg = folder / f"{pdf.stem}-{page}.svg"
    subprocess.run([MEASURE, "-svg", "-f", str(page), "-l", str(page), str(pdf), str(svg)], check=True, timeout=60)
    tree = etree.parse(str(svg)).getroot()
    outside = [path for path in tree.iter(f"{_SVG}path") if not any(True for _ in path.iterancestors(f"{_SVG}defs"))]
    return [Mark(_colour(path, "stroke"), _colour(path, "fill"), _corners(path)) for path in outside]


def _colour(path: etree._Element, kind: str) -> str:
    """Give a colour as six figures; empty for none."""
    style = dict(part.split(":", 1) for part in path.get("style", "").split(";") if ":" in part)
    value = style.get(kind, path.get(kind, "none"))
    parts = re.findall(r"([\d.]+)%", value)
    return "".join(f"{round(float(part) * 2.55):02x}" for part in parts) if value != "none" else ""


def _corners(path: etree._Element) -> tuple[tuple[float, float], ...]:
    figures = [float(text) for text in re.findall(r"-?\d+\.?\d*", path.get("d", ""))]
    matrix = [float(text) for text in re.findall(r"-?\d+\.?\d*(?:e-?\d+)?", path.get("transform", ""))]
    a, b, c, d, e, f = matrix or (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
    pairs = zip(figures[::2], figures[1::2], strict=True)
    return tuple(((a * x + c * y + e) * _POINT, (b * x + d * y + f) * _POINT) for x, y in pairs)

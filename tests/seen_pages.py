"""Looking at pages with a real browser: each in a window of a given width, measured from outside.

The pages hold no scripts and allow none, so they are opened in frames of a page of ours that measures them.
"""

from __future__ import annotations

import html
import json
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from printed_pages import run_browser

_MEASURE = r"""
const seen = [];
function visible(element) {  // what is clipped away altogether is there for those who listen to the page
  for (let at = element; at; at = at.parentElement) {
    const style = frameView.getComputedStyle(at);
    if (style.visibility === "hidden" || style.display === "none" || style.clipPath === "inset(50%)") return false;
  }
  return true;
}
function parts(colour) {
  const found = colour.match(/[\d.]+/g).map(Number);
  return found.length < 4 ? [...found, 1] : found;
}
function light([r, g, b]) {
  const [x, y, z] = [r, g, b].map(v => v / 255).map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
  return 0.2126 * x + 0.7152 * y + 0.0722 * z;
}
function ground(element) {
  for (let at = element; at; at = at.parentElement) {
    const colour = parts(frameView.getComputedStyle(at).backgroundColor);
    if (colour[3] > 0) return colour;
  }
  return [255, 255, 255, 1];
}
function contrast(element) {
  const style = frameView.getComputedStyle(element);
  const ink = parts(element.ownerSVGElement ? style.fill : style.color);
  const [a, b] = [light(ink), light(ground(element))];
  return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
}
function scrolls(element) {
  for (let at = element; at; at = at.parentElement) {
    if (/auto|scroll/.test(frameView.getComputedStyle(at).overflowX)) return true;
  }
  return false;
}
function clipped(element, box) {
  for (let at = element; at && at !== page.documentElement; at = at.parentElement) {
    const style = frameView.getComputedStyle(at);
    if (style.overflowX === "visible" || at.namespaceURI.endsWith("svg") && !at.matches("svg")) continue;
    const room = at.getBoundingClientRect();
    if (box.left < room.left - 1 || box.right > room.right + 1) return true;
    if (box.top < room.top - 1 || box.bottom > room.bottom + 1) return true;
  }
  return false;
}
let page, frameView;
function look(frame, name, width) {
  page = frame.contentDocument;
  frameView = frame.contentWindow;
  const scroll = page.documentElement.scrollWidth;
  const result = {page: name, width, scroll, beyond: [], cut: [], faint: [], small: []};
  const walker = page.createTreeWalker(page.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const words = node.textContent.trim(), element = node.parentElement;
    if (!words || !visible(element) || element.closest("defs, title, desc, style")) continue;
    const range = page.createRange();
    range.selectNodeContents(node);
    const box = range.getBoundingClientRect();
    if (!box.width) continue;
    if (!scrolls(element) && (box.left < -1 || box.right > width + 1)) result.beyond.push(words);
    if (!scrolls(element) && clipped(element, box)) result.cut.push(words);
    if (contrast(element) < 4.5) result.faint.push(words + " " + contrast(element).toFixed(2));
    const letters = parseFloat(frameView.getComputedStyle(element).fontSize);
    if (!element.ownerSVGElement && letters < 11) result.small.push(words);
  }
  seen.push(result);
}
async function run() {
  for (const [name, address] of pages) {
    for (const width of widths) {
      const frame = document.createElement("iframe");
      frame.style.cssText = `width:${width}px;height:900px;border:0`;
      const loaded = new Promise(done => frame.onload = done);
      frame.src = address;
      document.body.append(frame);
      await loaded;
      look(frame, name, width);
      frame.remove();
    }
  }
  const out = document.createElement("pre");
  out.id = "seen";
  out.textContent = JSON.stringify(seen);
  document.body.append(out);
}
run();
"""


@dataclass(frozen=True)
class Seen:
    """A page in a window: how wide it scrolls, and words beyond its edge, cut off, too faint, too small."""

    page: str
    width: int
    scroll: int
    beyond: list[str]
    cut: list[str]
    faint: list[str]
    small: list[str]


def look_at(
    folder: Path, pages: Sequence[str], widths: Sequence[int], work: Path
) -> tuple[dict[tuple[str, int], Seen], list[str]]:
    """Open pages of a folder at several widths in one run of the browser.

    ``work`` holds the measuring page and the browser's profile. Gives what was seen by page and width, and what the
    pages wrote to the console.
    """
    named = [[name, (folder / name).as_uri()] for name in pages]
    script = f"const pages = {json.dumps(named)}, widths = {json.dumps(list(widths))};{_MEASURE}"
    work.mkdir(exist_ok=True)
    stand = work / "stand.html"
    stand.write_text(f"<!doctype html><body style='margin:0'><script>{script}</script>", encoding="utf-8")
    shown, console = run_browser(
        work,
        "--allow-file-access-from-files",
        "--virtual-time-budget=60000",
        "--window-size=1400,1000",
        "--dump-dom",
        stand.as_uri(),
    )
    found = re.search(r'<pre id="seen">(.*?)</pre>', shown, re.S)
    assert found, shown[-500:]
    results: list[dict[str, Any]] = json.loads(html.unescape(found.group(1)))
    return {(result["page"], result["width"]): Seen(**result) for result in results}, console

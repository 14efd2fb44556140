"""An hour of coverage-guided damage to cells, to parts of workbooks and to whole files.

Run: ``python tests/benchmarks/fuzz_reading.py [--minutes 60] [--only cell] [--keep FOLDER]``; it needs atheris, which
the bench extra has for Linux. The time is shared out evenly among

- ``cell``: one cell of the usual format, and every kind of answer parsed from it;
- ``part``: one part of a small workbook (.xlsx or .ods) replaced, the rest as it was: read, flagged, flagged again;
- ``file``: the bytes of a whole workbook, which is the door itself: the zip directory and what lies behind it.

Whatever comes, the door gives a workbook or a sentence. A workbook that is read can be flagged unless that is refused
in words too; its flagged copy can be read, is flagged again to the same bytes or refused in words, and every member
that flagging does not touch is the same. Anything else is a crash, as are ten seconds of work or 2 GB of memory. Inputs
that crash are left in the folder that is printed, and the target goes on.
"""

from __future__ import annotations

import argparse
import io
import math
import os
import resource
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable
from datetime import date, datetime
from datetime import time as clock
from fractions import Fraction
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests")]

import atheris  # noqa: E402

with atheris.instrument_imports(include=["railwright.reading", "railwright.writing.patching"]):
    from railwright.reading.parsed import Conventions
    from railwright.reading.survey import NotASurvey, read_survey
    from railwright.reading.unreadable import Unreadable
    from railwright.reading.values import parse_answer
    from railwright.reading.workbook import read_workbook
    from railwright.writing.patching.flag_copy import flag_copy
    from railwright.writing.patching.flags import FindingRow, FindingsSheet, Flag

from feature_books import BOOKS  # noqa: E402
from hostile_files import KINDS, good  # noqa: E402
from little_surveys import SECTION, little_survey  # noqa: E402
from open_document_kit import survey  # noqa: E402
from railwright.reading.package import open_package  # noqa: E402
from railwright.survey.fields import all_fields  # noqa: E402
from workbook_kit import book_parts, sheet_xml, zipped  # noqa: E402

SECONDS, MEGABYTES, LONGEST = 10, 2000, 30_000
#: On the clock, which the fuzzer itself looks at; a busy machine may leave a process waiting for long.
SECONDS_WAITING = 300
KINDS_OF_CELL = {
    "blank": type(None), "text": str, "number": float, "bool": bool, "date": (date, datetime, clock),
    "error": type(None), "formula_without_result": type(None),
}  # fmt: skip
#: Syntax that a random change would hardly ever hit upon.
WORDS = (
    "<!DOCTYPE a [", "&#0;", "<![CDATA[", "xml:space", "number-columns-repeated", "number-rows-repeated", "mergeCell",
    "_x000D_", "[railwright]", "railwright_flag_", "railwright_findings", "Fix: ", "#REF!", "inlineStr", "PT9H",
    "1e308",
    "12 1/8", "7; 11", "3/8", "46089", "2031-03-04", "½", "″", "−0", "PK\\x01\\x02", "PK\\x05\\x06", "PK\\x06\\x06",
)  # fmt: skip


def little() -> bytes:
    """Give a survey of one section."""
    with tempfile.TemporaryDirectory() as folder:
        return little_survey(Path(folder) / "a.xlsx", SECTION).read_bytes()


SEEDS: dict[str, dict[str, bytes]] = {}
DESK = Path(tempfile.gettempdir())


def unpacked(data: bytes) -> dict[str, bytes]:
    """Unpack a file."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def prepare() -> None:
    """Unpack the workbooks that the parts come from."""
    books = {name: BOOKS[name]() for name in ("notes", "printing", "by-openpyxl", "conversation", "strict")}
    SEEDS.update({name: unpacked(data) for name, data in (books | {"survey": little(), "ods": survey()}).items()})


def places() -> list[tuple[str, str]]:
    """List the parts that are changed, each by its workbook and name; a case begins with a place in this list."""
    ends = (".xml", ".rels", ".vml")
    return [(book, name) for book in sorted(SEEDS) for name in SEEDS[book] if name.endswith(ends)]


# Targets


def cell(data: bytes) -> None:
    """Read one cell, and every kind of answer from it."""
    source = atheris.FuzzedDataProvider(data)
    kind = source.PickValueInList(["s", "str", "inlineStr", "b", "e", "n", "d", "n", "str"])
    style, way, wide = source.ConsumeIntInRange(0, 7), source.ConsumeIntInRange(0, 5), source.ConsumeBool()
    text = source.ConsumeUnicodeNoSurrogates(400) if wide else source.ConsumeString(400)
    raw = "".join(sign for sign in text if sign in "\t\n\r" or " " <= sign not in "\ufffe\uffff\x7f")
    raw = "".join(sign for sign in raw if not "\ud800" <= sign <= "\udfff")
    raw = raw.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    inner = f"<is><t>{raw}</t></is>" if kind == "inlineStr" else f"<v>{raw}</v>"
    formula = "<f>1+1</f>" if way == 1 else ""
    rows = f"<row><c r='A1' t='{kind}' s='{style}'>{formula}{inner}</c></row>"
    path = DESK / "a.xlsx"
    path.write_bytes(zipped(book_parts({"S 1": sheet_xml(rows)}, strings="<si><t>a</t></si>"), zipfile.ZIP_STORED))
    content = read_workbook(path).cell("S 1", "A1")
    assert isinstance(content.value, KINDS_OF_CELL[content.kind])
    sheet = Conventions((None, "in", "mm")[way % 3], (None, Fraction(1), Fraction(127, 40))[way // 2], way == 4)
    for field in FIELDS:
        parsed = parse_answer(field, content, sheet)
        assert parsed.problem is None or parsed.value is None
        if isinstance(parsed.value, Fraction | int):
            assert math.isfinite(float(parsed.value))


#: One field of each kind, and both special choices.
FIELDS = [
    *{(field.kind, field.choices, field.may_be_zero): field for field in all_fields()}.values(),
]


def part(data: bytes) -> None:
    """Put the bytes in the place of one part."""
    everywhere = places()
    book, name = everywhere[data[0] % len(everywhere)] if data else everywhere[0]
    check_file(zipped(SEEDS[book] | {name: data[1:]}, zipfile.ZIP_STORED))


def file(data: bytes) -> None:
    """Take the bytes as they are."""
    check_file(data)


def check_file(data: bytes) -> None:
    """Read, flag, read the copy, flag that."""
    source, first, second = (DESK / name for name in ("a.xlsx", "b.xlsx", "c.xlsx"))
    source.write_bytes(data)
    if not opens(source):
        return
    if not flags(source, first):
        return
    assert opens(first), "the flagged copy cannot be read"
    check_members(source, first)
    if flags(first, second):  # the second look goes further: earlier flags may have been copied to any sheet
        assert first.read_bytes() == second.read_bytes(), "a second run gives another file"


def flags(source: Path, target: Path) -> bool:
    """Flag a workbook; tell whether that was possible."""
    target.unlink(missing_ok=True)
    try:
        flag_copy(source, target, FLAGS, LIST)
    except Unreadable:
        assert not target.exists()
        return False
    return True


FLAGS = [
    Flag("S 1", "B2", "confirm", "the run looks like eight spaces", "C2", "read the run again"),
    Flag("S 1", "B7", "fix", "the span is missing"),
    Flag("Readings", "B2", "note", "a note"),
]
LIST = FindingsSheet(
    "Order 17", [FindingRow(flag.severity, flag.sheet, flag.cell, "Span", flag.note) for flag in FLAGS]
)


def opens(path: Path) -> bool:
    """Read everything; tell whether there was a workbook."""
    try:
        book = read_workbook(path)
        for sheet in book.sheets:
            for _, content in book.cells(sheet.name):
                assert isinstance(content.value, KINDS_OF_CELL[content.kind])
        assert isinstance(book.names, dict)
        read_survey(path, path.name)
    except NotASurvey:
        return True
    except Unreadable as trouble:
        assert trouble.reason.endswith(".")
        assert trouble.remedy.endswith(".")
        return False
    return True


def check_members(source: Path, copy: Path) -> None:
    """Compare the members that flagging has no business with, byte for byte."""
    before, after = (open_package(path) for path in (source, copy))
    for member in before.members:
        if member.name.endswith((".jpg", ".jpeg", ".png", ".bin", "sheet2.xml", "app.xml", "core.xml", "mimetype")):
            other = after.by_key[member.name.lower()]
            same = before.data[member.start : member.end] == after.data[other.start : other.end]
            assert same or "sheet2" in member.name, f"{member.name} was changed"


TARGETS: dict[str, Callable[[bytes], None]] = {"cell": cell, "part": part, "file": file}


# Running


def seeds_of(target: str) -> list[bytes]:
    """Give the inputs that a target begins with."""
    if target == "cell":
        return [
            bytes([0, 0, 0, 0]) + word.encode() for word in ("12 1/8", "308.5", "7; 11", "2031-03-04", "yes", "5/8 in")
        ]
    if target == "part":
        return [bytes([at]) + SEEDS[book][name] for at, (book, name) in enumerate(places())]
    whole = [zipped(parts, zipfile.ZIP_STORED) for parts in SEEDS.values()]
    return [*whole, good(), *(make() for make, _ in KINDS.values())]


def work(target: str, seconds: int, folder: Path) -> None:
    """Feed one target for so long; this process ends with it."""
    corpus = folder / target
    corpus.mkdir(parents=True, exist_ok=True)
    for number, seed in enumerate(seeds_of(target)):
        if len(seed) <= LONGEST:
            (corpus / f"seed-{number}").write_bytes(seed)
    words = folder / "words"
    words.write_text("".join(f'"{_quoted(word)}"\n' for word in WORDS), encoding="ascii")
    options = [
        f"-max_total_time={seconds}", f"-timeout={SECONDS_WAITING}", f"-rss_limit_mb={MEGABYTES}",
        f"-max_len={LONGEST}", f"-artifact_prefix={folder / 'crash'}-{target}-", f"-dict={words}",
        "-print_final_stats=1", "-verbosity=0",
    ]  # fmt: skip
    atheris.Setup([sys.argv[0], *options, str(corpus)], lambda data: timed(TARGETS[target], data))
    atheris.Fuzz()


def timed(target: Callable[[bytes], None], data: bytes) -> None:
    """Feed one input and hold it to its time of work."""
    begun = time.process_time()
    target(data)
    spent = time.process_time() - begun
    assert spent < SECONDS, f"{spent:.0f} seconds of work"


def _quoted(word: str) -> str:
    signs = (chr(byte) if 32 <= byte < 127 and byte not in b'"' else f"\\x{byte:02x}" for byte in word.encode())
    return "".join(signs)


def main() -> None:
    """Share the time out among the targets, one after the other."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--minutes", type=float, default=60)
    parser.add_argument("--only", choices=TARGETS)
    parser.add_argument("--keep", type=Path, help="where inputs are kept; those found in an earlier run are used again")
    parser.add_argument("--again", type=Path, nargs="*", help="only run these inputs, with --only")
    parser.add_argument("--work", choices=TARGETS, help=argparse.SUPPRESS)
    options = parser.parse_args()
    prepare()
    if options.again:
        for path in options.again:
            TARGETS[options.only](path.read_bytes())
    elif options.work:
        work(options.work, round(options.minutes * 60), options.keep)
    else:
        run_all(options)


def run_all(options: Any) -> None:
    """Give each target its share of the time, and say how it went."""
    folder = options.keep or Path(tempfile.mkdtemp(prefix="fuzz-"))
    targets = [options.only] if options.only else list(TARGETS)
    for target in targets:
        inputs, crashes, spent = run_one(target, options.minutes * 60 / len(targets), folder)
        print(f"{target}: {inputs} inputs, {spent / 60:.1f} minutes of work, {crashes} crashes")
    print(f"Inputs that crashed: {sorted(path.name for path in folder.glob('crash-*'))} in {folder}")


def run_one(target: str, seconds: float, folder: Path) -> tuple[int, int, float]:
    """Keep one target at work, anew after every crash; give inputs, crashes and processor time."""
    until, inputs, crashes = time.monotonic() + seconds, 0, 0
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    while (left := until - time.monotonic()) > 1:
        arguments = ["--work", target, "--minutes", str(left / 60), "--keep", str(folder)]
        with tempfile.TemporaryDirectory(prefix="fuzz-desk-") as desk:
            environment = {**os.environ, "TMPDIR": desk}
            run = subprocess.run(
                [sys.executable, __file__, *arguments],
                env=environment,
                capture_output=True,
                text=True,
                errors="replace",
            )
        counts = [line.split()[-1] for line in run.stderr.splitlines() if "number_of_executed_units" in line]
        inputs += sum(map(int, counts))
        if run.returncode:
            crashes += 1
            print(_last_words(run.stdout + run.stderr), flush=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return inputs, crashes, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def _last_words(text: str) -> str:
    """Cut what a crashed process said down to its trace."""
    start = text.find("=== Uncaught")
    return text[start if start >= 0 else -1500 :][:3000]


if __name__ == "__main__":
    main()

"""A week's run against a ledger of many surveys, compared with the same run into an empty one.

Run: ``PYTHONPATH=src:tests python tests/benchmarks/bench_ledger.py [--surveys 10000] [--rounds 5]``.

The sample week is processed once; its rows in every table (readings, findings, sections, kits, order lines, bars,
pieces, movements) are then copied under other order and serial numbers until the ledger holds so many surveys. Then
``railwright process samples --ledger`` runs in turn into a new ledger and into a copy of the large one. Printed are
medians and their ratio with the target. The shelf of the large one is as the shop book has it, so that both plan the
same week; that the plans are equal is checked.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import shutil
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from ledger_kit import check_sums, rows
from railwright.ledger.connection import opened, transaction

ROOT = Path(__file__).resolve().parents[2]
TARGET = 1.2


def process(out: Path, ledger: Path) -> tuple[float, float]:
    """Process the sample week, and give the seconds that took: on the clock, and of processors."""
    command = [sys.executable, "-m", "railwright", "process", str(ROOT / "samples"), "-o", str(out)]
    begun, used = time.perf_counter(), _processor_seconds()
    subprocess.run([*command, "--ledger", str(ledger)], check=True, env=os.environ, capture_output=True)
    return time.perf_counter() - begun, _processor_seconds() - used


def _processor_seconds() -> float:
    """Give what all processes that ended took of processors; less sensitive to what else the machine does."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def same_plans(one: Path, other: Path) -> None:
    """See that both runs ordered and cut the same, so that only the ledger differs."""
    first, second = (json.loads((out / "results.json").read_text(encoding="utf-8")) for out in (one, other))
    for key in ("order", "cutting", "cutting_proof"):
        assert first[key] == second[key], f"{key} differs"


def grow(path: Path, surveys: int) -> None:
    """Copy the week in a ledger until there are so many surveys, and take the week itself out."""
    with opened(path) as ledger, transaction(ledger):
        week = rows(ledger, "SELECT count(*) FROM survey")[0][0]
        for copy in range(1, -(-surveys // int(str(week))) + 1):
            _copy(ledger, copy)
        ledger.execute(
            "UPDATE survey SET order_no = 'OLD-' || order_no, order_key = 'old-' || order_key WHERE entry_id = 1"
        )
        ledger.execute("UPDATE survey SET piano_key = 'old' || piano_key, fingerprint = 'old' || id WHERE entry_id = 1")
        _as_in_the_book(ledger)
        check_sums(ledger)


def _as_in_the_book(ledger: sqlite3.Connection) -> None:
    """Let all have come and the shelf be as the shop book has it, so that both runs plan the same week."""
    ledger.execute("UPDATE order_line SET delivered = buy, cancelled = 0")
    ledger.execute("DELETE FROM movement WHERE kind = 'delivered' AND entry_id = 1")
    for line, stock, buy in rows(ledger, "SELECT id, stock_id, buy FROM order_line WHERE entry_id = 1 AND buy > 0"):
        _move(ledger, stock, "delivered", int(str(buy)), line)
    figures = "SELECT s.id, coalesce(f.on_hand, 0) FROM stock s LEFT JOIN book_figure f ON f.stock_id = s.id"
    for stock, book in rows(ledger, figures):
        last = rows(ledger, f"SELECT max(id), after FROM movement WHERE stock_id = {stock}")[0][1]
        _move(ledger, stock, "counted", int(str(book)) - int(str(last or 0)), None)


def _move(ledger: sqlite3.Connection, stock: object, kind: str, amount: int, line: object) -> None:
    net = int(str(rows(ledger, f"SELECT max(id), after FROM movement WHERE stock_id = {stock}")[0][1] or 0))
    insert = "INSERT INTO movement (entry_id, stock_id, kind, change, before, after, order_line_id) "
    values = ("SELECT max(id) FROM entry", stock, kind, amount, net, net + amount, line)
    if amount:
        ledger.execute(f"{insert} VALUES (({values[0]}), ?, ?, ?, ?, ?, ?)", values[1:])


def _columns(ledger: sqlite3.Connection, table: str, skip: set[str]) -> list[str]:
    return [str(row[1]) for row in rows(ledger, f"PRAGMA table_info({table})") if row[1] not in skip]


def _copy(ledger: sqlite3.Connection, copy: int) -> None:
    """Add the rows of entry 1 once more; numbers of copied rows are shifted by a step that no number reaches."""
    step = copy * 100_000
    shifted = {"id", "instrument_id", "survey_id", "decision_id", "order_line_id", "kit_id", "bar_id"}
    changed = {
        "entry_id": str(step + 1), "order_no": f"order_no || '-{copy}'", "order_key": f"order_key || '-{copy}'",
        "piano_key": f"piano_key || '-{copy}'", "token": f"token || '-{copy}'",
        "fingerprint": f"fingerprint || '{copy}'", "model_key": f"model_key || '-{copy // 5}'",
        "delivered": "buy", "label": f"'{copy}-' || label", "serial": f"serial || '-{copy}'",
    }  # fmt: skip
    tables = ["entry", "instrument", "survey", "reading", "decision", "finding", "section", "order_line", "order_need",
              "order_member", "kit", "kit_part", "kit_piece", "bar", "piece", "remnant"]  # fmt: skip
    for table in tables:
        values = [
            changed[name] if name in changed and (table != "decision" or name != "fingerprint")
            else f"{name} + {step}" if name in shifted else name
            for name in _columns(ledger, table, set())
        ]  # fmt: skip
        of_week = _of_first_entry(table)
        ledger.execute(f"INSERT INTO {table} SELECT {', '.join(values)} FROM {table} WHERE {of_week}")
    _copy_movements(ledger, step)


def _of_first_entry(table: str) -> str:
    owners = {"reading": ("survey", "survey_id"), "finding": ("decision", "decision_id"),
              "section": ("decision", "decision_id"),
              "order_need": ("order_line", "order_line_id"), "order_member": ("order_line", "order_line_id"),
              "kit_part": ("kit", "kit_id"), "kit_piece": ("kit", "kit_id"), "piece": ("bar", "bar_id"),
              "remnant": ("bar", "bar_id")}  # fmt: skip
    if table == "entry":
        return "id = 1"
    if table in owners:
        owner, key = owners[table]
        return f"{key} IN (SELECT id FROM {owner} WHERE entry_id = 1)"
    return "entry_id = 1"


def _copy_movements(ledger: sqlite3.Connection, step: int) -> None:
    """Let all be used and delivered once more, and every rest be kept under a label of its own and used."""
    moved = rows(
        ledger,
        "SELECT stock_id, kind, change, order_line_id, item, length, width, unit, offcut FROM movement m "
        "JOIN stock s ON s.id = m.stock_id WHERE m.entry_id = 1 AND kind IN ('used', 'kept') ORDER BY m.id",
    )
    for stock, kind, change, line, item, length, width, unit, offcut in moved:
        if kind == "kept":
            statement = (
                "INSERT INTO stock (entry_id, item, length, width, unit, offcut, rack) VALUES (?, ?, ?, ?, ?, ?, ?)"
            )
            stock = ledger.execute(statement, (step + 1, item, length, width, unit, offcut, f"old {step}")).lastrowid
            _move(ledger, stock, "kept", int(str(change)), None)
            _move(ledger, stock, "used", -int(str(change)), None)
            ledger.execute("INSERT INTO book_figure VALUES (?, ?, NULL, 0)", (stock, step + 1))
            continue
        number = None if line is None else int(str(line)) + step
        bought = (
            0 if number is None else int(str(rows(ledger, f"SELECT buy FROM order_line WHERE id = {number}")[0][0]))
        )
        used = -int(str(change))
        for kind, amount in (("used", -used), ("delivered", bought), ("counted", max(used - bought, 0))):
            _move(ledger, stock, kind, amount, None if kind == "counted" else number)


def main() -> None:
    """Time both and print the ratio."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--surveys", type=int, default=10_000)
    parser.add_argument("--rounds", type=int, default=5)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        large = place / "large.ledger"
        process(place / "first", large)
        grow(large, options.surveys)
        with opened(large) as ledger:
            counts = {
                table: rows(ledger, f"SELECT count(*) FROM {table}")[0][0]
                for table in ("survey", "reading", "movement", "stock")
            }
        print(f"The large ledger: {large.stat().st_size / 1e6:.0f} MB, {counts}.")
        times: dict[str, list[tuple[float, float]]] = {"empty": [], "large": []}
        for number in range(options.rounds):
            copy = place / f"copy-{number}.ledger"
            shutil.copy(large, copy)
            times["large"].append(process(place / f"large-{number}", copy))
            times["empty"].append(process(place / f"empty-{number}", place / f"empty-{number}.ledger"))
            copy.unlink()
            same_plans(place / f"large-{number}", place / f"empty-{number}")
    for place_in, clock in enumerate(("on the clock", "of processors")):
        seconds = {word: [each[place_in] for each in some] for word, some in times.items()}
        empty, full = (statistics.median(seconds[word]) for word in ("empty", "large"))
        print(f"Seconds {clock}: empty {empty:.2f} {[round(each, 2) for each in seconds['empty']]},")
        print(f"  large {full:.2f} {[round(each, 2) for each in seconds['large']]}.")
        print(f"  Ratio of medians over {options.rounds} rounds: {full / empty:.3f} (target at most {TARGET}).")


if __name__ == "__main__":
    main()

"""A week's run against a ledger of many surveys, compared with the same run into an empty one.

Run: ``PYTHONPATH=src:tests python tests/benchmarks/bench_ledger.py [--surveys 10000] [--rounds 5] [--sharing 8]``.

The sample week is processed once; its rows in every table (readings, findings, sections, kits, order lines, bars,
pieces, movements) are then copied under other order and serial numbers until the ledger holds so many surveys. Then
``railwright process samples --ledger`` runs in turn into a new ledger and into copies of two large ones:

- *other models*: no piano of the week is of a maker and model that the ledger knows, so model memory has nothing to do.
  The shelf is as the shop book has it, so that the same week is planned as with an empty ledger; this is checked.
- *known models*: the surveys share eight times the models of the week, so that each has dozens, and every piano of the
  week is held against as many of its kind. Those are built like it but for a difference in pitch, and read anew each
  time, without slips. What the kind tells can change what is released; how many are is printed.

Printed are medians and their ratios to an empty ledger, with the target.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import resource
import shutil
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from ledger_kit import check_sums, rows
from railwright.ledger.connection import opened, transaction

ROOT = Path(__file__).resolve().parents[2]
TARGET = 1.2
MM = {"in": 25.4, "mm": 1.0}
#: How much the mean pitch of a section differs between pianos of one model (standard deviation), mm.
PITCH_SD_MM = 0.06


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


def released(out: Path) -> int:
    """Count the instruments that a run released."""
    told = json.loads((out / "results.json").read_text(encoding="utf-8"))
    return Counter(one["state"] for one in told["instruments"])["release"]


def grow(path: Path, surveys: int, sharing: int | None) -> None:
    """Copy the week in a ledger until there are so many surveys, and take the week itself out.

    Args:
        path: the ledger.
        surveys: how many, or a few more.
        sharing: so many times the models of the week are shared by all surveys, the week's own among them; without it
            five surveys have a model in common, and none has one of the week's.
    """
    with opened(path) as ledger, transaction(ledger):
        week = rows(ledger, "SELECT count(*) FROM survey")[0][0]
        for copy in range(1, -(-surveys // int(str(week))) + 1):
            other = f"-{copy // 5}" if sharing is None else f"-{copy % sharing}" if copy % sharing else ""
            _copy(ledger, copy, other)
            if not other:
                _read_anew(ledger, copy)
        ledger.execute(
            "UPDATE survey SET order_no = 'OLD-' || order_no, order_key = 'old-' || order_key WHERE entry_id = 1"
        )
        ledger.execute(
            "UPDATE survey SET piano_key = 'old' || piano_key, fingerprint = 'old' || id, "
            "model_key = model_key || '-0' WHERE entry_id = 1"
        )
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


def _read_anew(ledger: sqlite3.Connection, copy: int) -> None:
    """Let the pianos of a copy be others of the same models, surveyed by themselves."""
    numbers = {
        str(order): int(str(number))
        for number, order in rows(ledger, f"SELECT id, order_no FROM survey WHERE entry_id = {copy * 100_000 + 1}")
        if order
    }
    update = "UPDATE reading SET number = ?, problem = NULL WHERE survey_id = ? AND field = ?"
    for order, field, value in _readings_of(copy):
        if survey := numbers.get(f"{order}-{copy}"):
            ledger.execute(update, (value, survey, field))


def _readings_of(copy: int) -> Iterator[tuple[str, str, float]]:
    """Measure one more piano of every model of the week: order number, field and reading (mm, or a count)."""
    from measuring import Length, measure
    from true_pianos import WEEK

    for piano in WEEK:
        luck = random.Random(f"{copy}/{piano.order_no}")
        sections = (replace(each, pitch_mm=each.pitch_mm + luck.gauss(0.0, PITCH_SD_MM)) for each in piano.sections)
        for field, reading in measure(replace(piano, sections=tuple(sections)), f"copy {copy}").items():
            if field == "head_width" or field.endswith(("_dampers", "_span", "_run", "_run_end")):
                value = float(reading.value) * MM[reading.unit] if isinstance(reading, Length) else reading
                yield piano.order_no, field, value


def _copy(ledger: sqlite3.Connection, copy: int, other: str) -> None:
    """Add the rows of entry 1 once more, of models with another name.

    Numbers of copied rows are shifted by a step that no number reaches.
    """
    step = copy * 100_000
    shifted = {"id", "instrument_id", "survey_id", "decision_id", "order_line_id", "kit_id", "bar_id"}
    changed = {
        "entry_id": str(step + 1), "order_no": f"order_no || '-{copy}'", "order_key": f"order_key || '-{copy}'",
        "piano_key": f"piano_key || '-{copy}'", "token": f"token || '-{copy}'",
        "fingerprint": f"fingerprint || '{copy}'", "model_key": f"model_key || '{other}'",
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
    parser.add_argument("--sharing", type=int, default=8, help="so many times the week's models are shared by all")
    options = parser.parse_args()
    sys.path.insert(0, str(ROOT / "demo"))
    with tempfile.TemporaryDirectory() as name:
        compare(Path(name), options.surveys, options.rounds, options.sharing)


def compare(place: Path, surveys: int, rounds: int, sharing: int) -> None:
    """Make the ledgers, run the week in turn into each, and print what that takes."""
    ledgers = {"other models": place / "other.ledger", "known models": place / "known.ledger"}
    process(place / "first", ledgers["other models"])
    shutil.copy(ledgers["other models"], ledgers["known models"])
    for name, path in ledgers.items():
        grow(path, surveys, sharing if name == "known models" else None)
        describe(name, path)
    times: dict[str, list[tuple[float, float]]] = {"empty": [], **{name: [] for name in ledgers}}
    for number in range(rounds):
        outs = {name: place / f"{name} {number}" for name in times}
        for name in (*ledgers, "empty"):
            copy = place / "copy.ledger"
            if name in ledgers:
                shutil.copy(ledgers[name], copy)
            times[name].append(process(outs[name], copy))
            copy.unlink()
        same_plans(outs["other models"], outs["empty"])
    print("Released of the week: " + ", ".join(f"{name} {released(out)}" for name, out in outs.items()))
    print_times(times)


def describe(name: str, path: Path) -> None:
    """Print how large a ledger is, and how many models it knows."""
    with opened(path) as ledger:
        counts = {
            table: rows(ledger, f"SELECT count(*) FROM {table}")[0][0]
            for table in ("survey", "reading", "movement", "stock")
        }
        models = rows(ledger, "SELECT count(DISTINCT model_key) FROM survey")[0][0]
    print(f"Ledger of {name}: {path.stat().st_size / 1e6:.0f} MB, {counts}, {models} models.", flush=True)


def print_times(times: dict[str, list[tuple[float, float]]]) -> None:
    """Print medians and ratios, of the clock and of processors."""
    for place, clock in enumerate(("on the clock", "of processors")):
        seconds = {name: [each[place] for each in some] for name, some in times.items()}
        empty = statistics.median(seconds["empty"])
        print(f"Seconds {clock}, medians over {len(times['empty'])} rounds:")
        for name, some in seconds.items():
            middle = statistics.median(some)
            ratio = "" if name == "empty" else f"; ratio to empty {middle / empty:.3f} (target at most {TARGET})"
            print(f"  {name}: {middle:.2f} {[round(each, 2) for each in some]}{ratio}")


if __name__ == "__main__":
    main()

"""A simulated year in the ledger, with power cuts: nothing is lost, nothing doubled, and a replay gives the same.

Run: ``PYTHONPATH=src:tests python tests/benchmarks/bench_year.py [--weeks 50] [--pianos 20] [--seed 1] [--real 10]``.

Every week a process of its own enters new surveys, surveys sent again, corrected and held ones, plans cutting and order
with the real planner, builds an output folder and lets it take its place: the road of ``railwright process`` but for
reading workbooks. Each week is killed (``SIGKILL``; on Windows ``TerminateProcess``) once before it may finish: in turn
anywhere in its work, with so little memory that it writes all the time; within milliseconds around the commit and the
swap; between commit and swap; between the swap and the mark that all is done (held there for the kill). Between weeks
come deliveries, cancelled and resumed orders and stock-takes. At the end

- SQLite finds the file sound after every kill;
- every movement starts where the one before it ended, and nothing is promised that is not on the way;
- what left the shelf for instruments is what the script of the year wanted, reckoned apart;
- a replay into a new ledger without kills gives the same rows in every table, but for moments, tokens and places;
- every week that is entered has its output folder, and every output its entry.

Then two offices enter a week at the same moment, and ``railwright process --ledger`` itself is killed around its swap.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from typing import Any

from killed_runs import LISTING, SOURCES, two_weeks
from ledger_kit import (
    BAR,
    CABLE,
    FEET,
    FELT,
    GLUE,
    HELD,
    check_sums,
    contents,
    on_hand,
    piano,
    rows,
    shop_book,
)
from railwright.ledger.connection import opened, transaction
from railwright.ledger.orders import cancel, delivered, open_lines, resume
from railwright.recording import Recording, settle_ledger
from railwright.writing.output_folder import token_of, write_whole

Script = list[dict[str, Any]]

#: Where the kills fall in turn.
MOMENTS = ("anywhere", "around the swap", "committed", "swapped")


def script_of_year(weeks: int, pianos: int, dice: random.Random) -> Script:
    """Draw what happens: by week the surveys that come in, and what the office tells before them."""
    known: dict[str, dict[str, Any]] = {}
    script: Script = []
    feet, bars = 0, 0
    for week in range(weeks):
        surveys = []
        sent: set[str] = set()
        for number in range(pianos):
            kind = dice.choices(["new", "again", "corrected"], [12, 4, 4])[0]
            old = dice.choice(sorted(set(known) - sent)) if kind != "new" and set(known) - sent else ""
            one = dict(known[old]) if old else _new_survey(f"Y-{week:02d}{number:02d}", dice)
            if old and kind == "corrected":
                one = {**_new_survey(old, dice), "version": one["version"] + 1}
            sent.add(one["order"])
            known[one["order"]] = one
            surveys.append(one)
        if dice.random() < 0.15:
            feet, bars = dice.randrange(60), dice.randrange(4)
        told = {name: dice.sample(sorted(known), 1) if dice.random() < share else []
                for name, share in (("cancel", 0.4), ("resume", 0.2))}  # fmt: skip
        script.append({"surveys": surveys, "feet": feet, "bars": bars, "deliver": dice.random(), **told})
    return script


def _new_survey(order: str, dice: random.Random) -> dict[str, Any]:
    lengths = [round(dice.uniform(150, 700), 1) for _ in range(dice.randint(2, 5))]
    held = dice.random() < 0.15
    return {"order": order, "version": 0, "lengths": lengths, "feet": dice.randint(6, 16), "held": held,
            "cable": round(dice.uniform(900, 2200)), "glue": dice.randint(2, 7)}  # fmt: skip


def book_of(week: dict[str, Any]) -> Any:
    """Give the shop book of a week: its figures change with stock-takes only."""
    return shop_book(on_hand(BAR, week["bars"]), FELT, on_hand(FEET, week["feet"]), CABLE, GLUE)


def enter_week(ledger: Path, out: Path, week: dict[str, Any], say: Any = lambda word: None, hold_at: str = "") -> None:
    """Enter one week together with its output folder; hold at one of its moments until the kill comes."""
    pianos = [
        piano(one["order"], *one["lengths"], feet=one["feet"], cable=one["cable"], glue=one["glue"],
              findings=(HELD,) if one["held"] else (), s1_span=300.0 + one["version"])
        for one in week["surveys"]
    ]  # fmt: skip
    with opened(ledger) as connection:
        settle_ledger(connection, lambda sentence: None)
        recording = Recording(connection)
        _hold(recording, hold_at, say)
        if hold_at == MOMENTS[0]:  # so little memory that pages go to the disk before the commit
            connection.execute("PRAGMA cache_size = 10")
            connection.execute("PRAGMA cache_spill = 10")

        def build(target: Path) -> None:
            say("begun")
            made = _planned(recording, pianos, book_of(week), out)
            for name in ("parts-order", "cutting-list", "week"):
                (target / f"{name}.txt").write_text(f"{made.order}\n{made.cutting}\n")

        write_whole(out, build, companion=recording)


def _hold(recording: Recording, moment: str, say: Any) -> None:
    prepare = recording.prepare

    def held() -> None:
        if moment == "committed":
            prepare()
        say("held")
        time.sleep(600)

    if moment in MOMENTS[2:]:
        setattr(recording, "prepare" if moment == "committed" else "done", held)


def _planned(recording: Recording, pianos: Any, book: Any, out: Path) -> Any:
    import ledger_kit

    begin = recording.begin
    recording.begin = lambda folder, _, book, tell: begin(folder, out, book, tell)  # type: ignore[method-assign]
    return ledger_kit.planned(recording, pianos, book)


def tell_office(ledger: Path, week: dict[str, Any]) -> Counter[str]:
    """Tell the ledger what happened before a week; what cannot be is not told."""
    from railwright.ledger.orders import CannotBe

    done = Counter[str]()
    with opened(ledger) as connection:
        settle_ledger(connection, lambda sentence: None)
        runs = [row[0] for row in rows(connection, "SELECT id FROM entry WHERE kind = 'week'")]
        late = [run for run in runs if open_lines(connection, run)]
        calls = [("deliver", lambda: delivered(connection, late[: max(1, int(len(late) * week["deliver"]))], {}))]
        calls += [("cancel", lambda: cancel(connection, week["cancel"]))] if week["cancel"] else []
        calls += [("resume", lambda: resume(connection, week["resume"]))] if week["resume"] else []
        for name, call in calls:
            try:
                with transaction(connection):
                    call()
                done[name] += 1
            except CannotBe:
                continue
    return done


def start(place: Path, ledger: Path, out: Path, number: int, hold_at: str = "") -> subprocess.Popen[str]:
    """Start a process that enters one week."""
    words = ["--enter", str(number), str(place / "script.json"), str(ledger), str(out), hold_at]
    arguments = [sys.executable, __file__, *words]
    return subprocess.Popen(arguments, stdout=subprocess.PIPE, text=True, env=os.environ)


def cut_power(run: subprocess.Popen[str], desk: Path, seconds: float, dice: random.Random, moment: str) -> bool:
    """Kill a run at a moment of its work; say whether it had ended by itself."""
    assert run.stdout is not None
    run.stdout.readline()  # it has begun to write
    if moment in MOMENTS[2:]:
        assert run.stdout.readline() == "held\n"
    elif moment == "around the swap":
        while run.poll() is None and not any(desk.glob(f".*.building-*/{LISTING}")):
            time.sleep(0.0001)
        time.sleep(dice.uniform(0, 0.012))
    else:
        time.sleep(dice.uniform(0, seconds))
    ended = run.poll() is not None
    run.kill()
    run.communicate()
    return ended


def sound(ledger: Path) -> None:
    """See that SQLite finds the file sound."""
    with opened(ledger) as connection:
        assert rows(connection, "PRAGMA integrity_check") == [("ok",)]


def year_with_cuts(place: Path, script: Script, seed: int) -> Counter[str]:
    """Live the year with a power cut a week."""
    dice, told = random.Random(seed), Counter[str]()
    ledger, desk = place / "year.ledger", place / "desk"
    desk.mkdir()
    seconds = 0.5
    for number, week in enumerate(script):
        if number:
            told += tell_office(ledger, week)
        out = desk / f"week-{number:02d}"
        moment = MOMENTS[number % len(MOMENTS)]
        run = start(place, ledger, out, number, moment)
        ended = cut_power(run, desk, seconds, dice, moment)
        told["kills"] += not ended
        journal = ledger.with_name(f"{ledger.name}-journal")
        told["left a journal to roll back"] += journal.exists() and any(journal.read_bytes()[:8])
        sound(ledger)
        with opened(ledger) as connection:
            left = rows(connection, "SELECT token FROM entry WHERE state = 'prepared'")
            stood = bool(left) and token_of(out) == left[0][0]
            told["prepared, output in place"] += stood
            told["prepared, output not in place"] += bool(left) and not stood
        run = start(place, ledger, out, number)
        assert run.stdout is not None
        run.stdout.readline()
        begun = time.perf_counter()
        run.communicate()
        assert run.returncode == 0
        seconds = time.perf_counter() - begun
        with opened(ledger) as connection:
            check_sums(connection)
    return told


def replay(ledger: Path, script: Script, desk: Path) -> None:
    """Live the same year without a cut."""
    desk.mkdir()
    for number, week in enumerate(script):
        if number:
            tell_office(ledger, week)
        enter_week(ledger, desk / f"week-{number:02d}", week)


def feet_wanted(script: Script, cancelled: set[str], connection: Any) -> int:
    """Reckon apart how many feet are in kits: of each order the last survey that was not held, unless cancelled.

    A survey that came while its order was cancelled counts once the order is resumed and it is sent again, so the
    ledger's own list of what is cancelled at each week's end cannot be used; the kits that stand are counted by order.
    """
    wanted = Counter[str]()
    off: set[str] = set()
    for number, week in enumerate(script):
        if number:
            for order in week["cancel"]:
                if order in wanted or order in {one["order"] for each in script[:number] for one in each["surveys"]}:
                    off.add(order)
                    wanted.pop(order, None)
            off -= set(week["resume"])
        for one in week["surveys"]:
            if not one["held"] and one["order"] not in off:
                wanted[one["order"]] = one["feet"]
    assert off == cancelled
    return sum(wanted.values())


def compare(place: Path, script: Script) -> None:
    """Compare the year with its replay, with its outputs, and with what the script wanted."""
    with opened(place / "year.ledger") as year, opened(place / "replay.ledger") as again:
        one, other = contents(year), contents(again)
        for table in one:
            assert one[table] == other[table], f"{table} differs from a replay"
        print(f"Equal to a replay without cuts: {sum(map(len, one.values()))} rows in {len(one)} tables.")
        check_sums(year)
        known = {row[0] for row in rows(year, "SELECT token FROM entry")}
        entered = {row[0] for row in rows(year, "SELECT token FROM entry WHERE kind = 'week'")}
        written = {token for out in (place / "desk").glob("week-*") if (token := token_of(out))}
        assert entered <= written, "an entry without its output"  # a week sent again leaves its output beside
        assert written <= known, "an output without its entry"
        cancelled = {
            str(row[0])
            for row in rows(
                year,
                "SELECT s.order_no FROM current_survey s JOIN cancelled_instrument c USING (instrument_id)",
            )
        }
        (used,) = rows(
            year,
            "SELECT -sum(change) FROM movement m JOIN stock s ON s.id = m.stock_id "
            "WHERE item = 'HF-30' AND kind IN ('used', 'returned')",
        )
        wanted = feet_wanted(script, cancelled, year)
        assert used == (wanted,), f"{used} feet are used, {wanted} wanted"
        print(f"{wanted} feet are in the kits that count: as many left the shelf.")
        bars = rows(year, "SELECT count(*), sum(offcut) FROM bar WHERE kind = 'bar'")[0]
        print(f"{bars[0]} bars cut, {bars[1]} of them offcuts of earlier weeks.")


def two_at_once(place: Path, script: Script) -> None:
    """Let two offices enter a week each at the same moment."""
    ledger = place / "two.ledger"
    first, second = (start(place, ledger, place / f"office-{number}", number) for number in (0, 1))
    first.communicate()
    second.communicate()
    assert (first.returncode, second.returncode) == (0, 0)
    with opened(ledger) as connection:
        check_sums(connection)
        assert rows(connection, "PRAGMA integrity_check") == [("ok",)]
        orders = {one["order"] for week in script[:2] for one in week["surveys"]}
        assert len(rows(connection, "SELECT DISTINCT order_no FROM survey")) == len(orders)
    print("Two offices at once: both weeks are entered, one after the other.")


def real_runs(place: Path, runs: int, seed: int) -> None:
    """Kill ``railwright process --ledger`` itself around its swap."""
    dice, told = random.Random(seed), Counter[str]()
    weeks, desk, ledger = two_weeks(place), place / "real", place / "real.ledger"
    desk.mkdir()
    for number in range(runs):
        out = desk / f"out-{number}"
        arguments = ["process", str(weeks[number % 2]), "-o", str(out), "--ledger", str(ledger)]
        command = [sys.executable, "-m", "railwright", *arguments]
        environment = {**os.environ, "PYTHONPATH": str(SOURCES)}
        run = subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        while run.poll() is None and not any(desk.glob(f".*.building-*/{LISTING}")):
            time.sleep(0.0002)
        time.sleep(dice.uniform(0, 0.02))
        run.kill()
        run.wait()
        if ledger.exists():
            sound(ledger)
        with opened(ledger) as connection:
            settle_ledger(connection, lambda sentence: told.update([" ".join(sentence.split()[-4:])]))
            check_sums(connection)
            assert not rows(connection, "SELECT order_no FROM current_kit GROUP BY order_no HAVING count(*) > 1")
            for row in connection.execute("SELECT out, token FROM entry"):
                assert token_of(Path(row["out"])) == row["token"]
        if token := token_of(out):
            with opened(ledger) as connection:
                assert rows(connection, "SELECT 1 FROM entry WHERE token = ?".replace("?", f"'{token}'"))
    print(
        f"railwright process killed {runs} times around its swap: entry and output go together. Mended: {dict(told)}."
    )


def main() -> None:
    """Live the year and print what was seen."""
    if sys.argv[1:2] == ["--enter"]:
        number, script, ledger, out, hold_at = sys.argv[2:]
        week = json.loads(Path(script).read_text())[int(number)]
        enter_week(Path(ledger), Path(out), week, lambda word: print(word, flush=True), hold_at)
        return
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--weeks", type=int, default=50)
    parser.add_argument("--pianos", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--real", type=int, default=10)
    options = parser.parse_args()
    script = script_of_year(options.weeks, options.pianos, random.Random(options.seed))
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        (place / "script.json").write_text(json.dumps(script))
        begun = time.perf_counter()
        told = year_with_cuts(place, script, options.seed)
        print(
            f"{options.weeks} weeks of {options.pianos} surveys in {time.perf_counter() - begun:.0f} s: {dict(told)}."
        )
        print(f"PRAGMA integrity_check: ok after each of {told['kills']} kills.")
        replay(place / "replay.ledger", script, place / "desk2")
        compare(place, script)
        two_at_once(place, script)
        real_runs(place, options.real, options.seed)


if __name__ == "__main__":
    main()

"""The same files come out however the work is shared out: here, over threads, processes, bounded workers, a cluster."""

import errno
import hashlib
import re
import shutil
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import replace
from multiprocessing import get_context
from pathlib import Path

import distributed
import pytest

from railwright import one_file, pipeline
from railwright.book.default_catalogue import default_shop_book
from railwright.commands.bounded_pool import BoundedPool
from railwright.one_file import WriteTask
from railwright.sharing import Lost, share_out
from railwright.shop.book_file import write_shop_book
from railwright.writing.output_folder import LISTING
from week_of_samples import ROOT, SAMPLES

BOOK = replace(default_shop_book(), name="of the test")
#: Released, to confirm, on hold, with a photo, no survey, no workbook.
FILES = (
    "vennick/K-4101.xlsx",
    "vennick/K-4204.xlsx",
    "quarley/K-4103.xlsx",
    "quarley/K-4202.xlsx",
    "quarley/mileage.xlsx",
    "ferrowby/K-4298.xlsx",
)


@pytest.fixture(scope="module")
def week(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("week")
    for name in FILES:
        (folder / name).parent.mkdir(exist_ok=True)
        shutil.copy(SAMPLES / name, folder / name)
    return folder


@pytest.fixture(scope="module")
def alone(week, tmp_path_factory) -> dict[str, str]:
    """Every file that one process writes, as a fingerprint."""
    return written(week, tmp_path_factory.mktemp("alone") / "out", None)


def written(week: Path, out: Path, executor: Executor | None) -> dict[str, str]:
    pipeline.process(week, out, BOOK, executor=executor)
    return fingerprints(out)


def fingerprints(out: Path) -> dict[str, str]:
    files = (path for path in out.rglob("*") if path.is_file() and path.name != LISTING)
    return {path.relative_to(out).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def test_one_process_writes_every_kind_of_file(alone):
    folders = {name.partition("/")[0] for name in alone}
    assert {"returned", "drawings", "sheets", "fit-cards", "patterns", "questions", "results.json"} <= folders


@pytest.mark.parametrize(
    "executor",
    [
        lambda: ThreadPoolExecutor(2),
        lambda: ProcessPoolExecutor(2, get_context("spawn")),
        lambda: BoundedPool(1, 120.0, 2**29, "railwright.one_file"),
        lambda: BoundedPool(3, 120.0, 2**29, "railwright.one_file"),
    ],
    ids=["threads", "processes", "one bounded worker", "three bounded workers"],
)
def test_any_executor_gives_the_same_files(week, alone, tmp_path, executor):
    with executor() as pool:
        assert written(week, tmp_path / "out", pool) == alone


def test_the_example_of_the_readme_gives_the_same_files_on_a_local_cluster(week, alone, tmp_path, monkeypatch):
    (example,) = re.findall(r"```python\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    write_shop_book(tmp_path / "shop.xlsx", BOOK)
    shutil.copytree(week, tmp_path / "surveys")
    monkeypatch.chdir(tmp_path)
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:
        exec(example.replace("tcp://scheduler:8786", cluster.scheduler_address), {"__name__": "__main__"})
    assert fingerprints(tmp_path / "week") == alone


def test_every_file_is_counted_when_read_and_when_written(week, tmp_path):
    steps = []
    pipeline.process(week, tmp_path / "out", BOOK, progress=steps.append)
    assert [(step.stage, step.done, step.total) for step in steps] == [
        (stage, number, len(FILES)) for stage in ("read", "write") for number in range(1, len(FILES) + 1)
    ]
    assert [step.file for step in steps[: len(FILES)]] == sorted(FILES)


class LosingOneWriter(Executor):
    """Calls here and now, but loses whoever writes the files of one instrument after they are written."""

    def __init__(self, file):
        self.file = file

    def submit(self, fn, /, *args, **kwargs):
        future = Future()
        future.set_result(fn(*args, **kwargs))
        if isinstance(args[0], WriteTask) and self.file in args[0].places.names:
            future = Future()
            future.set_exception(TimeoutError("it took longer than 60 seconds"))
        return future


def test_an_instrument_whose_writing_is_given_up_costs_its_own_files_only(week, alone, tmp_path):
    lost = "vennick/K-4101.xlsx"
    out = tmp_path / "out"
    result, _ = pipeline.process(week, out, BOOK, executor=LosingOneWriter(lost))
    (note,) = (note for note in result.notes if lost in note)
    assert "missing, because writing them took longer than 60 seconds" in note
    files = {path.relative_to(out).as_posix() for path in out.rglob("*") if path.is_file() and path.name != LISTING}
    gone = {name for name in alone if "K-4101" in name}
    assert len(gone) > 5
    assert files == set(alone) - gone


def test_a_fault_in_writing_one_instrument_costs_its_own_files_only(week, alone, tmp_path, monkeypatch):
    ranked = one_file.with_next_readings

    def faulty(instrument, book):
        if instrument.order_no == "K-4204":
            raise LookupError("nobody foresaw this")
        return ranked(instrument, book)

    monkeypatch.setattr(one_file, "with_next_readings", faulty)
    result, _ = pipeline.process(week, tmp_path / "out", BOOK)
    (note,) = (note for note in result.notes if "K-4204" in note)
    assert note.endswith("writing them failed inside railwright (LookupError: nobody foresaw this).")
    left = fingerprints(tmp_path / "out")
    assert [name for name in left if "K-4204" in name] == []
    assert left["returned/vennick/K-4101.xlsx"] == alone["returned/vennick/K-4101.xlsx"]


def test_when_the_plans_find_no_room_nobody_writes_any_more(week, tmp_path, monkeypatch):
    def full(*plans: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(pipeline, "write_plans", full)
    with ThreadPoolExecutor(2) as pool:
        with pytest.raises(OSError, match="No space left"):
            pipeline.process(week, tmp_path / "out", BOOK, executor=pool)
        assert list(tmp_path.iterdir()) == []


def test_what_a_call_raises_is_raised_and_a_bound_loses_that_call_alone():
    assert list(share_out(divmod, [(7, 2), (9, 4)], None)) == [(3, 1), (2, 1)]
    with pytest.raises(ZeroDivisionError):
        list(share_out(divmod, [(1, 0)], None))
    assert list(share_out(_out_of_memory, [()], None)) == [Lost("needed more memory than a survey ever does", True)]


def test_a_time_out_of_the_system_itself_is_no_lost_call():
    with pytest.raises(TimeoutError):
        list(share_out(_network_gone, [()], None))


def _out_of_memory():
    raise MemoryError


def _network_gone():
    raise TimeoutError(110, "Connection timed out")

from concurrent.futures import Executor, Future

from little_surveys import SECTION, little_survey
from railwright import pipeline
from railwright.book.default_catalogue import default_shop_book
from railwright.sharing import packed

#: One section that is the whole keyboard of its piano: quick to compute.
WHOLE = SECTION | {"notes": 20}


class Bounded(Executor):
    """Calls here and now; a file whose name is given ends in that file's fault."""

    def __init__(self, faults):
        self.faults = faults

    def submit(self, fn, /, *args, **kwargs):
        future = Future()
        if fault := self.faults.get(getattr(args[0], "name", None)):
            future.set_exception(fault)
        else:
            future.set_result(fn(*args, **kwargs))
        return future


def rules_of(folder, faults):
    files, _ = pipeline.find_files(folder)
    examined = pipeline.examine_all(folder, files, default_shop_book(), Bounded(faults))
    return [
        [(each.rule, each.message) for each in one.instrument.findings if each.severity == "fix"] for one in examined
    ]


def test_a_file_that_meets_a_bound_is_held_and_the_next_is_read(tmp_path):
    for name in ("a.xlsx", "b.xlsx", "c.xlsx"):
        little_survey(tmp_path / name, WHOLE, order_no=name)
    faults = {"a.xlsx": TimeoutError("it took longer than 60 seconds"), "b.xlsx": MemoryError()}
    ((time,), (memory,), sound) = rules_of(tmp_path, faults)
    assert time[0] == memory[0] == "took_too_much"
    assert "it took longer than 60 seconds" in time[1]
    assert "more memory than a survey" in memory[1]
    assert "took_too_much" not in [rule for rule, _ in sound]


def test_a_file_that_ends_its_worker_is_held_as_a_fault_of_the_program(tmp_path):
    little_survey(tmp_path / "a.xlsx", WHOLE)
    (((rule, message),),) = rules_of(tmp_path, {"a.xlsx": ChildProcessError("its worker process ended (status -11)")})
    assert rule == "failed_inside"
    assert "its worker process ended (status -11)" in message


def test_a_sound_file_is_quiet(tmp_path):
    little_survey(tmp_path / "a.xlsx", WHOLE)
    (found,) = rules_of(tmp_path, {})
    assert "took_too_much" not in [rule for rule, _ in found]


def test_what_a_run_keeps_of_a_file_is_small(tmp_path):
    little_survey(tmp_path / "a.xlsx", WHOLE)
    files, _ = pipeline.find_files(tmp_path)
    (one,) = pipeline.examine_all(tmp_path, files, default_shop_book())
    assert len(packed(one.instrument)) < len(one.whole) / 2

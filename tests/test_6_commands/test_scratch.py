"""What waits in the scratch file comes back as it was, and nothing of the file is left."""

import errno
import pickle
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from railwright import pipeline
from railwright.book.default_catalogue import default_shop_book
from railwright.scratch import Scratch
from railwright.sharing import packed, unpacked
from week_of_samples import SAMPLES


def test_bytes_come_back_in_any_order_and_while_more_are_kept(tmp_path):
    with Scratch(tmp_path) as scratch:
        contents = [bytes([number]) * (1000 * number) for number in range(60)]
        kept = [scratch.keep(content) for content in contents]
        with ThreadPoolExecutor(4) as pool:
            read = pool.map(bytes, [*reversed(kept)] * 20)
            more = [scratch.keep(b"more") for _ in range(100)]
            assert list(read) == [*reversed(contents)] * 20
        assert {bytes(one) for one in more} == {b"more"}


def test_what_is_kept_travels_as_bytes(tmp_path):
    with Scratch(tmp_path) as scratch:
        kept = scratch.keep(packed("a value"))
        travelled = pickle.loads(pickle.dumps(kept))
    assert isinstance(travelled, bytes)
    assert unpacked(travelled) == "a value"


def test_no_file_is_left_whatever_happens(tmp_path):
    with pytest.raises(LookupError), Scratch(tmp_path) as scratch:
        scratch.keep(b"content")
        raise LookupError
    assert list(tmp_path.iterdir()) == []


def test_a_place_that_cannot_be_written_is_told(tmp_path):
    with pytest.raises(OSError, match="missing"):
        Scratch(tmp_path / "missing")


def test_the_output_has_no_scratch_file_and_it_was_closed_before_the_listing(tmp_path, monkeypatch):
    used = []

    class Watched(Scratch):
        def __exit__(self, *reason):
            used.append(self._size)
            super().__exit__(*reason)

    monkeypatch.setattr(pipeline, "Scratch", Watched)
    (tmp_path / "week").mkdir()
    (tmp_path / "week" / "a.xlsx").write_bytes((SAMPLES / "vennick" / "K-4101.xlsx").read_bytes())
    pipeline.process(tmp_path / "week", tmp_path / "out", default_shop_book())
    assert len(used) == 1
    assert used[0] > 1000
    assert [path.name for path in tmp_path.rglob("tmp*")] == []


def test_files_that_nobody_began_are_left_when_nothing_can_be_kept(tmp_path, monkeypatch):
    week, begun = tmp_path / "week", []
    week.mkdir()
    for number in range(30):
        (week / f"{number}.xlsx").write_bytes(b"no workbook")

    class Watched(ThreadPoolExecutor):
        def submit(self, function, *given):
            def slow(*rest):
                begun.append(rest)
                time.sleep(0.02)
                return function(*rest)

            return super().submit(slow, *given)

    def full(_scratch, _content):
        raise OSError(errno.ENOSPC, "no room")

    monkeypatch.setattr(Scratch, "keep", full)
    with Watched(1) as pool:
        with pytest.raises(OSError, match="no room") as failure:
            pipeline.process(week, tmp_path / "out", default_shop_book(), executor=pool)
        told = len(begun)
    assert failure.tb  # whoever keeps the failure keeps nothing waiting
    assert told < 30
    assert len(begun) == told

"""Every kind of broken or hostile file costs a sentence: never a crash, never a long wait, never a guess."""

from __future__ import annotations

import pickle
import time

import pytest

from hostile_files import KINDS, bomb, good, in_directory, with_member
from railwright.reading import limits
from railwright.reading.package import open_package
from railwright.reading.unreadable import Unreadable
from railwright.reading.workbook import read_workbook
from workbook_kit import book_parts, one_sheet, saved, sheet_xml, zipped


def read_everything(path) -> None:
    book = read_workbook(path)
    assert isinstance(book.names, dict)
    for sheet in book.sheets:
        list(book.cells(sheet.name))


def test_there_are_sixty_kinds_at_least():
    assert len(KINDS) >= 60


@pytest.mark.parametrize("kind", KINDS)
def test_a_bad_file_is_named_with_its_remedy(tmp_path, kind):
    make, words = KINDS[kind]
    path = saved(tmp_path, make())
    start = time.process_time()
    with pytest.raises(Unreadable) as caught:
        read_everything(path)
    assert words in caught.value.reason
    assert caught.value.reason.endswith(".")
    assert caught.value.remedy.endswith(".")
    assert time.process_time() - start < 3


@pytest.mark.parametrize("data", [b"a;b\n1;2\n", b"<!doctype html><p>x"])
@pytest.mark.parametrize(
    ("name", "renamed"),
    [("a.csv", False), ("a.html", False), ("a.txt", False), ("a.XLSX", True), ("a.ods", True), ("a", True)],
)
def test_only_a_file_that_is_named_as_a_workbook_was_given_that_name(tmp_path, name, data, renamed):
    (tmp_path / name).write_bytes(data)
    with pytest.raises(Unreadable) as caught:
        read_everything(tmp_path / name)
    assert ("given the name of a workbook" in caught.value.reason) == renamed
    assert ("Take it out of the folder" in caught.value.remedy) != renamed


def test_the_good_file_that_the_bad_ones_are_made_from_is_read(tmp_path):
    read_everything(saved(tmp_path, good()))


@pytest.mark.parametrize(
    "name", ["xl/media/a..b.png", "xl/x..", "docs/", "xl/ünï.bin", "xl\\media\\b.png", "xl/...", "customXml/item 1.xml"]
)
def test_unusual_but_harmless_names_are_read(tmp_path, name):
    read_everything(saved(tmp_path, with_member(name)))


def test_a_directory_with_a_comment_behind_it_is_read(tmp_path):
    data = good()
    read_everything(saved(tmp_path, data[:-2] + b"\x05\x00hello"))


def test_stored_members_are_read(tmp_path):
    read_everything(saved(tmp_path, zipped(book_parts({"S 1": sheet_xml("")}), method=0)))


def test_a_picture_that_shrinks_a_thousandfold_is_allowed_below_the_size_that_matters(tmp_path):
    assert len(open_package(saved(tmp_path, bomb(limits.RATIO_FREE))).members) == 1
    with pytest.raises(Unreadable):
        open_package(saved(tmp_path, bomb(limits.RATIO_FREE + 1)))


def test_members_may_add_up_to_the_limit_but_not_beyond(tmp_path):
    copies = limits.MAX_TOTAL // limits.RATIO_FREE
    assert len(open_package(saved(tmp_path, bomb(limits.RATIO_FREE, copies))).members) == copies
    with pytest.raises(Unreadable, match="unpack"):
        open_package(saved(tmp_path, bomb(limits.RATIO_FREE, copies + 1)))


def test_as_many_members_as_allowed_are_read(tmp_path):
    assert len(open_package(saved(tmp_path, zipped({f"a{n}": b"" for n in range(limits.MAX_MEMBERS)}))).members) == 5000


def test_as_many_cells_as_allowed_are_read(tmp_path):
    rows = "".join(f"<row>{'<c/>' * 1000}</row>" for _ in range(limits.MAX_CELLS // 1000))
    read_everything(saved(tmp_path, one_sheet(rows)))


def test_a_large_sheet_nobody_asks_for_does_no_harm(tmp_path):
    large = "".join(f'<row r="{n}" s="1" customFormat="1" spans="1:16384"/>' for n in range(1, 200_001))
    book = read_workbook(saved(tmp_path, zipped(book_parts({"S 1": sheet_xml(""), "Data": sheet_xml(large)}))))
    assert book.cell("S 1", "A1").kind == "blank"
    with pytest.raises(Unreadable, match="MB"):
        book.cell("Data", "A1")


def test_a_file_beyond_the_size_limit_is_not_even_read(tmp_path):
    path = tmp_path / "large.xlsx"
    with path.open("wb") as out:
        out.truncate(limits.MAX_FILE + 1)
    with pytest.raises(Unreadable, match="at most 100 MB"):
        open_package(path)


def test_a_folder_or_a_missing_file_is_a_sentence(tmp_path):
    for path, words in ((tmp_path, "no file but a folder"), (tmp_path / "gone.xlsx", "could not be read")):
        with pytest.raises(Unreadable, match=words):
            open_package(path)


def test_the_extended_form_of_sizes_is_read(tmp_path):
    """Some programs write the fields for large archives (APPNOTE 4.5.3) into small ones."""
    import io
    import zipfile

    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, content in book_parts({"S 1": sheet_xml("")}).items():
            with archive.open(zipfile.ZipInfo(name), "w", force_zip64=True) as member:
                member.write(content.encode() if isinstance(content, str) else content)
    read_everything(saved(tmp_path, out.getvalue()))


def test_an_extended_size_that_is_missing_is_damage(tmp_path):
    with pytest.raises(Unreadable, match="size of a part is missing"):
        open_package(saved(tmp_path, in_directory(good(), 20, b"\xff" * 4)))


def test_the_error_travels_between_processes():
    copy = pickle.loads(pickle.dumps(Unreadable("A reason.", "A remedy.")))
    assert (copy.reason, copy.remedy) == ("A reason.", "A remedy.")

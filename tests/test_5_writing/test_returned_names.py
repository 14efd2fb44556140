"""A flagged copy never takes the place of another one."""

from little_surveys import SECTION, little_survey
from railwright.book.default_catalogue import default_shop_book
from railwright.one_file import examine
from railwright.writing.instrument_set import write_for_instrument
from railwright.writing.places import Places


def written(tmp_path):
    book = default_shop_book()
    instrument = examine(little_survey(tmp_path / "a.xlsx", SECTION), "a.xlsx", book)
    return write_for_instrument(
        instrument, book, Places({"a.xlsx": "T-1"}, {"A. Person": "A-Person"}), tmp_path, tmp_path / "out"
    )


def test_a_copy_whose_place_is_free_is_made_without_a_word(tmp_path):
    assert written(tmp_path) == ()
    assert (tmp_path / "out" / "returned" / "a.xlsx").exists()


def test_where_the_disk_takes_two_names_for_one_the_second_copy_is_left_out_and_named(tmp_path):
    """So it is where A.xlsx and a.xlsx come from a disk that tells capitals apart to one that does not."""
    (tmp_path / "out" / "returned").mkdir(parents=True)
    (tmp_path / "out" / "returned" / "a.xlsx").write_bytes(b"that of A.xlsx")
    (note,) = written(tmp_path)
    assert note.startswith("a.xlsx: no flagged copy was made")
    assert (tmp_path / "out" / "returned" / "a.xlsx").read_bytes() == b"that of A.xlsx"

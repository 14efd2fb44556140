"""The shop book as a workbook: what is written reads back, and every problem is told with its cell."""

from __future__ import annotations

import shutil
import subprocess
import zipfile
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import load_workbook

from railwright.book.default_catalogue import default_shop_book
from railwright.book.model import ShopBook
from railwright.book.parameters import PARAMETERS
from railwright.shop.book_cells import CellProblem, number
from railwright.shop.book_columns import STOCK
from railwright.shop.book_file import BadShopBook, read_shop_book, write_shop_book
from railwright.shop.book_limits import ABOVE_ZERO, AT_MOST_ONE, ORDERED, WHOLE
from railwright.writing.blank_survey import write_blank


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    target = tmp_path_factory.mktemp("book") / "book.xlsx"
    write_shop_book(target, default_shop_book())
    return target.read_bytes()


@pytest.fixture
def path(tmp_path: Path, written: bytes) -> Path:
    target = tmp_path / "book.xlsx"
    target.write_bytes(written)
    return target


def edited(path: Path, changes: dict[str, object]) -> Path:
    """Change cells given as ``Sheet!A1``."""
    workbook = load_workbook(path)
    for place, value in changes.items():
        sheet, cell = place.split("!")
        workbook[sheet][cell].value = value
    workbook.save(path)
    return path


def own_copy(path: Path) -> ShopBook:
    """The default book as it is read back: named after its file."""
    return replace(default_shop_book(), name=path.stem)


def rule_row(key: str) -> int:
    return 3 + [parameter.key for parameter in PARAMETERS].index(key)


def problems(path: Path) -> list[tuple[str, str, str, str]]:
    with pytest.raises(BadShopBook) as caught:
        read_shop_book(path)
    return [(p.sheet, p.cell, p.expected, p.found) for p in caught.value.problems]


def test_what_is_written_reads_back_the_same(path: Path) -> None:
    assert read_shop_book(path) == (own_copy(path), ())


def test_prices_stay_exact_decimals(tmp_path: Path) -> None:
    book = default_shop_book()
    odd = replace(book.stock[0], price=Decimal("0.1"), length_mm=Decimal("1234.5"))
    write_shop_book(tmp_path / "b.xlsx", replace(book, name="north bench", stock=(odd, *book.stock[1:])))
    read, _ = read_shop_book(tmp_path / "b.xlsx")
    assert (read.name, read.stock[0].price, read.stock[0].length_mm) == (
        "north bench",
        Decimal("0.1"),
        Decimal("1234.5"),
    )


@pytest.mark.parametrize(
    ("typed", "name"), [(None, "north"), ("default", "north"), ("Default ", "north"), ("by the river", "by the river")]
)
def test_a_book_without_a_name_of_its_own_takes_its_files(path: Path, typed: str | None, name: str) -> None:
    north = path.rename(path.with_name("north.xlsx"))
    assert read_shop_book(edited(north, {"Rules!C2": typed}))[0].name == name


def test_the_currency_may_stay_empty_and_the_screw_may_not(path: Path) -> None:
    book, _ = read_shop_book(edited(path, {f"Rules!C{rule_row('currency')}": None}))
    assert book.text("currency") == ""
    row = rule_row("guide_screw")
    assert problems(edited(path, {f"Rules!C{row}": None})) == [("Rules", f"C{row}", "text for guide_screw", "nothing")]


def test_another_workbook_is_told_in_one_sentence(tmp_path: Path) -> None:
    write_blank(tmp_path / "survey.xlsx", "in", 1)
    ((sheet, cell, _, found),) = problems(tmp_path / "survey.xlsx")
    assert (sheet, cell) == ("file", "")
    assert found == "no shop book: it has no sheet Rules, Carriers, Felts, Hardware or Stock"


def test_the_same_book_gives_the_same_bytes(path: Path, tmp_path: Path) -> None:
    write_shop_book(tmp_path / "again.xlsx", default_shop_book())
    assert (tmp_path / "again.xlsx").read_bytes() == path.read_bytes()


def test_limits_speak_of_declared_keys_and_the_default_book_keeps_them() -> None:
    declared = {parameter.key for parameter in PARAMETERS}
    assert ABOVE_ZERO | WHOLE | AT_MOST_ONE | {key for pair in ORDERED for key in pair} <= declared


def test_numbers_typed_as_text_with_a_decimal_comma_are_taken(path: Path) -> None:
    book, _ = read_shop_book(
        edited(path, {f"Rules!C{rule_row('pitch')}": "14,05", "Carriers!D2": " 12,5 ", "Stock!F2": "9,95"})
    )
    assert (book.value("pitch"), book.carriers[0].width_mm, book.stock[0].price) == (14.05, 12.5, Decimal("9.95"))


def test_a_missing_rule_takes_its_declared_value_and_is_named(path: Path) -> None:
    workbook = load_workbook(path)
    workbook["Rules"].delete_rows(rule_row("kerf"))
    workbook.save(path)
    book, notes = read_shop_book(path)
    assert book == own_copy(path)
    assert notes == ("Rules: kerf is not in the sheet; its usual value 1.6 mm is used.",)


def test_a_missing_price_means_that_it_cannot_be_bought(path: Path) -> None:
    book, _ = read_shop_book(edited(path, {"Stock!F2": None}))
    assert book.stock[0].price is None


def test_all_problems_are_told_at_once(path: Path) -> None:
    changes = {
        f"Rules!B{rule_row('kerf')}": "kerv",
        f"Rules!C{rule_row('pitch')}": "wide",
        f"Rules!C{rule_row('lever_force')}": 0,
        "Carriers!D3": -12,
        "Felts!A3": "FE-20",
        "Hardware!C2": "feet",
        "Stock!A4": "RC-X",
        "Stock!E5": 2.5,
    }
    assert [(sheet, cell) for sheet, cell, _, _ in problems(edited(path, changes))][:8] == [
        ("Rules", f"C{rule_row('pitch')}"),
        ("Rules", f"C{rule_row('lever_force')}"),
        ("Rules", f"B{rule_row('kerf')}"),
        ("Carriers", "D3"),
        ("Hardware", "C2"),
        ("Stock", "E5"),
        ("Felts", "A3"),
        ("Stock", "A4"),
    ]


BAD_CELLS = [
    ("Carriers!C2", "hexagon", "one of: flat, round tube, square tube", '"hexagon"'),
    ("Carriers!D2", 0, "a number above 0", "0"),
    ("Carriers!F3", 1, "0 for a flat", "1"),
    ("Carriers!F5", 3, "a wall above 0 and below half of the tube", "3"),
    ("Carriers!E6", 7, "the same as the width (8)", "7"),
    ("Carriers!B2", None, "text", "nothing"),
    ("Hardware!D5", "high", "a number, 0 or more", '"high"'),
    ("Stock!B2", 0, "a size above 0", "0"),
    ("Stock!D3", "g", "bar for an item of Carriers", '"g"'),
    ("Stock!E4", 0, "a whole number from 1", "0"),
    ("Stock!F5", -1, "a price, 0 or more", "-1"),
    ("Stock!F6", "about 9", "a price, 0 or more", '"about 9"'),
    ("Stock!G7", -1, "a whole number, 0 or more", "-1"),
    ("Stock!H8", "perhaps", "yes, no or nothing", '"perhaps"'),
    ("Stock!F10", 3, "no price for an offcut", "3"),
    ("Stock!C12", 0, "a size above 0", "0"),
]


def test_bad_cells_say_what_was_expected_and_found(path: Path) -> None:
    told = problems(edited(path, {place: value for place, value, _, _ in BAD_CELLS}))
    wanted = [(*place.split("!"), expected, found) for place, _, expected, found in BAD_CELLS]
    assert sorted(told) == sorted(wanted)


def test_a_heading_that_is_gone_names_the_column(path: Path) -> None:
    assert problems(edited(path, {"Hardware!D1": "Size"}))[0] == (
        "Hardware",
        "A1",
        'a column headed "Size mm"',
        "no such column",
    )


def test_a_way_to_buy_written_twice(path: Path) -> None:
    rows = {f"Stock!{column}4": load_workbook(path)["Stock"][f"{column}2"].value for column in "ABCDEFGHIJ"}
    assert problems(edited(path, rows)) == [
        ("Stock", "A4", "one line for each way to buy (row 2 is the same)", '"RC-F15"')
    ]


def stock_cell(item: str, heading: str, nth: int = 1) -> str:
    """The address of a default Stock line's cell."""
    lines = [number for number, line in enumerate(default_shop_book().stock, start=2) if line.item == item]
    position = next(n for n, column in enumerate(STOCK.columns) if column.heading == heading)
    return f"Stock!{'ABCDEFGHIJKLMN'[position]}{lines[nth - 1]}"


WAYS_TO_BUY = [
    ({("HF-10", "Least packs"): 3}, None),
    ({("HF-10", "Least packs"): 0}, ("Least packs", "a whole number from 1", "0")),
    ({("HF-10", "Least packs"): 1.5}, ("Least packs", "a whole number from 1", "1.5")),
    ({("HF-10", "Break at packs"): 2, ("HF-10", "Break price"): 13.99}, None),
    ({("HF-10", "Break at packs"): 2}, ("Break price", "the price of a pack from 2 packs on", "nothing")),
    ({("HF-10", "Break price"): 13}, ("Break at packs", "the packs from which the break price holds", "nothing")),
    (
        {("HF-10", "Break at packs"): 2, ("HF-10", "Break price"): 14},
        ("Break price", "a price below 14", "14"),
    ),
    (
        {("HF-10", "Break at packs"): 1, ("HF-10", "Break price"): 13},
        ("Break at packs", "more packs than the least, 1", "1"),
    ),
    (
        {("HF-10", "Break at packs"): 4, ("HF-10", "Break price"): 13, ("HF-10", "Least packs"): 4},
        ("Break at packs", "more packs than the least, 4", "4"),
    ),
    (
        {("HF-10", "Break at packs"): 4, ("HF-10", "Break price"): 13, ("HF-10", "Price"): None},
        ("Price", "the price of a pack below the break", "nothing"),
    ),
]


@pytest.mark.parametrize(("changes", "wrong"), WAYS_TO_BUY)
def test_least_packs_and_breaks_are_whole_bargains_or_a_problem(
    path: Path, changes: dict[tuple[str, str], object], wrong: tuple[str, str, str] | None
) -> None:
    written = edited(path, {stock_cell(*place): value for place, value in changes.items()})
    if wrong is None:
        line = next(line for line in read_shop_book(written)[0].stock if line.item == "HF-10")
        read = {"Least packs": line.least_packs, "Break at packs": line.break_packs, "Break price": line.break_price}
        assert read == dict.fromkeys(read) | {heading: Decimal(str(new)) for (_, heading), new in changes.items()}
    else:
        heading, expected, found = wrong
        cell = stock_cell("HF-10", heading).split("!")[1]
        assert problems(written) == [("Stock", cell, expected, found)]


def test_an_offcut_has_no_way_to_be_bought(path: Path) -> None:
    cells = {heading: stock_cell("RC-S08", heading, 3) for heading in ("Least packs", "Break at packs", "Break price")}
    told = problems(edited(path, dict.fromkeys(cells.values(), 2)))
    assert [(cell, expected) for _, cell, expected, _ in told] == [
        (cells["Least packs"].split("!")[1], "no least packs for an offcut"),
        (cells["Break at packs"].split("!")[1], "no break for an offcut"),
        (cells["Break price"].split("!")[1], "no break for an offcut"),
    ]


@pytest.mark.parametrize(
    ("item", "words", "expected"),
    [
        ("HF-10", "foot of the north bench", None),
        ("HF-10", "screw M2 x 5", "items of one kind, size and unit (HF-10 bears these words too)"),
        ("RC-S08", "tube", "nothing for bars and sheets; each is cut from its own stock"),
        ("FE-20", "felt", "nothing for bars and sheets; each is cut from its own stock"),
    ],
)
def test_only_small_parts_of_one_kind_serve_alike(path: Path, item: str, words: str, expected: str | None) -> None:
    written = edited(path, {stock_cell(item, "Same as"): words})
    if expected is None:
        assert words in {line.same_as for line in read_shop_book(written)[0].stock}
    else:
        assert expected in {told for _, _, told, _ in problems(written)}


def test_an_item_cannot_be_like_two_things(path: Path) -> None:
    twice = {f"Stock!{column}4": load_workbook(path)["Stock"][stock_cell("HW-M2", heading).split("!")[1]].value
             for column, heading in zip("ABCDEF", (c.heading for c in STOCK.columns), strict=False)}  # fmt: skip
    ((_, cell, expected, found),) = problems(edited(path, {**twice, "Stock!E4": 7, "Stock!N4": "screw, short"}))
    where = stock_cell("HW-M2", "Same as").split("!")[1]
    assert (cell, expected, found) == (
        where,
        'the same words on every line of HW-M2 ("screw, short")',
        '"screw M2 x 5"',
    )


def test_a_book_without_the_newer_columns_reads_with_a_note(path: Path) -> None:
    workbook = load_workbook(path)
    workbook["Stock"].delete_cols(11, 4)
    workbook.save(path)
    book, notes = read_shop_book(path)
    plain = {"least_packs": None, "break_packs": None, "break_price": None, "same_as": ""}
    assert book.stock == tuple(replace(line, **plain) for line in default_shop_book().stock)
    assert notes == ('Stock: no column "Least packs", "Break at packs", "Break price", "Same as"; taken as blank.',)


def test_values_just_inside_their_limits_pass(path: Path) -> None:
    changes = {"Carriers!F5": 2.99, "Stock!G2": 0, "Stock!F2": 0, f"Rules!C{rule_row('working')}": 1, "Stock!H2": "no"}
    book, notes = read_shop_book(edited(path, changes))
    assert (book.carriers[3].wall_mm, book.value("working"), notes) == (2.99, 1.0, ())


def test_rule_values_out_of_sense(path: Path) -> None:
    wrong = {
        "kerf": (-0.1, "0 or more for kerf"),
        "working": (1.1, "at most 1 for working"),
        "screws_per_station": (1.5, "a whole number for screws_per_station"),
        "angle_high": (181, "at most 180 degrees for angle_high"),
        "pitch_low": (15.5, "pitch_low below pitch_high (15.5)"),
        "guide_screw": (None, "text for guide_screw"),
    }
    told = problems(edited(path, {f"Rules!C{rule_row(key)}": value for key, (value, _) in wrong.items()}))
    places = {(cell, expected) for _, cell, expected, _ in told}
    assert {(f"C{rule_row(key)}", expected) for key, (_, expected) in wrong.items()} <= places


def test_a_guide_rail_screw_of_unknown_head_size_is_a_problem(path: Path) -> None:
    place = f"Rules!C{rule_row('guide_screw')}"
    ((_, cell, expected, found),) = problems(edited(path, {place: "M4 as found"}))
    assert (cell, found) == (f"C{rule_row('guide_screw')}", '"M4 as found"')
    assert "ISO 7046 M4" in expected and expected.endswith("for guide_screw")
    book, _ = read_shop_book(edited(path, {place: "ASME B18.6.1 No. 8"}))
    assert book.text("guide_screw") == "ASME B18.6.1 No. 8"


def test_a_unit_that_was_changed_is_a_problem(path: Path) -> None:
    told = problems(edited(path, {f"Rules!D{rule_row('pitch')}": "in"}))
    assert told == [("Rules", f"D{rule_row('pitch')}", 'the unit "mm" of pitch', '"in"')]


def test_a_key_twice_a_sheet_missing_and_a_formula_without_result(path: Path) -> None:
    changes = {f"Rules!B{rule_row('kerf')}": "pitch", "Felts!C2": "=1+1"}
    workbook = load_workbook(edited(path, changes))
    del workbook["Hardware"]
    workbook.save(path)
    told = {(sheet, cell) for sheet, cell, _, _ in problems(path)}
    assert {("Rules", f"B{rule_row('kerf')}"), ("Hardware", ""), ("Felts", "C2")} <= told


def test_columns_may_stand_in_another_order_and_extra_ones_are_named(path: Path) -> None:
    workbook = load_workbook(path)
    workbook["Felts"].insert_cols(1)
    workbook["Felts"]["A1"].value = "Remark"
    workbook.create_sheet("Scratch")
    workbook.save(path)
    book, notes = read_shop_book(path)
    assert book == own_copy(path)
    assert notes == ("The sheet Scratch is not used.", 'Felts!A1: the column "Remark" is not used.')


@pytest.mark.skipif(not shutil.which("soffice"), reason="needs an office program")
def test_a_book_that_an_office_program_saved_reads_the_same(path: Path, tmp_path: Path) -> None:
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    command = ["soffice", "--headless", profile, "--convert-to", "xlsx", "--outdir", str(tmp_path / "saved"), str(path)]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    assert read_shop_book(tmp_path / "saved" / path.name) == (own_copy(path), ())


@pytest.mark.parametrize("content", [b"", b"item;name", b"PK\x03\x04 broken"])
def test_a_file_that_is_no_workbook_is_one_sentence(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "x.xlsx").write_bytes(content)
    assert [(sheet, cell) for sheet, cell, _, _ in problems(tmp_path / "x.xlsx")] == [("file", "")]


def test_a_zip_that_is_no_workbook_and_a_file_that_is_not_there(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "x.xlsx", "w") as archive:
        archive.writestr("readme.txt", "hello")
    assert "cannot be read" in problems(tmp_path / "x.xlsx")[0][3]
    assert "cannot be opened" in problems(tmp_path / "none.xlsx")[0][3]


@pytest.mark.parametrize("content", ["1e5", "1.234,5", "12 mm", "", "--1", True, "nan", float("inf"), 10**12])
def test_what_is_no_number(content: object) -> None:
    with pytest.raises(CellProblem):
        number(content)

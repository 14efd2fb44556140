from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook

from railwright.reading.jobs import BadJobList, Job, read_jobs

LIST = (
    "order_no,site,technician,needed_by,maker,model,serial,unit,sections\n"
    "K-1,Elm hall,A. Person,2031-04-09,Examplar,E5,0123,mm,5\n"
)
JOB = Job("K-1", "Elm hall", "A. Person", date(2031, 4, 9), "Examplar", "E5", "0123", "mm", 5)


def listed(path, content, name="jobs.csv"):
    file = path / name
    file.write_bytes(content if isinstance(content, bytes) else content.encode())
    return read_jobs(file)


def sheet(path, *rows):
    book = Workbook()
    for row in rows:
        book.active.append(row)
    book.save(path / "jobs.xlsx")
    return read_jobs(path / "jobs.xlsx")


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_separators_and_encodings_of_office_programs(tmp_path, separator, encoding):
    content = LIST.replace("Elm hall", "Übungssaal").replace(",", separator).encode(encoding)
    assert listed(tmp_path, content).jobs[0].site == "Übungssaal"


def test_a_whole_line(tmp_path):
    found = listed(tmp_path, LIST)
    assert (found.jobs, found.troubles) == ((JOB,), ())


def test_columns_may_come_in_any_order_and_capitals_and_be_fewer(tmp_path):
    found = listed(tmp_path, "Colour;Technician;ORDER NO\nblack;A. Person;7\n")
    assert found.jobs == (Job("7", technician="A. Person"),)


def test_a_spreadsheet_brings_days_and_numbers(tmp_path):
    found = sheet(tmp_path, ["order_no", "needed_by", "sections", "serial"], [1042, datetime(2031, 4, 9), 3, "0012"])
    assert found.jobs == (Job("1042", needed_by=date(2031, 4, 9), sections=3, serial="0012"),)


def test_an_order_number_that_became_a_day_is_told(tmp_path):
    found = sheet(tmp_path, ["order_no", "site"], [datetime(2031, 12, 3), "Elm hall"])
    assert found.jobs == ()
    assert "12/3 or 3/12" in found.troubles[0]


@pytest.mark.parametrize(
    "line, words",
    [
        (",Elm hall,,,", "Line 2: the order number is missing."),
        ("K-1,,3/4/2031,,", "Line 2: needed_by: expected a day as year-month-day, found “3/4/2031”."),
        ("K-1,,,cm,", "Line 2: unit: expected in or mm, found “cm”."),
        ("K-1,,,,0", "Line 2: sections: expected 1 to 6, found “0”."),
        ("K-1,,,,7", "Line 2: sections: expected 1 to 6, found “7”."),
        ("K-1,,,,many", "Line 2: sections: expected 1 to 6, found “many”."),
    ],
)
def test_a_bad_line_is_left_out_and_named(tmp_path, line, words):
    found = listed(tmp_path, f"order_no,site,needed_by,unit,sections\n{line}\nK-2,,,,6\n")
    assert [job.order_no for job in found.jobs] == ["K-2"]
    assert len(found.troubles) == 1 and found.troubles[0].startswith(words)


@pytest.mark.parametrize("again", ["K-1", "k-1", " K-1 "])
def test_an_order_number_stands_once(tmp_path, again):
    found = listed(tmp_path, f"order_no\nK-1\nK-2\n{again}\n")
    assert [job.order_no for job in found.jobs] == ["K-1", "K-2"]
    assert "stands in line 2 already" in found.troubles[0] and found.troubles[0].startswith("Line 4")


def test_blank_lines_are_no_trouble(tmp_path):
    found = listed(tmp_path, "order_no,site\n\nK-1,x\n,\n\n")
    assert (len(found.jobs), found.troubles) == (1, ())


@pytest.mark.parametrize(
    "content, name, words",
    [
        ("", "jobs.csv", "holds no list"),
        (b"\x00\x01\x02", "jobs.csv", "holds no list"),
        ("name,site\nx,y\n", "jobs.csv", "expected a column order_no"),
        ("order_no,site\nK-1,Hall, Elm,more\n", "jobs.csv", "more columns than its headings"),
        ("order_no,site\nK-1,x\nK-2,Hall, Elm\n", "jobs.csv", "more columns than its headings"),
        ("order_no\nK-1\n", "jobs.txt", "a .csv or an .xlsx"),
        ("order_no\nK-1\n", "jobs.xlsx", "jobs.xlsx"),
    ],
)
def test_what_is_no_list_is_refused_with_a_sentence(tmp_path, content, name, words):
    with pytest.raises(BadJobList, match=words):
        listed(tmp_path, content, name)


@given(st.binary(max_size=200))
def test_no_bytes_break_the_reader(tmp_path_factory, content):
    path = tmp_path_factory.getbasetemp() / "any.csv"
    path.write_bytes(content)
    try:
        assert read_jobs(path).jobs is not None
    except BadJobList as refusal:
        assert "any.csv" in str(refusal)


def test_a_column_that_nobody_reads_is_named(tmp_path):
    path = tmp_path / "jobs.csv"
    path.write_text("order_no,colour,need_by\nT-1,black,2031-04-01\n", encoding="utf-8")
    listed = read_jobs(path)
    assert [job.order_no for job in listed.jobs] == ["T-1"]
    assert "colour, need_by" in listed.troubles[0]
    assert "needed_by" in listed.troubles[0]

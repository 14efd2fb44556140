"""A flagged copy differs from its source in the flags and in nothing else."""

from __future__ import annotations

import re

import openpyxl
import pytest
from lxml import etree

from feature_books import BOOKS, COMMENTS, COMMENTS_TYPE, ROWS, attach, base, declared
from railwright.reading.workbook import read_workbook
from railwright.writing.patching.flag_copy import flag_copy
from railwright.writing.patching.flags import FindingRow, FindingsSheet, Flag
from railwright.writing.patching.marks import FILLS, MARK, is_ours
from railwright.writing.patching.sheet_draft import WORKSHEET_ORDER
from workbook_kit import MAIN, members, saved, sheet_xml, zipped

FLAGS = [
    Flag("S 1", "B2", "confirm", "the run looks like eight spaces", "C2", "read the run again"),
    Flag("S 1", "B2", "fix", "=the span\nis missing"),
    Flag("S 1", "B7", "note", "@optional, left blank"),
]
ROWS_OF_LIST = [FindingRow(flag.severity, flag.sheet, flag.cell, "Span", flag.note) for flag in FLAGS]
LIST = FindingsSheet("Order 17: three findings", ROWS_OF_LIST)
NOTHING = FindingsSheet("Order 17: no findings")

MAY_CHANGE = re.compile(
    r"\[Content_Types\]\.xml|xl/workbook\.xml|xl/_rels/workbook\.xml\.rels|xl/styles\.xml|xl/worksheets/sheet[13]\.xml"
    r"|xl/worksheets/_rels/sheet[13]\.xml\.rels|xl/comments1?/?\w*\.xml|xl/drawings/(vmlDrawing1|commentsDrawing1|anysvml)\.vml"
)
# openpyxl cannot open the strict form at all; everything else it must open.
OPENPYXL_OPENS = [name for name in BOOKS if name != "strict"]


def flagged(tmp_path, data: bytes, flags=FLAGS, rows=LIST, name="copy.xlsx"):
    source = saved(tmp_path, data, "source.xlsx")
    target = tmp_path / name
    problems = flag_copy(source, target, flags, rows)
    assert source.read_bytes() == data
    return target, problems


@pytest.mark.parametrize("book", BOOKS)
def test_every_other_member_is_copied_byte_for_byte(tmp_path, book):
    target, _ = flagged(tmp_path, BOOKS[book]())
    before, after = members(tmp_path / "source.xlsx"), members(target)
    changed = {name for name in before if after.get(name) != before[name]}
    assert [name for name in changed if not MAY_CHANGE.fullmatch(name)] == []
    assert "xl/worksheets/sheet1.xml" in changed
    assert list(before) == list(after)[: len(before)]


def raw_members(path) -> dict[str, bytes]:
    data = path.read_bytes()
    return {member.name: data[member.start : member.end] for member in read_workbook(path).package.members}


def test_untouched_members_keep_their_headers_and_packed_bytes_too(tmp_path):
    target, _ = flagged(tmp_path, BOOKS["photo"]())
    before, after = raw_members(tmp_path / "source.xlsx"), raw_members(target)
    for name in ("xl/media/image1.jpeg", "xl/drawings/drawing1.xml", "xl/worksheets/sheet2.xml", "_rels/.rels"):
        assert after[name] == before[name]


@pytest.mark.parametrize("book", BOOKS)
def test_a_second_run_gives_the_same_file(tmp_path, book):
    first, problems = flagged(tmp_path, BOOKS[book]())
    assert flag_copy(first, tmp_path / "second.xlsx", FLAGS, LIST) == problems
    assert (tmp_path / "second.xlsx").read_bytes() == first.read_bytes()


@pytest.mark.parametrize("book", BOOKS)
def test_corrected_cells_lose_their_flags(tmp_path, book):
    first, _ = flagged(tmp_path, BOOKS[book]())
    assert flag_copy(first, tmp_path / "clean.xlsx", [], NOTHING) == flagged(tmp_path, BOOKS[book](), [], NOTHING)[1]
    text = {
        name: content for name, content in members(tmp_path / "clean.xlsx").items() if name.endswith((".xml", ".vml"))
    }
    sheets = {name: content for name, content in text.items() if "sheet3" not in name}
    assert [name for name, content in sheets.items() if MARK.encode() in content] == []
    source = read_workbook(tmp_path / "source.xlsx")
    clean = read_workbook(tmp_path / "clean.xlsx")
    assert list(clean.cells("S 1")) == list(source.cells("S 1"))
    assert [name for name in clean.names if name.startswith("railwright_flag")] == []


def styles_of(path, sheet="xl/worksheets/sheet1.xml") -> dict[str, str]:
    return dict(re.findall(rb'<(?:x:)?c r="(\w+)" s="(\d+)"', members(path)[sheet]))


def test_a_flagged_cell_gets_its_very_style_back(tmp_path):
    first, _ = flagged(tmp_path, BOOKS["plain"]())
    assert styles_of(first)[b"B2"] != styles_of(tmp_path / "source.xlsx")[b"B2"]
    flag_copy(first, tmp_path / "clean.xlsx", [], NOTHING)
    assert styles_of(tmp_path / "clean.xlsx") == styles_of(tmp_path / "source.xlsx")


@pytest.mark.parametrize("book", OPENPYXL_OPENS)
def test_openpyxl_sees_the_flags(tmp_path, book):
    target, _ = flagged(tmp_path, BOOKS[book]())
    sheet = openpyxl.load_workbook(target)["S 1"]
    assert sheet["B2"].value == 308.5
    assert sheet["B2"].fill.fgColor.rgb == "FF" + FILLS["fix"]
    assert sheet["B7"].fill.fgColor.rgb == "FF" + FILLS["note"]
    assert sheet["C2"].value == "Confirm: read the run again [railwright]"


@pytest.mark.parametrize("book", [name for name in OPENPYXL_OPENS if name != "conversation"])
def test_notes_begin_with_a_word_and_the_worst_comes_first(tmp_path, book):
    target, problems = flagged(tmp_path, BOOKS[book]())
    text = openpyxl.load_workbook(target)["S 1"]["B2"].comment.text
    assert text.endswith(
        "Fix: =the span is missing [railwright]\nConfirm: the run looks like eight spaces [railwright]"
    )
    assert problems == [] or book == "signed"


@pytest.mark.parametrize("book", OPENPYXL_OPENS)
def test_the_list_of_findings_is_the_last_sheet(tmp_path, book):
    target, _ = flagged(tmp_path, BOOKS[book]())
    loaded = openpyxl.load_workbook(target)
    assert loaded.sheetnames == ["S 1", "Other", "Findings"]
    lines = [[cell.value for cell in row[:5]] for row in loaded["Findings"].iter_rows(min_row=3)]
    assert lines == [
        ["Severity", "Sheet", "Cell", "Field", "What to do"],
        ["Confirm", "S 1", "B2", "Span", "the run looks like eight spaces"],
        ["Fix", "S 1", "B2", "Span", "=the span\nis missing"],
        ["Note", "S 1", "B7", "Span", "@optional, left blank"],
    ]
    assert loaded["Findings"]["A1"].value == "Order 17: three findings"


@pytest.mark.parametrize("book", BOOKS)
def test_children_of_a_sheet_stand_in_the_order_of_the_schema(tmp_path, book):
    target, _ = flagged(tmp_path, BOOKS[book]())
    for number in (1, 3):
        root = etree.fromstring(members(target)[f"xl/worksheets/sheet{number}.xml"])
        names = [etree.QName(child).localname for child in root]
        places = [WORKSHEET_ORDER.index(name) for name in names if name != "AlternateContent"]
        assert places == sorted(places)


@pytest.mark.parametrize("book", BOOKS)
def test_every_part_has_a_content_type_and_every_link_an_end(tmp_path, book):
    target, _ = flagged(tmp_path, BOOKS[book]())
    package = read_workbook(target).package
    types = members(target)["[Content_Types].xml"].decode()
    for name in members(target).keys() - members(tmp_path / "source.xlsx").keys():
        extension = name.rpartition(".")[2]
        assert f'PartName="/{name}"' in types or (extension != "xml" and f'Extension="{extension}"' in types)
    for name in ("xl/workbook.xml", "xl/worksheets/sheet1.xml", "xl/worksheets/sheet3.xml"):
        assert [link for link in package.relationships(name) if not package.has(link.target)] == [] or book == "macros"


def test_a_note_of_the_technician_is_kept_and_added_to(tmp_path):
    target, _ = flagged(tmp_path, BOOKS["notes"]())
    comment = openpyxl.load_workbook(target)["S 1"]["B2"].comment
    assert comment.author == "A. Technician"
    assert comment.text.startswith("A. Technician:\nread twice\nFix: ")
    flag_copy(target, tmp_path / "clean.xlsx", [], NOTHING)
    assert openpyxl.load_workbook(tmp_path / "clean.xlsx")["S 1"]["B2"].comment.text == "A. Technician:\nread twice"


def test_what_a_technician_writes_into_our_note_is_kept(tmp_path):
    target, _ = flagged(tmp_path, BOOKS["plain"]())
    content = members(target)
    content["xl/comments1.xml"] = content["xl/comments1.xml"].replace(
        b"[railwright]</t>", b"[railwright] done, it is 7\nA. T.</t>", 1
    )
    returned = saved(tmp_path, zipped(content), "returned.xlsx")
    flag_copy(returned, tmp_path / "clean.xlsx", [], NOTHING)
    assert openpyxl.load_workbook(tmp_path / "clean.xlsx")["S 1"]["B2"].comment.text == " done, it is 7\nA. T."
    assert openpyxl.load_workbook(tmp_path / "clean.xlsx")["S 1"]["B7"].comment is None


def test_the_box_of_a_note_grows_with_it_and_the_button_beside_it_stays(tmp_path):
    target, _ = flagged(tmp_path, BOOKS["notes"]())
    before = members(tmp_path / "source.xlsx")["xl/drawings/vmlDrawing1.vml"].decode()
    after = members(target)["xl/drawings/vmlDrawing1.vml"].decode()
    assert before[before.index("_x0000_s3074") : -len("</xml>")] in after
    assert "<x:Anchor>2, 15, 0, 10, 4, 15, 4, 4</x:Anchor>" not in after
    assert after.count('ObjectType="Note"') == 2
    assert len(set(re.findall(r'id="(_x0000_s\d+)"', after))) == 3


def test_a_conversation_is_left_alone_and_named(tmp_path):
    target, problems = flagged(tmp_path, BOOKS["conversation"]())
    assert len(problems) == 1
    assert "B2" in problems[0]
    assert "conversation" in problems[0]
    assert openpyxl.load_workbook(target)["S 1"]["B2"].comment.text == "A. Technician:\nread twice"


def test_a_broken_signature_is_named(tmp_path):
    _, problems = flagged(tmp_path, BOOKS["signed"]())
    assert problems == ["The workbook was signed digitally; the signature does not hold for the flagged copy."]


def test_a_remark_never_replaces_what_somebody_wrote(tmp_path):
    rows = ROWS.replace(
        '</c></row><row r="7">', '</c><c r="C2" t="inlineStr"><is><t>my own</t></is></c></row><row r="7">'
    )
    target, problems = flagged(tmp_path, zipped(base(rows=rows)))
    assert read_workbook(target).cell("S 1", "C2").value == "my own"
    assert len(problems) == 1
    assert "C2" in problems[0]


@pytest.mark.parametrize("content", ["<v>0</v>", "<f>1+1</f>", "<f>1+1</f><v>2</v>"])
def test_a_number_or_a_formula_is_no_empty_cell(tmp_path, content):
    rows = f'<row r="2"><c r="B2"/><c r="C2">{content}</c></row>'
    _, problems = flagged(tmp_path, zipped(base(rows=rows)))
    assert len(problems) == 1


def test_text_that_looks_like_a_formula_stays_text(tmp_path):
    flags = [
        Flag("S 1", "B2", "fix", "x", f"D{n}", text)
        for n, text in enumerate(("=1+1", "+1", "-1", "@SUM(A1)", "\t=1"), 1)
    ]
    rows = [FindingRow("fix", "=S", "=A1", "=cmd|' /C calc'!A0", '=HYPERLINK("http://example.invalid")')]
    target, _ = flagged(tmp_path, BOOKS["plain"](), flags, FindingsSheet("=1+1", rows))
    loaded = openpyxl.load_workbook(target)
    cells = [cell for sheet in (loaded["S 1"], loaded["Findings"]) for row in sheet.iter_rows() for cell in row]
    assert [cell for cell in cells if cell.data_type == "f"] == []
    assert b"<f>" not in members(target)["xl/worksheets/sheet3.xml"]


@pytest.mark.parametrize(
    "text", ["<b>&\"'", "a\x00b\x0b", "_x000D_", "\ud800 \ufffe", "é 大阪 😀", "]]>", "x" * 40_000]
)
def test_any_text_makes_a_whole_file(tmp_path, text):
    rows = [FindingRow("note", text, "B2", text, text)]
    target, _ = flagged(
        tmp_path, BOOKS["plain"](), [Flag("S 1", "B2", "fix", text, "C2", text)], FindingsSheet(text, rows)
    )
    openpyxl.load_workbook(target)
    shown = read_workbook(target).cell("Findings", "E4").value
    assert shown == text.replace("\ud800", "\ufffd").replace("\ufffe", "\ufffd")[:32_767]


def test_a_flag_inside_a_merge_marks_its_top_left_cell(tmp_path):
    flags = [Flag("S 1", "E1", "fix", "x", "F1", "y")]
    target, problems = flagged(tmp_path, BOOKS["printing"](), flags)
    assert problems == []
    sheet = openpyxl.load_workbook(target)["S 1"]
    assert sheet["D1"].fill.fgColor.rgb == "FF" + FILLS["fix"]
    assert is_ours(sheet["D1"].value)


def test_a_new_cell_wears_the_style_of_its_column_or_row(tmp_path):
    rows = '<row r="2"><c r="B2"><v>1</v></c></row><row r="9" s="1" customFormat="1"/>'
    sheet = sheet_xml(rows, before='<cols><col min="4" max="6" style="5" width="9"/></cols>')
    parts = base()
    parts["xl/worksheets/sheet1.xml"] = sheet
    flags = [Flag("S 1", cell, "fix", "x") for cell in ("E5", "E9", "G5")]
    target, _ = flagged(tmp_path, zipped(parts), flags)
    shown = openpyxl.load_workbook(target)["S 1"]
    assert [shown[cell].number_format for cell in ("E5", "E9", "G5")] == ["# ?/?", "yyyy\\-mm\\-dd", "General"]


def test_a_place_that_does_not_exist_is_named(tmp_path):
    flags = [Flag("Nowhere", "B2", "fix", "x"), Flag("S 1", "B0", "fix", "x"), Flag("S 1", "B2", "fix", "x", "??", "y")]
    _, problems = flagged(tmp_path, BOOKS["plain"](), flags)
    assert len(problems) == 3


def test_a_sheet_of_the_technician_called_findings_is_left_alone(tmp_path):
    parts = base()
    parts["xl/workbook.xml"] = str(parts["xl/workbook.xml"]).replace('name="Other"', 'name="findings"')
    target, _ = flagged(tmp_path, zipped(parts))
    assert [sheet.name for sheet in read_workbook(target).sheets] == ["S 1", "findings", "Findings (2)"]
    flag_copy(target, tmp_path / "second.xlsx", FLAGS, LIST)
    assert (tmp_path / "second.xlsx").read_bytes() == target.read_bytes()


@pytest.mark.parametrize("part", ["xl/worksheets/sheet2.xml", "xl/worksheets/_rels/sheet2.xml.rels"])
def test_a_damaged_sheet_that_nobody_asks_for_stays_as_it_is(tmp_path, part):
    """Found by feeding damaged parts: the first run never looked at it, the second refused the whole workbook."""
    first, problems = flagged(tmp_path, zipped(base() | {part: b"5"}))
    assert flag_copy(first, tmp_path / "second.xlsx", FLAGS, LIST) == problems == []
    assert (tmp_path / "second.xlsx").read_bytes() == first.read_bytes()
    assert members(first)[part] == b"5"


def test_an_answer_beside_the_list_is_handed_over(tmp_path):
    target, _ = flagged(tmp_path, BOOKS["plain"]())
    content = members(target)
    answer = b'<c r="F4" t="inlineStr"><is><t>it is seven</t></is></c><c r="Z4"'
    content["xl/worksheets/sheet3.xml"] = content["xl/worksheets/sheet3.xml"].replace(b'<c r="Z4"', answer)
    problems = flag_copy(saved(tmp_path, zipped(content), "returned.xlsx"), tmp_path / "second.xlsx", FLAGS, LIST)
    assert problems == ["Sheet 'Findings' held an answer in F4: 'it is seven'."]


def test_a_deleted_list_costs_the_former_fill_and_is_named(tmp_path):
    target, _ = flagged(tmp_path, BOOKS["plain"]())
    content = members(target)
    content["xl/workbook.xml"] = re.sub(rb'<sheet name="Findings"[^>]*>', b"", content["xl/workbook.xml"]).replace(
        b"Findings!$A$1", b"#REF!"
    )
    problems = flag_copy(saved(tmp_path, zipped(content), "returned.xlsx"), tmp_path / "clean.xlsx", [], NOTHING)
    assert len(problems) == 1
    assert "2 cells" in problems[0]
    assert "former fill" in problems[0]
    assert openpyxl.load_workbook(tmp_path / "clean.xlsx")["S 1"]["B2"].fill.fill_type is None


def test_a_marked_cell_that_was_copied_elsewhere_loses_our_fill_and_is_named(tmp_path):
    target, _ = flagged(tmp_path, BOOKS["plain"](), [Flag("S 1", "B2", "fix", "x")])
    content = members(target)
    style = dict(re.findall(rb'<c r="(\w+)" s="(\d+)"', content["xl/worksheets/sheet1.xml"]))[b"B2"]
    content["xl/worksheets/sheet2.xml"] = content["xl/worksheets/sheet2.xml"].replace(
        b'r="A1"', b'r="A1" s="%s"' % style
    )
    problems = flag_copy(saved(tmp_path, zipped(content), "returned.xlsx"), tmp_path / "clean.xlsx", [], NOTHING)
    assert len(problems) == 1
    assert "1 cell was marked" in problems[0]
    book = openpyxl.load_workbook(tmp_path / "clean.xlsx")
    assert book["S 1"]["B2"].fill.fgColor.rgb == "FFFFFF99"
    assert book["Other"]["A1"].fill.fill_type is None


def test_a_copy_whose_names_were_lost_is_still_recognised(tmp_path):
    """Some programs keep no hidden names: list, notes, remarks and fills are replaced all the same."""
    target, _ = flagged(tmp_path, BOOKS["plain"]())
    content = members(target)
    names = re.compile(rb"<definedNames>.*</definedNames>", re.DOTALL)
    content["xl/workbook.xml"] = names.sub(b"", content["xl/workbook.xml"])
    returned = saved(tmp_path, zipped(content), "returned.xlsx")
    assert flag_copy(returned, tmp_path / "second.xlsx", FLAGS, LIST) == []
    book = openpyxl.load_workbook(tmp_path / "second.xlsx")
    assert book.sheetnames == ["S 1", "Other", "Findings"]
    assert book["S 1"]["B2"].comment.text.count(MARK) == 2
    assert book["S 1"]["C2"].value.count(MARK) == 1
    assert flag_copy(returned, tmp_path / "clean.xlsx", [], NOTHING) == []
    assert openpyxl.load_workbook(tmp_path / "clean.xlsx")["S 1"]["B2"].fill.fgColor.rgb == "FFFFFF99"


def test_flags_follow_rows_that_were_moved(tmp_path):
    """Names move with their cells: here two rows were put in above, as an office program would do it."""
    target, _ = flagged(tmp_path, BOOKS["plain"](), [Flag("S 1", "B2", "fix", "x")])
    content = members(target)
    sheet = content["xl/worksheets/sheet1.xml"]
    content["xl/worksheets/sheet1.xml"] = re.sub(rb'(<row r="|<c r="[AB])2"', rb'\g<1>4"', sheet)
    content["xl/workbook.xml"] = content["xl/workbook.xml"].replace(b"$B$2", b"$B$4")
    content["xl/comments1.xml"] = content["xl/comments1.xml"].replace(b'"B2"', b'"B4"')
    returned = saved(tmp_path, zipped(content), "returned.xlsx")
    flag_copy(returned, tmp_path / "second.xlsx", [Flag("S 1", "B7", "note", "x")], LIST)
    shown = openpyxl.load_workbook(tmp_path / "second.xlsx")["S 1"]
    fills = {cell: shown[cell].fill.fgColor.rgb for cell in ("B2", "B4", "B7")}
    assert fills == {"B2": "00000000", "B4": "FFFFFF99", "B7": "FF" + FILLS["note"]}
    assert [cell for cell in fills if shown[cell].comment] == ["B7"]


def test_the_source_is_never_the_target(tmp_path):
    source = saved(tmp_path, BOOKS["plain"]())
    with pytest.raises(ValueError, match="must not replace"):
        flag_copy(source, source, FLAGS, LIST)


def test_a_target_that_cannot_be_written_leaves_nothing_behind(tmp_path):
    source = saved(tmp_path, BOOKS["plain"](), "source.xlsx")
    (tmp_path / "out" / "copy.xlsx").mkdir(parents=True)
    with pytest.raises(OSError):
        flag_copy(source, tmp_path / "out" / "copy.xlsx", FLAGS, LIST)
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["copy.xlsx"]


def test_a_name_as_long_as_the_file_system_allows_is_written(tmp_path):
    target, _ = flagged(tmp_path, BOOKS["plain"](), name="x" * 250 + ".xlsx")
    assert target.exists()


def test_a_full_disk_leaves_the_old_copy_whole(tmp_path, monkeypatch):
    source = saved(tmp_path, BOOKS["plain"](), "source.xlsx")
    old = saved(tmp_path, b"old", "copy.xlsx")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("railwright.writing.patching.zip_copy._write_directory", full)
    with pytest.raises(OSError, match="No space"):
        flag_copy(source, old, FLAGS, LIST)
    assert old.read_bytes() == b"old"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["copy.xlsx", "source.xlsx"]


@pytest.mark.parametrize(("others", "boxes"), [(999, 1_000), (1_000, 1)])
def test_notes_without_boxes_get_them_unless_there_are_absurdly_many(tmp_path, others, boxes):
    comments = "".join(
        f'<comment ref="A{n}" authorId="0"><text><t>x</t></text></comment>' for n in range(1, others + 1)
    )
    parts = declared(base(), "xl/comments1.xml", COMMENTS_TYPE)
    part = re.sub("<commentList>.*</commentList>", f"<commentList>{comments}</commentList>", COMMENTS, flags=re.DOTALL)
    data = attach(parts, {"rId1": ("comments", "../comments1.xml")}, xl_comments1__xml=part)
    target, problems = flagged(tmp_path, data, [Flag("S 1", "B2", "fix", "x")])
    assert problems == []
    assert members(target)["xl/drawings/vmlDrawing1.vml"].count(b'ObjectType="Note"') == boxes


EMPTY_STYLES = {
    "no lists": f'<styleSheet xmlns="{MAIN}"/>',
    "an empty list": f'<styleSheet xmlns="{MAIN}"><cellXfs count="0"/></styleSheet>',
    "styles without fonts and fills": f'<styleSheet xmlns="{MAIN}"><cellXfs count="1"><xf/></cellXfs></styleSheet>',
    "another element": "<p/>",
}


@pytest.mark.parametrize("styles", EMPTY_STYLES.values(), ids=list(EMPTY_STYLES))
def test_cells_without_a_style_never_wear_ours(tmp_path, styles):
    """Whatever has no number has the first of a list, so ours never comes first."""
    data = zipped(base() | {"xl/styles.xml": styles})
    first, _ = flagged(tmp_path, data)
    before, after = members(tmp_path / "source.xlsx"), members(first)
    assert after["xl/worksheets/sheet2.xml"] == before["xl/worksheets/sheet2.xml"]
    root = etree.fromstring(after["xl/styles.xml"])
    first_fill = root.find(f".//{{{MAIN}}}fill/{{{MAIN}}}patternFill")
    first_style = root.find(f".//{{{MAIN}}}cellXfs/{{{MAIN}}}xf")
    assert first_fill.get("patternType") == "none"
    assert first_style.get("fillId", "0") == "0"
    flag_copy(first, tmp_path / "second.xlsx", FLAGS, LIST)
    assert (tmp_path / "second.xlsx").read_bytes() == first.read_bytes()
    flag_copy(first, tmp_path / "clean.xlsx", [], NOTHING)
    clean, source = (read_workbook(tmp_path / name) for name in ("clean.xlsx", "source.xlsx"))
    assert list(clean.cells("S 1")) == list(source.cells("S 1"))

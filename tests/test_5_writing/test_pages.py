"""The pages: what stands on them, that input stays text, that every link leads somewhere."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from urllib.parse import unquote

import pytest
from jinja2 import UndefinedError
from lxml import html

import hand_made_week as week
from printed_pages import BROWSER, page_count, print_page
from railwright.computing.results import InstrumentResult
from railwright.survey.fields import field_by_key
from railwright.survey.findings import Finding
from railwright.survey.records import Answer
from railwright.writing.asking import asked_by_technician, field_words, mail_text, questions_of
from railwright.writing.fit_card import shim_words
from railwright.writing.numbers import fixed, money, plain
from railwright.writing.pages import write_pages
from railwright.writing.places import link, places_of
from railwright.writing.safety import SAFETY_WORDS
from railwright.writing.templates import environment, render_page, spell_note
from railwright.writing.week import Instrument, Week

VOID_OUTPUTS = {"parts-order.xlsx", "cutting-list.xlsx", "stock-after.xlsx"}


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("pages")
    assert write_pages(week.week(), target) == ()
    return target


def page(out: Path, name: str) -> html.HtmlElement:
    return html.fromstring((out / name).read_text(encoding="utf-8"))


def words(element: html.HtmlElement) -> str:
    return " ".join(" ".join(element.itertext()).split())


def test_the_week_lists_every_instrument_under_its_state(out: Path) -> None:
    sections = {}
    for heading in page(out, "week.html").iter("h2"):
        table = heading.getnext()
        orders = [words(cell) for cell in table.iterfind('.//th[@data-label="Order"]')]
        sections[heading.get("id")] = orders
    assert sections["hold"] == ["<b>R/104</b>", "e.xlsx"]
    assert sections["confirm"] == ["R-103"]
    assert sections["release"] == ["R-101", "R-102"]


def test_files_that_nobody_meant_for_surveys_stand_in_a_group_of_their_own(tmp_path: Path) -> None:
    """One line each and no question; a broken file that is named as a workbook stays among those on hold."""
    reason = Finding("unreadable_workbook", "fix", "This is a list of plain text (CSV), not a workbook.")
    strays = tuple(Instrument(name, None, (reason,)) for name in ("list.csv", "notes.txt", "broken.xlsx"))
    run = replace(week.week(), instruments=(*week.week().instruments, *strays))
    assert write_pages(run, tmp_path) == ()
    shown = page(tmp_path, "week.html")
    heading = next(element for element in shown.iter("h3"))
    assert words(heading) == "Not surveys (2)"
    lines = [words(line) for line in heading.getnext()]
    assert lines == [f"{name} : {reason.message}" for name in ("list.csv", "notes.txt")]
    orders = [words(cell) for cell in shown.iterfind('.//th[@data-label="Order"]')]
    assert "broken.xlsx" in orders and "list.csv" not in orders
    assert words(next(shown.iter("p"))).startswith("6 surveys and 2 other files, shop book default.")
    asked = {one.instrument.file for some in asked_by_technician(run).values() for one in some}
    assert "broken.xlsx" in asked and "notes.txt" not in asked


REMARK = "Two strings of C4 are missing.\nAsk for the caretaker."


def test_what_the_technician_remarked_reaches_everybody(tmp_path: Path) -> None:
    instruments = tuple(
        replace(one, survey=replace(one.survey, remarks=REMARK)) if one.survey else one
        for one in week.week().instruments
    )
    assert write_pages(replace(week.week(), instruments=instruments), tmp_path) == ()
    said = words(html.fromstring(f"<p>{REMARK}</p>"))
    for name in ("sheets/R-101.html", "fit-cards/R-101.html", "questions/Mara-Quill.html"):
        (remark, *_) = page(tmp_path, name).find_class("remarks")
        assert words(remark).endswith(f"remark{'ed' if 'questions' in name else 's'}: {said}")
    rows = [words(row) for row in page(tmp_path, "week.html").iterfind('.//td[@data-label="What to do"]')]
    assert sum(row.startswith(f"Remark: {said}") for row in rows) == 4
    card = words(page(tmp_path, "fit-cards/R-101.html"))
    assert card.index(said) < card.index("Before fitting")
    mail = (tmp_path / "questions" / "Mara-Quill.txt").read_text(encoding="utf-8")
    assert mail.count(f"You remarked: {said}") == 2


def test_without_a_remark_no_page_speaks_of_one(out: Path) -> None:
    for file in out.rglob("*.html"):
        assert not html.fromstring(file.read_text(encoding="utf-8")).find_class("remarks")


def test_a_drawing_that_is_fitted_to_the_page_claims_no_scale(out: Path) -> None:
    sheet = page(out, "sheets/R-101.html")
    fitted = [words(drawing) for drawing in sheet.iter("{*}svg", "svg")]
    assert len(fitted) == 3
    assert all("not to scale" in drawing and "on A4" not in drawing for drawing in fitted)
    assert "1:2 on A4, printed at 100 %" in (out / "drawings" / "R-101-1.svg").read_text(encoding="utf-8")


def test_the_papers_state_one_stack(tmp_path: Path) -> None:
    """The tightest place is an end of the segment: shop sheet, fit card and drawing give the same figure there."""
    section = replace(week.result().sections[0], stack_mm=12.44, stack_low_mm=12.44, stack_high_mm=9.1)
    instrument = replace(week.week().instruments[0], result=InstrumentResult((section,)))
    assert write_pages(replace(week.week(), instruments=(instrument,)), tmp_path) == ()
    assert "12.4 / 12.6" in words(page(tmp_path, "sheets/R-101.html"))
    assert "stack 12.4 / 9.1" in words(page(tmp_path, "fit-cards/R-101.html"))
    drawing = (tmp_path / "drawings" / "R-101-1.svg").read_text(encoding="utf-8")
    assert "stack 12.4" in drawing and "stack 9.1" in drawing


def test_the_week_says_who_does_what_next(out: Path) -> None:
    table = next(page(out, "week.html").iter("table"))
    assert [words(row) for row in table.iterfind(".//tbody/tr")] == [
        "Office Ask Mara Quill: 3 questions. Question sheet for Mara Quill",
        "Office Ask an unnamed technician: 1 question. Question sheet for an unnamed technician",
        "Purchasing Order 2 lines, cost 30.00, for 2 instruments. "
        "Parts order (workbook) , Stock after the week (workbook)",
        "Workshop Cut for 2 instruments; then one drawing a segment. "
        "Cutting list (page) , Cutting list (workbook) , Labels for pieces",
    ]


def test_every_link_leads_to_a_file_inside_the_output(out: Path) -> None:
    for file in out.rglob("*.html"):
        for target in html.fromstring(file.read_text(encoding="utf-8")).xpath("//a/@href"):
            if target.startswith("#"):
                continue
            reached = (file.parent / unquote(target)).resolve()
            inside = reached.relative_to(out.resolve()).as_posix()
            copied = inside.startswith("returned/") or "-workbooks/" in inside
            assert reached.is_file() or inside in VOID_OUTPUTS or copied, target


def test_no_page_holds_a_script_or_anything_from_elsewhere(out: Path) -> None:
    for file in out.rglob("*.html"):
        text = file.read_text(encoding="utf-8")
        assert "<script" not in text and "<b>R/" not in text
        assert not re.search(r'(src|href)="(https?:)?//', text)
        assert not re.search(r"\son\w+=", text)


def test_what_people_typed_stays_text_everywhere(tmp_path: Path) -> None:
    evil = "<img src=x onerror=alert(1)>\"'{{7*7}}"
    survey = replace(week.survey("x.xlsx", evil, evil), site=evil, maker=evil, model=evil, serial=evil, remarks=evil)
    instrument = replace(week.week().instruments[2], survey=survey)
    assert write_pages(replace(week.week(), instruments=(instrument,)), tmp_path) == ()
    for file in [*tmp_path.rglob("*.html"), *tmp_path.rglob("*.svg")]:
        text = file.read_text(encoding="utf-8")
        assert "<img" not in text and "49" not in re.findall(r"'(\d+)", text)


@pytest.mark.parametrize("name", ["../../etc/passwd", "CON", "a/b\\c", "..", "x" * 300, "Ü 1", "R-1\n2"])
def test_no_order_number_leaves_the_output(tmp_path: Path, name: str) -> None:
    target = tmp_path / "out"
    target.mkdir()
    made = replace(week.week().instruments[0], survey=week.survey("a.xlsx", name))
    assert write_pages(replace(week.week(), instruments=(made,)), target) == ()
    assert [path.name for path in tmp_path.iterdir()] == ["out"]
    assert len(list((target / "sheets").iterdir())) == 1


def test_order_numbers_that_differ_in_case_alone_have_their_own_files() -> None:
    a, b = (
        replace(week.week().instruments[0], file=f, survey=week.survey(f, n)) for f, n in (("1", "r-1"), ("2", "R-1"))
    )
    places = places_of(replace(week.week(), instruments=(a, b)))
    assert places.sheet(a).casefold() != places.sheet(b).casefold()


def test_links_quote_what_could_mean_something_else() -> None:
    assert link("returned/a b#?%.xlsx") == "./returned/a%20b%23%3F%25.xlsx"
    assert link("javascript:alert(1)") == "./javascript%3Aalert%281%29"
    assert link("sheets/x.html", from_folder=True) == "../sheets/x.html"


def test_a_sheet_shows_segments_drawings_parts_defaults_and_safety(out: Path) -> None:
    sheet = page(out, "sheets/R-101.html")
    text = words(sheet)
    rows = [[words(cell) for cell in row] for row in next(sheet.iter("table")).iterfind(".//tbody/tr")]
    assert rows[0][:5] == ["1 bass A0 to E2", "rear", "RC-S08", "281.3 edge 279.6", "12.0 deg left / /"]
    assert len(list(sheet.iterfind(".//figure/svg"))) == 3
    assert "HF-10 foot, low, 1 mm 10 pieces" in text
    assert "Damper head width: 9.5 mm (default_head_width)" in text
    assert all(sentence in text for sentence in SAFETY_WORDS)
    assert "Do not make" not in text


def test_the_sheet_of_an_instrument_that_waits_says_so(out: Path) -> None:
    assert "Do not make" in words(page(out, "sheets/R-103.html"))


def test_drawings_of_what_is_not_made_carry_a_warning(out: Path) -> None:
    marked = {path.stem for path in out.glob("*/*.svg") if "DO NOT MAKE" in path.read_text(encoding="utf-8")}
    assert marked == {"R-103-1", "R-103-2", "R-103-3"}


def test_a_held_instrument_has_drawings_but_neither_pattern_nor_fit_card(tmp_path: Path) -> None:
    held = replace(week.week().instruments[0], findings=(week.BLANK,), made=False)
    assert write_pages(replace(week.week(), instruments=(held,)), tmp_path) == ()
    assert {path.name for path in tmp_path.iterdir() if path.is_dir()} == {"drawings", "sheets", "questions"}
    assert not [a for a in page(tmp_path, "week.html").xpath("//a/@href") if "fit-cards" in a or "drawings" in a]


def test_a_survey_without_segments_has_a_sheet_but_no_fit_card(out: Path) -> None:
    assert sorted(path.stem for path in (out / "fit-cards").iterdir()) == ["R-101", "R-102", "R-103"]
    assert len(list((out / "sheets").iterdir())) == 4


def test_the_fit_card_names_stations_by_notes_with_shims(out: Path) -> None:
    text = words(page(out, "fit-cards/R-101.html"))
    assert "2: between F#1 and G1, shim 0.1" in text
    assert "4: beyond the wires, under the strings A#7 and B7, shim 0.4 = 0.2 + 0.2" in text
    assert "Dampers counted from the bass, section by section: 1: 20, 2: 26, 3: 22." in text
    assert "HK-050: lift 5.0, felt pressed 0.4 to 0.7; trim" in text
    assert all(sentence in text for sentence in SAFETY_WORDS)


def test_shims_are_made_up_of_leaves() -> None:
    leaves = (0.1, 0.2, 0.5, 1.0)
    assert [shim_words(s, leaves) for s in (0.0, 0.04, 0.1, 0.7)] == ["none", "none", "0.1", "0.7 = 0.5 + 0.2"]


def test_the_cutting_page_shows_bars_and_sheets(out: Path) -> None:
    cutting = page(out, "cutting-list.html")
    assert [words(h) for h in cutting.iter("h3")] == [
        "RC-S08, bar 1: 486.5 mm, offcut, rack B2",
        "RC-S08, bar 2 to 3 (x 2): 2500 mm, to buy",
        "FE-20, sheet 1 to 2 (x 2): 1200 x 500 mm, to buy",
    ]
    assert "Not placed: R-102/9, 4000.0 mm" in words(cutting)


def test_every_piece_and_every_kept_rest_has_a_label_in_the_order_of_the_cutting_list(out: Path) -> None:
    labels = [words(label) for label in page(out, "labels.html").iter("li")]
    names = [label.split()[0] for label in labels]
    assert names[:7] == ["R-101/2", "R-101/1", "R-101/3", "R1", "R-102/1", "R-102/3", "R1"]
    assert sum(name.startswith("R-") for name in names) == 5 + 6
    assert labels[1] == "R-101/1 RC-S08, 283.4 mm (bar 2) both ends left 12.0 / / ◀ bass end Old Mill School"
    assert labels[3] == "R1 RC-S08, 1613.4 mm (bar 2) rest, to the rack"
    (felt, *_) = [label for label in labels if "FE-20" in label]
    assert felt.startswith("R-101/3 FE-20, 587.4 x 12 mm (sheet 1, strip 1) felt, on top. Cut square to the long-point")


def unconfirmed_week() -> Week:
    """The hand-made week with its second instrument made although a reading is in doubt."""
    one, other, *rest = week.week().instruments
    return replace(week.week(), instruments=(one, replace(other, findings=(week.RUN,)), *rest))


def test_what_is_made_unconfirmed_says_so_on_every_paper_and_nothing_else_does(tmp_path: Path) -> None:
    assert write_pages(unconfirmed_week(), tmp_path) == ()
    marked = {
        path.relative_to(tmp_path).as_posix()
        for folder in ("drawings", "patterns", "sheets", "fit-cards")
        for path in (tmp_path / folder).iterdir()
        if path.suffix != ".dxf" and "TO CONFIRM" in path.read_text(encoding="utf-8")
    }
    segments = [f"{folder}/R-102-{number}.svg" for folder in ("drawings", "patterns") for number in (1, 2, 3)]
    assert marked == {*segments, "patterns/R-102.html", "sheets/R-102.html", "fit-cards/R-102.html"}
    assert week.RUN.message in words(page(tmp_path, "fit-cards/R-102.html"))
    for name, tag in (("labels.html", ".//li"), ("cutting-list.html", ".//tbody/tr")):
        lines = [words(line) for line in page(tmp_path, name).iterfind(tag)]
        told = [line for line in lines if "R-10" in line]
        assert told and all(("TO CONFIRM" in line) == ("R-102" in line) for line in told)
    assert "1 of 2 TO CONFIRM" in words(page(tmp_path, "cutting-list.html"))


def test_a_released_week_has_no_mark(out: Path) -> None:
    assert not [path for path in out.rglob("*.html") if "TO CONFIRM" in path.read_text(encoding="utf-8")]


def test_every_instrument_has_full_scale_patterns(out: Path) -> None:
    patterns = page(out, "patterns/R-101.html")
    tiles = patterns.findall(".//div[@class='sheet']/svg")
    assert [tile.get("width") for tile in tiles] == ["255mm"] * 7
    assert words(patterns.findall(".//header/p")[1]) == "Segment 1: page 1; Segment 2: page 2; Segment 3: pages 3 to 4."
    assert all((out / f"patterns/R-101-{segment}.svg").is_file() for segment in (1, 2, 3))


def test_a_question_names_reading_cell_writing_and_reason() -> None:
    instrument = week.week().instruments[2]
    answers = {"s2_run": Answer(field_by_key()["s2_run"], "Survey", "E21", "4 3/8")}
    (question,) = questions_of(replace(instrument, survey=replace(instrument.survey, answers=answers)))
    assert (question.label, question.place) == ("Section 2: Seven-space run", "sheet Survey, cell E21")
    assert (question.read, question.required) == ("4 3/8", False)


def test_questions_are_grouped_by_technician_and_notes_are_not_asked() -> None:
    asked = asked_by_technician(week.week())
    assert {name: [len(one.questions) for one in some] for name, some in asked.items()} == {
        "Mara Quill": [1, 2],
        "an unnamed technician": [1],
    }
    text = mail_text("Mara Quill", asked["Mara Quill"])
    title, _, hint, _, order, first, *_ = text.splitlines()
    assert (title, order) == ("Questions for Mara Quill", "Order R-103 (file c.xlsx)")
    assert hint.startswith("In the workbooks that come with this mail only the cells named here are marked.")
    assert first == "1. Section 2: Seven-space run (sheet Survey, cell E21)"
    nobody = "an unnamed technician"
    assert "workbooks that come" not in mail_text(nobody, asked[nobody])


def test_a_finding_about_no_cell_is_about_the_workbook() -> None:
    assert (field_words(None), field_words("serial")) == ("The workbook", "Serial number")


def test_a_name_that_a_template_does_not_get_is_an_error_not_a_blank() -> None:
    with pytest.raises(UndefinedError):
        render_page("questions.html", {"technician": "x"})


def test_pages_are_the_same_on_every_run(out: Path, tmp_path: Path) -> None:
    write_pages(week.week(), tmp_path)
    for file in (path for path in out.rglob("*") if path.is_file()):
        assert (tmp_path / file.relative_to(out)).read_bytes() == file.read_bytes()


def test_an_empty_week_is_a_page_too(tmp_path: Path) -> None:
    write_pages(Week(week.week().book, ()), tmp_path)
    assert "Nothing to cut or order yet." in words(page(tmp_path, "week.html"))
    assert "Nothing to cut: no instrument of this run is made." in words(page(tmp_path, "cutting-list.html"))


def test_headings_never_skip_a_level_and_tables_have_headers(out: Path) -> None:
    for file in out.rglob("*.html"):
        tree = html.fromstring(file.read_text(encoding="utf-8"))
        levels = [int(h.tag[1]) for h in tree.iter("h1", "h2", "h3", "h4")]
        assert levels[0] == 1 and levels.count(1) == 1
        assert all(after <= before + 1 for before, after in pairwise(levels)), file
        assert all(th.get("scope") for th in tree.iter("th"))
        ids = tree.xpath("//@id")
        assert len(ids) == len(set(ids)), file


@pytest.mark.parametrize(("value", "text"), [(0.05, "0.1"), (-0.04, "0"), (12.0, "12"), (100.0, "100"), (2.25, "2.3")])
def test_plain_numbers(value: float, text: str) -> None:
    assert plain(value) == text


def test_fixed_numbers_money_and_notes() -> None:
    assert [fixed(v) for v in (-0.04, 0.05, 12.0)] == ["0.0", "0.1", "12.0"]
    assert [money(v, "units") for v in (None, 1234.5)] == ["no price", "1 234.50 units"]
    assert [spell_note(n) for n in (1, 88, 89, None)] == ["A0", "C8", "?", "?"]


def test_templates_escape_by_themselves() -> None:
    assert environment().autoescape is True


ENDS = ("low", "high")
IN_DOUBT = (
    "the parts (HF-10, RC-F15, FE-20) stand 4.5 mm tall at the {} end under 5.8 mm of free height, which is known only "
    "to within 1.6 mm: they fit, but not for certain. Read the gap at rest to 1/32 in, or try a clear gauge of 1/4 in "
    "(6.4 mm): if the string does not touch it, the parts fit."
)


def test_what_is_open_at_both_ends_alike_is_asked_once(tmp_path: Path) -> None:
    told = [IN_DOUBT.format(end) for end in ENDS] + [IN_DOUBT.format("low").replace("5.8", "5.9")]
    findings = tuple(replace(week.RUN, message=message) for message in told)
    instrument = replace(week.week().instruments[0], findings=findings)
    write_pages(replace(week.week(), instruments=(instrument,)), tmp_path)
    text = words(page(tmp_path, "fit-cards/R-101.html"))
    assert IN_DOUBT.format("low and the high") in text
    assert IN_DOUBT.format("low") not in text
    assert IN_DOUBT.format("low").replace("5.8", "5.9") in text


@pytest.mark.skipif(not BROWSER, reason="needs a browser")
def test_the_fit_card_of_six_sections_in_doubt_prints_on_one_page(tmp_path: Path) -> None:
    firsts = range(1, 85, 14)
    sections = tuple(
        week.section(number, "tenor", first, 14, 80, stations=(2, 5, 8, 10, 12))
        for number, first in enumerate(firsts, start=1)
    )
    instrument = replace(
        week.week().instruments[0],
        result=replace(week.result(), sections=sections),
        findings=tuple(
            replace(week.RUN, message=f"Section {n}: {IN_DOUBT.format(end)}") for n in range(3, 7) for end in ENDS
        ),
    )
    write_pages(replace(week.week(), instruments=(instrument,)), tmp_path)
    assert page_count(print_page(tmp_path / "fit-cards" / "R-101.html", tmp_path)) == 1

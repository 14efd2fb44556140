"""Small survey workbooks for tests: two columns, the field key and the answer, and a defined name on each answer."""

from openpyxl import Workbook
from openpyxl.workbook.defined_name import DefinedName

IDENTITY = {
    "order_no": "T-1",
    "site": "Elm hall",
    "technician": "A. Person",
    "survey_date": "2031-03-04",
    "needed_by": "2031-04-01",
    "maker": "Examplar",
    "model": "E5",
    "serial": "12345",
    "unit": "in",
    "reading_step": "1/8",
}

SECTION = {
    "register": "bass",
    "dampers": 20,
    "span": "11 1/8",
    "run": "3 7/8",
    "angle_1": 78,
    "strut": "no",
    "screws": "none",
    "gauge_low": "5/8",
    "gauge_high": "5/8",
}


def little_survey(path, *sections, names=None, **identity):
    """Write a survey; a section is a dict of answers without prefix; a name set to None in ``names`` is dropped."""
    answers = {**IDENTITY, **identity}
    for number, section in enumerate(sections, start=1):
        answers |= {f"s{number}_{key}": value for key, value in section.items()}
    return little_workbook(path, answers, names)


def little_workbook(path, answers, names=None):
    """Write one row an answer; ``names`` overrides what a defined name refers to, or drops it with None."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Readings"
    targets = {}
    for row, (key, value) in enumerate(answers.items(), start=1):
        sheet.cell(row, 1, key)
        cell = sheet.cell(row, 2)
        cell.value = value
        if isinstance(value, str):
            cell.data_type = "s"
        targets[key] = f"Readings!$B${row}"
    for key, target in (targets | (names or {})).items():
        if target is not None:
            book.defined_names[key] = DefinedName(key, attr_text=target)
    book.save(path)
    return path


class Cell:
    """A cell as the parsers see it; the kind follows from the value."""

    def __init__(self, value=None, kind=None, text=None):
        self.value = value
        self.kind = kind or _kind(value)
        self.text = text if text is not None else "" if value is None else str(value)


def _kind(value):
    if value is None:
        return "blank"
    if isinstance(value, bool):
        return "bool"
    if isinstance(value, int | float):
        return "number"
    return "text" if isinstance(value, str) else "date"

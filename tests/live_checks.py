"""Let an office program work out the live checks of blank surveys filled at random, and compare with the tool's own."""

import random
import shutil
import subprocess
from pathlib import Path

import openpyxl

from railwright.book.default_catalogue import default_shop_book
from railwright.computing.compute import PITCH_DOUBT
from railwright.computing.slips import innovations
from railwright.computing.spacing import posterior
from railwright.reading.survey import read_survey
from railwright.survey.fields import all_fields
from railwright.survey.records import section_of
from railwright.survey.requirements import is_blank, is_required
from railwright.writing.blank_checks import CHECKS
from railwright.writing.blank_survey import write_blank

SPELLINGS = ["{w} {n}/{d}", "{w}-{n}/{d}", '{w} {n}/{d}"', "{w}\u00a0{n}/{d} in", "{w} {n}⁄{d}″", "{w} {n}/{d} inches"]
FRACTION_SIGNS = {(1, 2): "½", (1, 4): "¼", (3, 4): "¾", (1, 8): "⅛", (3, 8): "⅜", (5, 8): "⅝", (7, 8): "⅞"}


def spelled(mm, unit, step, dice):
    """Write a length the way somebody might: rounded to the step, in any of the usual spellings."""
    if unit == "mm":
        value = max(step, round(mm / step) * step)
        forms = [value, f"{value:g}", f"{value:g} mm", f"{value:g}".replace(".", ","), f"{value / 10:.1f} cm"]
        # centimetres show a step of 1 mm, which the sheet's own checks do not look for
        return dice.choice(forms if step == 1 else forms[:4])
    whole, part = divmod(max(1, round(mm / 25.4 * step)), step)
    if part == 0:
        return dice.choice([f"{whole}", f'{whole}"', f"{whole} in", float(whole)])
    while part % 2 == 0:
        part, step = part // 2, step // 2
    forms = [form.format(w=whole, n=part, d=step) for form in SPELLINGS]
    forms += [f"{whole + part / step}", f"{whole + part / step}".replace(".", ","), whole + part / step]
    if (part, step) in FRACTION_SIGNS:
        forms += [f"{whole}{FRACTION_SIGNS[part, step]}", f"{whole} {FRACTION_SIGNS[part, step]}"]
    return dice.choice(forms)


def random_answers(unit, dice):
    """Fill six sections with readings that mostly agree, leave some cells empty and make some slips."""
    step_text = dice.choice(["1/8", "1/16", "1/32"] if unit == "in" else ["1", "0.5"])
    step = int(step_text.split("/")[1]) if unit == "in" else float(step_text)
    answers = {"reading_step": step_text, "order_no": "K-1", "maker": "Examplar"}
    if dice.random() < 0.5:
        answers["head_width"] = spelled(dice.gauss(9.5, 0.3), unit, step, dice)
    for section in range(1, 7):
        readings = _random_section(unit, step, dice)
        answers |= {f"s{section}_{name}": value for name, value in readings.items() if dice.random() > 0.06}
    return answers


def _random_section(unit, step, dice):
    heads, pitch = 8 if dice.random() < 0.15 else dice.randint(2, 34), dice.gauss(13.9, 0.8)
    if dice.random() < 0.25:
        pitch = dice.choice([0.55, 11.0, 11.9, 12.1, 15.4, 15.7, 17.0])
    span, run = 9.5 + (heads - 1) * pitch, 7 * pitch
    slip = dice.choice([0, 0, 0, pitch, -pitch, 25.4])
    readings = {
        "register": dice.choice(["bass", "tenor", "treble", "Treble "]),
        "dampers": heads,
        "span": spelled(span + slip, unit, step, dice),
        "angle_1": round(dice.uniform(60, 120) * 2) / 2,
        "strut": "no",
        "screws": dice.choice(["none", "7; 11"]),
    }
    readings["angle_2"] = readings["angle_1"] + dice.choice([0, 0.5, 2, 2.5])
    if dice.random() < 0.8:
        readings["run"] = spelled(run, unit, step, dice)
    if dice.random() < 0.4:
        readings["run_end"] = spelled(run + dice.gauss(0, 2), unit, step, dice)
    for name in ("gauge_low", "rest_low", "gauge_high", "rest_high"):
        if dice.random() < 0.6:
            readings[name] = spelled(16, unit, step, dice)
    return readings


def filled_blanks(folder, count, seed):
    """Write that many filled surveys, half of them in inches."""
    dice = random.Random(seed)
    paths = []
    for number in range(count):
        unit = ("in", "mm")[number % 2]
        path = folder / f"survey{number}.xlsx"
        write_blank(path, unit, 6)
        book = openpyxl.load_workbook(path)
        for key, value in random_answers(unit, dice).items():
            sheet, cell = book.defined_names[key].attr_text.split("!")
            book[sheet.strip("'")][cell.replace("$", "")].value = value
        book.save(path)
        paths.append(path)
    return paths


def recalculated(paths, folder, locale="en-US"):
    """Open and save workbooks in LibreOffice, with the decimal signs of a country."""
    profile = folder / "profile"
    (profile / "user").mkdir(parents=True, exist_ok=True)
    (profile / "user" / "registrymodifications.xcu").write_text(
        '<?xml version="1.0" encoding="UTF-8"?><oor:items xmlns:oor="http://openoffice.org/2001/registry">'
        '<item oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooSetupSystemLocale" oor:op="fuse">'
        f"<value>{locale}</value></prop></item></oor:items>",
        encoding="utf-8",
    )
    out = folder / "recalculated"
    command = ["soffice", f"-env:UserInstallation={profile.as_uri()}", "--headless", "--convert-to", "xlsx"]
    subprocess.run([*command, "--outdir", str(out), *map(str, paths)], check=True, capture_output=True, timeout=900)
    return [out / path.name for path in paths]


def office_is_there():
    return shutil.which("soffice") is not None


def shown_and_expected(path):
    """List (what, shown by the sheet, the tool's own value) for every live check of a workbook."""
    survey, _ = read_survey(Path(path), "a.xlsx")
    book = openpyxl.load_workbook(path, data_only=True)
    page, rows = book["Survey"], _rows_of(book["Survey"])
    for section in range(1, 7):
        own = own_values(survey, section)
        for check in CHECKS:
            if check.shows in own:
                shown = page.cell(rows[check.label], 1 + section).value
                yield f"{path.name} section {section} {check.label}", shown if shown != "" else None, own[check.shows]


def _rows_of(page):
    return {page.cell(row, 1).value: row for row in range(1, page.max_row + 1)}


def own_values(survey, section):
    """Work out with the tool's own functions what the sheet should show for one section."""
    here = section_of(survey, f"s{section}_span")
    if here is None:
        return {"missing": None, "words": None, "difference": None}
    book = default_shop_book()
    tests = innovations(here, survey, book)
    worst = max((test.excess for test in tests), default=0.0)
    unit_mm = 25.4 if survey.unit == "in" else 1.0
    known = bool(tests) and survey.step_mm is not None
    first, second = here.angle_1_deg, here.angle_2_deg
    own = {
        "difference": (tests[0].written_mm - tests[0].predicted_mm) / unit_mm if known else None,
        "words": ("look again" if worst > 1.0 or _pitch_is_off(here, survey) else "agrees") if known else None,
        "angle_words": None,
        "missing": _missing(survey, here),
    }
    if known:
        own["expected"] = tests[0].predicted_mm / unit_mm
    if first is not None and second is not None:
        own["angle_words"] = "look again" if abs(first - second) > book.value("angle_spread") else "agree"
    return own


def sections_off_by_pitch_alone(path):
    """List the sections whose readings agree with each other, but on a spacing that no piano has."""
    survey, _ = read_survey(Path(path), "a.xlsx")
    book = default_shop_book()
    return [
        section.number
        for section in survey.sections
        if survey.step_mm is not None
        and (tests := innovations(section, survey, book))
        and max(test.excess for test in tests) <= 1.0
        and _pitch_is_off(section, survey)
    ]


def _pitch_is_off(section, survey):
    """Judge the pitch as the tool does, but only by the wires' estimated positions."""
    book = default_shop_book()
    wires = posterior(section, survey, book)
    pitch = (wires.x_mm[-1] - wires.x_mm[0]) / (wires.x_mm.size - 1)
    doubt = PITCH_DOUBT * wires.u_pitch_mm
    return not book.value("pitch_low") - doubt <= pitch <= book.value("pitch_high") + doubt


def _missing(survey, section):
    fields = [field for field in all_fields(6) if field.key.startswith(f"s{section.number}_")]
    if all(is_blank(survey.answers[field.key]) for field in fields):
        return None
    return sum(is_blank(survey.answers[f.key]) and is_required(survey, f, section) for f in fields)

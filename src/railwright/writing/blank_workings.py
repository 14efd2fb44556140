"""The hidden sheet behind the live checks: the same model of a section's gaps that judges the readings later.

The span is predicted from the count and the runs under a Gaussian model of the gaps. What that model knows before any
reading depends only on the count, so it is tabled here for every count; the rest is three readings' worth of ordinary
arithmetic. A run lies in the middle of a section or at one end; a section seen from either end has the same moments.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from railwright.book.model import ShopBook
from railwright.computing.compute import PITCH_DOUBT
from railwright.computing.gap_model import RUN_HEADS, GapPrior, Sight, predicted, prior_of, run_sight, span_sight
from railwright.computing.slip_tests import MORE_THAN_DUE
from railwright.survey.fields import STEPS, fields_of_section
from railwright.survey.notes import LAST_NOTE
from railwright.survey.records import Survey
from railwright.survey.requirements import HEADS_OF_A_RUN
from railwright.survey.units import mm_per
from railwright.writing.length_formula import length_formulas

WORKINGS = "Workings"

_FEWEST_HEADS = 2
_FIRST_SECTION_COLUMN, _TABLE_COLUMN, _STEP_COLUMN = 2, 10, 17
#: Figures of a tabled variance: what is worked out from it stays true to a millionth of a millimetre.
_TABLE_FIGURES = 10
_LABELS = ("heads", "span", "span, run mid", "span, run end", "run mid, run end", "run end, run end")


@dataclass(frozen=True, slots=True)
class EarlierCounts:
    """How many dampers earlier pianos of a maker and model have, by section from the bass, the commonest count first.

    A section of which nothing is known has no counts.
    """

    maker: str
    model: str
    counts: tuple[tuple[int, ...], ...]


def write_workings(
    workbook: Workbook, sections: int, book: ShopBook, earlier: EarlierCounts | None = None
) -> dict[str, list[str]]:
    """Add the hidden sheet.

    Args:
        workbook: The blank survey, with a defined name on every input.
        sections: How many sections it has.
        book: Gives the model of the gaps and the limits.
        earlier: What earlier pianos have, if any are known.

    Returns:
        For each row of formulas the cells of all sections, as references from another sheet, such as
        ``{"words": ["Workings!$B$70", ...]}``.
    """
    page = workbook.create_sheet(WORKINGS)
    assert isinstance(page, Worksheet)
    page.sheet_state = "hidden"
    constants = _write_constants(page, book) | _write_table(page, prior_of(Survey(file=""), book))
    constants["steps"] = _write_steps(page)
    first = len(constants) + 3
    places = _write_sections(page, sections, constants, first)
    return places | (_write_earlier(page, sections, earlier) if earlier else {})


def _write_earlier(page: Worksheet, sections: int, earlier: EarlierCounts) -> dict[str, list[str]]:
    """Write what compares a count with those of earlier pianos; it says nothing before there is one.

    Nor does it where the technician found the piano to be another one than was ordered.
    """
    same = page.max_row + 1
    row = same + 1
    for column, text in enumerate((earlier.maker, earlier.model), start=_FIRST_SECTION_COLUMN):
        page.cell(same, column).value = text
        page.cell(same, column).data_type = "s"
    page.cell(same, 1).value, page.cell(row, 1).value = "maker and model of earlier ones", "earlier_words"
    places = []
    for number in range(1, sections + 1):
        column = _FIRST_SECTION_COLUMN + number - 1
        counts = earlier.counts[number - 1] if number <= len(earlier.counts) else ()
        page.cell(row, column).value = "=" + earlier_formula(number, counts, f"$B${same}", f"$C${same}")
        places.append(f"{WORKINGS}!${get_column_letter(column)}${row}")
    return {"earlier_words": places}


def earlier_formula(number: int, counts: Sequence[int], maker: str, model: str) -> str:
    """Compare the count of a section with those of earlier pianos, once there is one.

    Args:
        number: The section, 1 at the bass.
        counts: How many dampers earlier pianos have there, the commonest first; none where that is not known.
        maker: The cell with their maker.
        model: The cell with their model.

    Returns:
        The formula without the equals sign.
    """
    if not counts:
        return '""'
    count = f"s{number}_dampers"
    alike = ",".join(f"{count}={each}" for each in counts)
    known = " or ".join(map(str, counts))
    words = f'IF(OR({alike}),"as earlier ones","earlier ones: {known} - count again")'
    return f'IF(AND(ISNUMBER({count}),TRIM(maker)=TRIM({maker}),TRIM(model)=TRIM({model})),{words},"")'


def _write_constants(page: Worksheet, book: ShopBook) -> dict[str, str]:
    """Write what the shop book says, one value a row, and give their addresses."""
    prior = prior_of(Survey(file=""), book)
    values = {
        "pitch": prior.pitch_mm,
        "usual_head": prior.head_mm,
        "usual_head_u": prior.head_u_mm,
        "u_set": book.value("u_set"),
        "slip_k": book.value("slip_k"),
        "slip_k_second": book.value("slip_k_second"),
        "angle_spread": book.value("angle_spread"),
        "pitch_low": book.value("pitch_low"),
        "pitch_high": book.value("pitch_high"),
        "pitch_doubt": PITCH_DOUBT,
    }
    for row, (name, value) in enumerate(values.items(), start=1):
        page.cell(row, 1).value = name
        page.cell(row, 2).value = value
    return {name: f"$B${row}" for row, name in enumerate(values, start=1)}


def _write_table(page: Worksheet, prior: GapPrior) -> dict[str, str]:
    """Write the prior moments for every count, without any reading's noise, mm2; give the addresses of the columns."""
    counts = range(_FEWEST_HEADS, LAST_NOTE + 1)
    for column, label in enumerate(_LABELS, start=_TABLE_COLUMN):
        page.cell(1, column).value = label
    for row, heads in enumerate(counts, start=2):
        for column, value in enumerate((heads, *moments(prior, heads)), start=_TABLE_COLUMN):
            page.cell(row, column).value = float(f"{value:.{_TABLE_FIGURES}g}")
    last = len(counts) + 1
    names = ("v_span", "c_mid", "c_end", "c_mid_end", "c_end_end")
    letters = [get_column_letter(_TABLE_COLUMN + 1 + place) for place in range(len(names))]
    areas = {name: f"${letter}$2:${letter}${last}" for name, letter in zip(names, letters, strict=True)}
    return areas | {"v_run": str(_run_variance(prior))}


def moments(prior: GapPrior, heads: int) -> tuple[float, float, float, float, float]:
    """Give what the model knows of a section before any reading.

    Args:
        prior: The model of the gaps.
        heads: Number of heads, 2 or more.

    Returns:
        Variance of the span less the head's part; covariance of the span with a run in the middle and with one at an
        end; of a middle run with an end run; of runs at both ends. mm2; 0 where there is no run.
    """
    runs: list[Sight] = []
    if heads >= RUN_HEADS:
        runs = [run_sight(heads, "bass", "run", 0.0), run_sight(heads, "bass", "run_end", 0.0)]
        runs.append(run_sight(heads, "treble", "run_end", 0.0))
    _, spread = predicted([span_sight(heads, 0.0), *runs], prior, heads)
    full = np.zeros((4, 4))
    full[: len(spread), : len(spread)] = spread
    return (
        float(full[0, 0] - prior.head_u_mm**2),
        float(full[0, 1]),
        float(full[0, 2]),
        float(full[1, 2]),
        float(full[2, 3]),
    )


def _run_variance(prior: GapPrior) -> float:
    _, spread = predicted([run_sight(RUN_HEADS, "bass", "run", 0.0)], prior, RUN_HEADS)
    return float(spread[0, 0])


def _write_steps(page: Worksheet) -> str:
    """Write the steps as they are chosen and in mm; give the address of both columns."""
    for row, step in enumerate(STEPS, start=2):
        over, _, under = step.partition("/")
        value = float(over) / float(under) * float(mm_per("in")) if under else float(step)
        page.cell(row, _STEP_COLUMN).value = step
        page.cell(row, _STEP_COLUMN + 1).value = value
    first, second = get_column_letter(_STEP_COLUMN), get_column_letter(_STEP_COLUMN + 1)
    return f"${first}$2:${second}${len(STEPS) + 1}"


def _write_sections(page: Worksheet, sections: int, constants: Mapping[str, str], first: int) -> dict[str, list[str]]:
    """Write one column of formulas a section, one row a quantity."""
    places: dict[str, list[str]] = {}
    for number in range(1, sections + 1):
        formulas = section_formulas(number)
        column = _FIRST_SECTION_COLUMN + number - 1
        letter = get_column_letter(column)
        here = dict(constants) | {name: f"{letter}{row}" for row, name in enumerate(formulas, start=first)}
        for row, (name, formula) in enumerate(formulas.items(), start=first):
            page.cell(row, 1).value = name
            page.cell(row, column).value = "=" + formula.format_map(here)
            places.setdefault(name, []).append(f"{WORKINGS}!${letter}${row}")
    return places


def section_formulas(number: int) -> dict[str, str]:
    """Write all formulas of one section, without the equals sign; names in braces are other rows or constants.

    Args:
        number: The section, 1 at the bass.

    Returns:
        The formulas by row name, in an order in which each needs only rows before it.
    """
    key = f"s{number}_"
    lengths: dict[str, str] = {}
    for name, cell in (("span", f"{key}span"), ("run", f"{key}run"), ("run_end", f"{key}run_end")):
        lengths |= length_formulas(name, cell)
    lengths |= length_formulas("head", "head_width")
    return (
        {
            "unit_mm": 'IF(TRIM(LOWER(unit))="mm",1,25.4)',
            "step": "IFERROR(VLOOKUP(TRIM(reading_step),{steps},2,FALSE),0)",
        }
        | lengths
        | _inputs(key)
        | _covariances()
        | _tests()
        | _pitch()
        | _answers(key)
        | {"missing": missing_formula(number)}
    )


def _inputs(key: str) -> dict[str, str]:
    """Take what is known: the count, the register, which runs can be used, and how sure a reading is."""
    counted = f"AND(ISNUMBER({key}dampers),{key}dampers>={_FEWEST_HEADS},{key}dampers<={LAST_NOTE})"
    return {
        "heads": f"IF(ISNUMBER({key}dampers),IF({counted},INT({key}dampers),0),0)",
        "treble": f'IF(TRIM(LOWER({key}register))="treble",1,0)',
        "ready": "IF(AND({heads}>0,{step}>0),1,0)",
        "has_run": f"IF(AND({{heads}}>={RUN_HEADS},ISNUMBER({{run_mm}})),1,0)",
        "has_end": f"IF(AND({{heads}}>={RUN_HEADS},ISNUMBER({{run_end_mm}})),1,0)",
        "u2": "{step}^2/12+{u_set}^2",
        "head": "IF(ISNUMBER({head_mm}),{head_mm},{usual_head})",
        "head_u2": "IF(ISNUMBER({head_mm}),{u2},{usual_head_u}^2)",
        "row": f"MAX(1,{{heads}}-{_FEWEST_HEADS - 1})",
    }


def _covariances() -> dict[str, str]:
    """Build the covariance matrix of span, run and second run, and what each is longer than expected before reading.

    A run that was not taken gets a variance of 1 and no covariance, so it has no say. Two runs over the same spaces,
    as in a section of so few heads that there are no others, round alike: six terms of the series are enough here.
    """
    waves = "+".join(f"EXP(0-(2*PI()*{k}*{{u_set}}/{{step}})^2)/{k * k}" for k in range(1, 7))
    return {
        "repeat": f"IF({{heads}}={RUN_HEADS},{{has_run}}*{{has_end}},0)",
        "alike": f"IF({{repeat}}*{{step}}>0,{{step}}^2/(2*PI()^2)*({waves}),0)",
        "s11": "INDEX({v_span},{row})+{head_u2}+{u2}",
        "s22": "IF({has_run}=1,{v_run}+{u2},1)",
        "s33": "IF({has_end}=1,{v_run}+{u2},1)",
        "s12": "{has_run}*IF({treble}=1,INDEX({c_end},{row}),INDEX({c_mid},{row}))",
        "s13": "{has_end}*INDEX({c_end},{row})",
        "s23": "{has_run}*{has_end}*IF({treble}=1,INDEX({c_end_end},{row}),INDEX({c_mid_end},{row}))+{alike}",
        "d1": "IF(ISNUMBER({span_mm}),{span_mm}-{head}-({heads}-1)*{pitch},0)",
        "d2": "IF({has_run}=1,{run_mm}-7*{pitch},0)",
        "d3": "IF({has_end}=1,{run_end_mm}-7*{pitch},0)",
    }


def _tests() -> dict[str, str]:
    """Predict span and second run each from all the others, by the cofactors of the covariance matrix.

    With K the inverse of the matrix, reading i less its prediction is (K d)_i / K_ii, with variance 1 / K_ii. A second
    run over the spaces of the first is compared with that alone, by how rare so many steps between them are. Where
    nearly whole or half multiples of the runs are compared with the span, the difference moves in such steps, and may
    count up to half of one nearer.
    """
    spread = "(1.4142135623731*{u_set}/{step})"
    near, far = (f"(({{steps_apart}}-{less})/{spread})" for less in (1, 0))
    tail = f"{spread}*({_unit_loss(near)}-{_unit_loss(far)})"
    usual = "({c13}*{d1}+{c23}*{d2}+{c33}*{d3})/SQRT({c33}*{det})"
    return {
        "c11": "{s22}*{s33}-{s23}^2",
        "c12": "{s13}*{s23}-{s12}*{s33}",
        "c13": "{s12}*{s23}-{s13}*{s22}",
        "c23": "{s12}*{s13}-{s11}*{s23}",
        "c33": "{s11}*{s22}-{s12}^2",
        "det": "{s11}*{c11}+{s12}*{c12}+{s13}*{c13}",
        "pull": "({c12}*{d2}+{c13}*{d3})/{c11}",
        "over": "{d1}+{pull}",
        "hazard": "EXP(0-{slip_k}^2/2)/SQRT(2*PI())/(1-NORMSDIST({slip_k}))",
        "fewer": "{hazard}*{step}^4*(1+({c12}^4+{c13}^4)/{c11}^4)/120*({c11}/{det})^2*({slip_k}^3-3*{slip_k})/24",
        **_steps_of_difference("step_", 1),
        **_steps_of_difference("half_", 2),
        "nearer": "IF(({has_run}+{has_end})*{step}>0,MAX({step_nearer},{half_nearer}),0)",
        "z_span": "SIGN({over})*MAX(ABS({over})-{nearer},0)/SQRT({det}/{c11})",
        "steps_apart": "IF({repeat}*{step}>0,ABS({d3}-{d2})/{step},0)",
        "tail": f"IF({{repeat}}*{{step}}*{{u_set}}>0,MIN(0.5,MAX({tail},1E-15)),0.5)",
        "z_end": f"IF({{repeat}}=1,-NORMSINV({{tail}}),IF({{has_run}}*{{has_end}}=1,{usual},0))",
    }


def _steps_of_difference(prefix: str, parts: int) -> dict[str, str]:
    """Reckon half a step of the span's difference where moving in such steps brings more false alarms than are due.

    ``moving_in_steps_mm`` has the formulas: the height of the first wave, and the waves' share at either end.
    """
    run, end, blur, height, wave, middle = (
        f"{{{prefix}{name}}}" for name in ("short_run", "short_end", "blur", "height", "wave", "middle")
    )
    ends = "+".join(
        f"{height}^{h * h}*({{hazard}}*COS({angle})-{h}*{wave}*SIN({angle}))/({{hazard}}^2+({h}*{wave})^2)"
        for h in (1, 2, 3)
        for angle in (f"{h}*({{slip_k}}*{wave}+{middle})", f"{h}*({{slip_k}}*{wave}-{middle})")
    )
    return {
        f"{prefix}short_run": f"{{c12}}/{{c11}}-ROUND({parts}*{{c12}}/{{c11}},0)/{parts}",
        f"{prefix}short_end": f"{{c13}}/{{c11}}-ROUND({parts}*{{c13}}/{{c11}},0)/{parts}",
        f"{prefix}blur": f"{run}^2*{{s22}}+2*{run}*{end}*{{s23}}+{end}^2*{{s33}}",
        f"{prefix}turn": f"IF({{step}}>0,{2 * parts}*PI()/{{step}},0)",
        f"{prefix}height": f"EXP(0-MIN(50,{blur}*{{{prefix}turn}}^2/2))",
        f"{prefix}wave": f"{{{prefix}turn}}*SQRT({{det}}/{{c11}})",
        f"{prefix}middle": f"{{{prefix}turn}}*({{head}}+({{heads}}-1)*{{pitch}}"
        f"+7*{{pitch}}*(({{c12}}+{{c13}})/{{c11}}-{run}-{end}))",
        f"{prefix}nearer": f"IF({{hazard}}*({ends})-{{fewer}}>{MORE_THAN_DUE},{{step}}/{2 * parts}*{height},0)",
    }


def _pitch() -> dict[str, str]:
    """Reckon the mean gap from all readings, and how far its own doubt lets it be off.

    The gaps' sum is the span less what is no gap in it: the head and the reading's error, of variance q together. That
    part is correlated with the span alone, so it is estimated as head + q (K d)_1, with variance q - q^2 K_11.
    """
    return {
        "no_gap": "{head_u2}+{u2}",
        "known": "{no_gap}*{c11}/{det}",
        "gap": "{pitch}+({d1}-{known}*{over})/MAX(1,{heads}-1)",
        "gap_doubt": "{pitch_doubt}*SQRT({no_gap}*(1-{known}))/MAX(1,{heads}-1)",
    }


def _unit_loss(t: str) -> str:
    """Write the mean by which a standard normal value exceeds t."""
    return f"(EXP(0-{t}^2/2)/SQRT(2*PI())-{t}*(1-NORMSDIST({t})))"


def _answers(key: str) -> dict[str, str]:
    """Say in the sheet's unit and in words what comes of it; empty until enough is filled in."""
    angles = f"AND(ISNUMBER({key}angle_1),ISNUMBER({key}angle_2))"
    apart = f"ABS({key}angle_1-{key}angle_2)"
    tested = "AND({ready}=1,ISNUMBER({span_mm}))"
    slip = "OR(ABS({z_span})>{slip_k},ABS({z_end})>{slip_k_second})"
    off = "{gap}+{gap_doubt}<{pitch_low},{gap}-{gap_doubt}>{pitch_high}"
    return {
        "expected": 'IF({ready}=1,({head}+({heads}-1)*{pitch}-{pull})/{unit_mm},"")',
        "difference": f'IF({tested},{{over}}/{{unit_mm}},"")',
        "words": f'IF({tested},IF(OR({slip},{off}),"look again","agrees"),"")',
        "apart": f'IF({angles},{apart},"")',
        "angle_words": f'IF({angles},IF({apart}>{{angle_spread}},"look again","agree"),"")',
    }


def missing_formula(number: int) -> str:
    """Count the needed cells of a section that are still empty; empty text where nothing is written in the section.

    A cell that holds an error is not empty.

    Args:
        number: The section, 1 at the bass.

    Returns:
        The formula without the equals sign.
    """
    key = f"s{number}_"
    always = [f"{key}{name}" for name in ("register", "dampers", "span", "strut")]
    cases = [_empty(name) for name in always]
    cases.append(f"{_empty(key + 'run')}*IF(ISNUMBER({key}dampers),IF({key}dampers>={HEADS_OF_A_RUN},1,0),1)")
    no_dampers = f"IF(ISNUMBER({key}dampers),IF({key}dampers=0,1,0),0)"
    cases += [f"{_empty(key + 'screws')}*(1-{no_dampers})", f"{_empty(key + 'notes')}*{no_dampers}"]
    cases.append(f"{_empty(key + 'angle_1')}*{_empty(key + 'angle_2')}")
    cases += [f"{_empty(f'{key}gauge_{end}')}*{_empty(f'{key}rest_{end}')}" for end in ("low", "high")]
    return f'IF({anything_written(number)},{"+".join(cases)},"")'


def anything_written(number: int) -> str:
    """Write the condition that something stands in a section."""
    return f"COUNTA({','.join(field.key for field in fields_of_section(number))})>0"


def _empty(key: str) -> str:
    return f'IFERROR(IF(TRIM({key})="",1,0),0)'

"""What a run keeps of an instrument is enough for everything that is about more than one."""

import json
import math
from dataclasses import replace

import pytest

from hand_made_week import week
from railwright.writing.output_set import write_for_week, write_plans
from railwright.writing.results_file import instrument_text, results_text


def test_the_week_s_own_files_are_the_same_from_light_instruments(tmp_path):
    whole = week()
    light = replace(whole, instruments=tuple(instrument.light() for instrument in whole.instruments))
    texts = [instrument_text(instrument) for instrument in whole.instruments]
    for name, one in (("whole", whole), ("light", light)):
        (tmp_path / name).mkdir()
        write_plans(one, tmp_path / name)
        write_for_week(one, texts, tmp_path / name)
    files = sorted(path.relative_to(tmp_path / "whole") for path in (tmp_path / "whole").rglob("*.*"))
    assert len(files) > 6
    for file in files:
        assert (tmp_path / "light" / file).read_bytes() == (tmp_path / "whole" / file).read_bytes(), file


def test_results_written_piece_by_piece_are_the_whole_document(tmp_path):
    whole = week()
    write_for_week(whole, map(instrument_text, whole.instruments), tmp_path)
    assert (tmp_path / "results.json").read_text(encoding="utf-8") == results_text(whole)


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_a_number_that_is_none_is_null(number):
    whole = next(one for one in week().instruments if one.result and one.result.sections)
    broken = replace(whole, result=replace(whole.result, lever_force_n=number))
    assert json.loads(instrument_text(broken), parse_constant=pytest.fail)["lever_force_N"] is None

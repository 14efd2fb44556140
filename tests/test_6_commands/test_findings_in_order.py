"""Findings are listed as somebody works through them: the gravest first, then as the survey is filled in."""

from pathlib import Path

import pytest

from railwright.book.default_catalogue import default_shop_book
from railwright.one_file import examine
from railwright.survey.fields import all_fields
from railwright.survey.findings import SEVERITIES

SAMPLES = Path(__file__).parents[2] / "samples"
PLACES = [field.key for field in all_fields()]


@pytest.mark.parametrize("order", ["vennick/K-4207", "quarley/K-4217", "vennick/K-4204", "ferrowby/K-4209"])
def test_findings_follow_severity_then_the_sheet(order):
    found = examine(SAMPLES / f"{order}.xlsx", f"{order}.xlsx", default_shop_book()).findings
    keys = [(SEVERITIES.index(one.severity), PLACES.index(one.field) if one.field else -1) for one in found]
    assert len(set(keys)) > 3
    assert keys == sorted(keys)

"""``process --ledger`` holds each piano against earlier ones of its maker and model, and says the same each time."""

import json
from contextlib import nullcontext

import pytest
from click.testing import CliRunner

from little_surveys import SECTION, little_survey
from railwright.cli import main

#: Twenty-eight heads read to 1/8 inch: a miscount hides among the roundings.
LONG = SECTION | {"register": "tenor", "dampers": 28, "notes": 28, "span": "15 1/8", "run": "3 7/8"}


@pytest.fixture(autouse=True)
def no_workers(monkeypatch):
    """Do the work in this process: starting workers takes longer than these surveys do."""
    monkeypatch.setattr("railwright.commands.workers.workers", lambda jobs: nullcontext(None))


def week(desk, number, *surveys):
    """Process a week of surveys, given as order number and what differs; findings by order number."""
    folder = desk / f"in{number}"
    folder.mkdir(exist_ok=True)
    for order, changed in surveys:
        little_survey(folder / f"{order}.xlsx", LONG | changed, order_no=order, serial=f"S {order}")
    out = desk / f"out{number}"
    result = CliRunner().invoke(main, ["process", str(folder), "-o", str(out), "--ledger", str(desk / "l")])
    assert result.exit_code == 0, result.output
    told = json.loads((out / "results.json").read_text(encoding="utf-8"))["instruments"]
    return {one["order_no"]: one for one in told}


def rules(one):
    return [(each["rule"], each["field"]) for each in one["findings"]]


def test_from_the_third_piano_of_a_model_on_the_first_two_have_a_say(tmp_path):
    first = week(tmp_path, 1, ("A-1", {}), ("A-2", {"span": "15"}))
    assert all("kind" not in section for one in first.values() for section in one["sections"])
    second = week(tmp_path, 2, ("B-1", {"dampers": 27, "notes": 28}), ("B-2", {}))
    assert ("departs_from_kind", "s1_dampers") in rules(second["B-1"])
    assert second["B-1"]["state"] == "confirm" and second["B-2"]["sections"][0]["kind"]["verdict"] == "as its kind"
    assert second["B-1"]["measure_next"][0]["field"] == "s1_dampers"
    assert "differs_from_same_model" not in [rule for rule, _ in rules(second["B-1"]) + rules(second["B-2"])]
    again = week(tmp_path, 2)
    assert {order: rules(one) for order, one in again.items()} == {order: rules(one) for order, one in second.items()}
    assert [one["sections"] for one in week(tmp_path, 1).values()] == [one["sections"] for one in first.values()]

"""What README and the walk through the sample week say is so."""

import re
import subprocess
import sys
from collections import Counter
from fractions import Fraction

import pytest

from measuring import INCH
from railwright.cli import COMMANDS
from railwright.reading.lengths import parse_length
from railwright.reading.parsed import Conventions
from railwright.reading.sheet import CellValue
from week_of_samples import DEMO, OTHERS, ROOT, SURVEYS

README = (ROOT / "README.md").read_text("utf-8")
WALK = (DEMO / "README.md").read_text("utf-8")


def orders_in(text):
    """Read ``K-4101 to K-4106`` or ``K-4112, K-4113`` as a list of orders."""
    numbers = [int(number) for number in re.findall(r"K-(\d{4})", text)]
    if " to " in text:
        numbers = list(range(numbers[0], numbers[1] + 1))
    return [f"K-{number}" for number in numbers]


def test_the_walk_lists_every_sample_with_its_state():
    listed = {}
    for orders, state in re.findall(r"^\| (K-[^|]+) \|[^|]+\| (\w+) \|$", WALK, re.MULTILINE):
        listed |= dict.fromkeys(orders_in(orders), state)
    # one survey carries the order number of another, so files tell them apart
    assert listed == {page["file"].rsplit("/", 1)[1].removesuffix(".xlsx"): page["state"] for page in SURVEYS}


def test_the_walk_counts_the_states_rightly():
    counts = Counter(page["state"] for page in (*SURVEYS, *OTHERS))
    words = f"{counts['release']} released,\n{counts['confirm']} to confirm, {counts['hold']} on hold"
    assert words in WALK
    assert f"{len(SURVEYS)} workbooks of three technicians" in WALK


def test_the_readme_lists_the_commands_that_there_are():
    assert re.findall(r"^\| `railwright ([a-z-]+)", README, re.MULTILINE) == list(COMMANDS)


@pytest.mark.parametrize("command", list(COMMANDS))
def test_every_option_in_the_readme_is_an_option(command):
    row = next(line for line in README.splitlines() if line.startswith(f"| `railwright {command}"))
    options = set(re.findall(r"(?<![\w-])(--?[a-z][a-z-]*)", row.split("` |")[0]))
    shown = subprocess.run([sys.executable, "-m", "railwright", command, "--help"], capture_output=True, text=True)
    assert all(option in shown.stdout for option in options), options


def test_the_test_command_stands_in_the_readme_where_the_machine_looks_for_it():
    found = [line for line in README.splitlines() if re.fullmatch(r"python -m pip install .*python -m pytest", line)]
    assert found == ['python -m pip install ".[test]" && python -m pytest']


@pytest.mark.parametrize(("unit", "meant_mm"), [("in", Fraction(12 * 8 + 1, 8) * INCH), ("mm", Fraction(308))])
def test_the_spellings_in_the_readme_are_read_as_it_says(unit, meant_mm):
    row = next(
        line for line in README.splitlines() if line.endswith(" 12 1/8 inches |" if unit == "in" else " 308 mm |")
    )
    spellings = re.findall(r"`([^`]+)`", row)
    assert len(spellings) >= 3
    for text in spellings:
        parsed = parse_length(CellValue("text", text, text), Conventions(unit))
        assert (parsed.value, parsed.problem) == (meant_mm, None), text

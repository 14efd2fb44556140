import ast
from pathlib import Path

import pytest

import railwright.reading
from railwright.checking.base import rules_of


def problems_named_in_the_code():
    """Find the first argument of every call of ``problem`` in the parsers."""
    folder = Path(railwright.reading.__file__).parent
    for path in sorted(folder.glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "problem":
                yield from (name.value for name in ast.walk(node.args[0]) if isinstance(name, ast.Constant))


PROBLEMS = sorted(set(problems_named_in_the_code()))


def test_the_search_finds_the_parsers():
    assert {"date_in_length_cell", "unreadable_screws", "unknown_choice", "error_in_cell"} <= set(PROBLEMS)


@pytest.mark.parametrize("name", PROBLEMS)
def test_every_problem_that_the_reader_names_is_a_rule_of_single_cells(name):
    assert name in {entry.name for entry in rules_of("cell")}

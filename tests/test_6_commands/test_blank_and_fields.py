import json
import subprocess
import sys

import pytest
from click.testing import CliRunner

from railwright.cli import main
from railwright.reading.survey import read_survey
from railwright.survey.fields import all_fields


def run(*args):
    return CliRunner().invoke(main, [str(arg) for arg in args])


def test_one_blank(tmp_path):
    result = run("blank", "--unit", "mm", "--sections", 3, "-o", tmp_path / "new" / "a.xlsx")
    assert result.exit_code == 0
    survey, _ = read_survey(tmp_path / "new" / "a.xlsx", "a.xlsx")
    assert survey.unit == "mm"
    assert "s3_span" in survey.answers and "s4_span" not in survey.answers


def test_one_workbook_an_order(tmp_path):
    jobs = tmp_path / "jobs.csv"
    jobs.write_text("order_no;site;sections\nK-1;Elm hall;2\n../../K;x;\nCON;y;\nK-1;again;\n", encoding="utf-8")
    result = run("blank", "--jobs", jobs, "-o", tmp_path / "out")
    assert result.exit_code == 0
    assert "Line 5: order number K-1 stands in line 2 already." in result.output
    names = sorted(path.name for path in (tmp_path / "out").iterdir())
    assert len(names) == 3 and names[0] == "K-1.xlsx"
    assert not any(name.split(".")[0].upper() == "CON" for name in names)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["jobs.csv", "out"]
    assert read_survey(tmp_path / "out" / "K-1.xlsx", "a")[0].site == "Elm hall"


def test_nothing_is_replaced_unless_asked(tmp_path):
    path = tmp_path / "a.xlsx"
    path.write_text("mine", encoding="utf-8")
    result = run("blank", "-o", path)
    assert (result.exit_code, path.read_text(encoding="utf-8")) == (2, "mine")
    assert "is already there" in result.output
    assert run("blank", "-o", path, "--force").exit_code == 0
    assert path.read_bytes().startswith(b"PK")


def test_one_order_already_there_stops_all(tmp_path):
    jobs = tmp_path / "jobs.csv"
    jobs.write_text("order_no\nK-1\nK-2\n", encoding="utf-8")
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "K-2.xlsx").write_text("mine", encoding="utf-8")
    assert run("blank", "--jobs", jobs, "-o", tmp_path / "out").exit_code == 2
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["K-2.xlsx"]


@pytest.mark.parametrize(
    "args, status",
    [
        (["blank"], 2),
        (["blank", "-o", "a.pdf"], 2),
        (["blank", "-o", "."], 2),
        (["blank", "--unit", "cm", "-o", "a.xlsx"], 2),
        (["blank", "--sections", "7", "-o", "a.xlsx"], 2),
        (["blank", "--sections", "0", "-o", "a.xlsx"], 2),
        (["blank", "--jobs", "none.csv", "-o", "out"], 2),
        (["blank", "--jobs", "empty.csv", "-o", "out"], 3),
        (["blank", "--jobs", "useless.csv", "-o", "out"], 3),
        (["blank", "--jobs", "good.csv", "-o", "empty.csv"], 2),
        (["blank", "-o", "empty.csv/a.xlsx"], 3),
        (["blank", "--shop-book", "empty.csv", "-o", "a.xlsx"], 3),
    ],
)
def test_exit_statuses(tmp_path, monkeypatch, args, status):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "empty.csv").write_text("", encoding="utf-8")
    (tmp_path / "useless.csv").write_text("order_no,site\n,x\n", encoding="utf-8")
    (tmp_path / "good.csv").write_text("order_no\nK-1\n", encoding="utf-8")
    result = run(*args)
    assert result.exit_code == status
    assert len(result.output.strip()) > 20 and "Traceback" not in result.output
    assert sorted(path.name for path in tmp_path.iterdir()) == ["empty.csv", "good.csv", "useless.csv"]


def test_fields_as_json_are_the_declaration():
    listed = json.loads(run("fields", "--json").output)
    assert [entry["key"] for entry in listed] == [field.key for field in all_fields()]
    assert all({"key", "label", "kind", "unit", "required", "help"} <= entry.keys() for entry in listed)
    span = next(entry for entry in listed if entry["key"] == "s6_span")
    assert (span["kind"], span["unit"], span["required"]) == ("length", "reading", True)


def test_fields_as_text_name_every_field_once():
    output = run("fields").output
    for field in all_fields(1):
        assert output.count(f"{field.label} (") == 1
    assert "s1_" in output and "Traceback" not in output


@pytest.mark.parametrize("args", [["--help"], ["blank", "--help"], ["fields"]])
def test_help_loads_nothing_heavy(args):
    code = (
        "import sys\nfrom railwright.cli import main\n"
        f"main({args!r}, standalone_mode=False)\n"
        "heavy = {'pandas', 'numpy', 'scipy', 'openpyxl', 'pint', 'lxml', 'jinja2', 'rich', 'highspy', 'ezdxf'}\n"
        "heavy &= set(sys.modules)\n"
        "sys.exit(f'loaded {heavy}' if heavy else 0)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False, capture_output=True).returncode == 0

"""The samples folder is what the demonstration scripts write, and nothing else."""

import json

import make_samples
from week_of_samples import OTHERS, SAMPLES, SURVEYS, TRUTH


def test_the_stated_truth_is_what_the_scripts_state():
    pages = [make_samples.truth_of(piano, make_samples.filled_cells(piano)[1]) for piano in make_samples.WEEK]
    assert json.loads(json.dumps(pages)) == SURVEYS
    assert TRUTH["seed"] == make_samples.SEED


def test_the_same_run_gives_the_same_bytes(tmp_path):
    piano = make_samples.CLEAN[0]
    for folder in ("one", "two"):
        make_samples.write_survey(piano, tmp_path / folder)
    assert (tmp_path / "one" / piano.file).read_bytes() == (tmp_path / "two" / piano.file).read_bytes()


def test_the_folder_holds_nothing_else_and_is_small():
    files = [path for path in SAMPLES.rglob("*") if path.is_file()]
    assert sorted(path.relative_to(SAMPLES).as_posix() for path in files) == sorted(
        page["file"] for page in (*SURVEYS, *OTHERS)
    )
    assert sum(path.stat().st_size for path in files) < 2_000_000

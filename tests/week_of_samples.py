"""The sample week for tests: where it lies and what is true of it."""

import json
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
SAMPLES = ROOT / "samples"
DEMO = ROOT / "demo"

TRUTH = json.loads((DEMO / "truth.json").read_text(encoding="utf-8"))
SURVEYS = TRUTH["surveys"]
OTHERS = TRUTH["other_files"]


def faults(page):
    """List what was planted in one survey as pairs of rule and field."""
    return [(fault["rule"], fault["field"]) for fault in page["faults"]]


def may_follow(page, finding):
    """Tell whether a finding is a stated consequence of what was planted."""
    stated = {(each["rule"], each["field"]) for each in page["follows"]}
    return ("*", "*") in stated or (finding["rule"], finding["field"]) in stated

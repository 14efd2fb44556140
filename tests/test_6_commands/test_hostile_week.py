"""Bad files cost themselves only: the good surveys beside them come out to the byte as if they were alone."""

import sys

import pytest

from hostile_files import KINDS
from hostile_week import MOST_MIB, compare
from killed_runs import WHOLE
from little_surveys import little_survey


@pytest.fixture(scope="module")
def seen(tmp_path_factory):
    good = tmp_path_factory.mktemp("good")
    for number in range(20):
        little_survey(good / f"{number}.xlsx", WHOLE, order_no=f"T-{number}", serial=f"S 10{number}")
    return compare(good, tmp_path_factory.mktemp("desk"), 2)


def test_good_surveys_come_out_as_if_they_were_alone(seen):
    assert seen.files > 100
    assert seen.differing == []


@pytest.mark.parametrize("kind", KINDS)
def test_each_bad_file_is_on_hold_and_says_why(seen, kind):
    (finding,) = seen.told[kind]["findings"]
    assert (seen.told[kind]["state"], finding["rule"]) == ("hold", "unreadable_workbook")
    assert KINDS[kind][1] in finding["message"]


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells how much memory processes take")
def test_memory_stays_bounded(seen):
    assert 0 < seen.peak_mib < MOST_MIB

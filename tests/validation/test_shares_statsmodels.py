"""The range of a share against statsmodels' Wilson interval, a general-purpose library's own."""

import pytest
from statsmodels.stats.proportion import proportion_confint

from railwright.reporting.shares import share_range


@pytest.mark.parametrize("of", [1, 2, 7, 35, 1000])
@pytest.mark.parametrize("confidence", [0.5, 0.95, 0.999])
def test_the_range_is_that_of_the_library(of, confidence):
    for found in {0, 1, of // 3, of // 2, of - 1, of}:
        low, high = proportion_confint(found, of, alpha=1 - confidence, method="wilson")
        assert share_range(found, of, confidence) == pytest.approx((low, high), abs=1e-9)


@pytest.mark.parametrize(("found", "of"), [(0, 0), (3, 2), (-1, 5)])
def test_what_is_no_share_is_refused(found, of):
    with pytest.raises(ValueError, match="is no share"):
        share_range(found, of)

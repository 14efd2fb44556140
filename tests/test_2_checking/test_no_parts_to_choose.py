from dataclasses import replace

import pytest

from helpers_checking import BOOK, computed, one_section


@pytest.mark.parametrize(("missing", "counts"), [("carriers", "0 carriers, 3 felts"), ("felts", "7 carriers, 0 felts")])
def test_a_shop_book_without_them(missing, counts):
    (finding,) = computed(one_section(), "no_parts_to_choose", replace(BOOK, **{missing: ()}))
    assert (finding.field, finding.severity) == (None, "fix")
    assert counts in finding.message


def test_the_default_shop_book_is_quiet():
    assert computed(one_section(), "no_parts_to_choose") == []

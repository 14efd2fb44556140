"""What the shop sheet says of readings that decide."""

from __future__ import annotations

from fit_samples import bass, survey, tenor, treble
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.compute import compute
from railwright.writing.turning_words import turning_words

BOOK = default_shop_book()


def test_a_release_with_little_to_spare_says_so():
    of = survey(bass(), tenor(), treble(dampers=12, notes=12, gauge=1 / 4, rest=1 / 4))
    assert turning_words(compute(of, BOOK).sections) == (
        "Section 3: Clear gauge, high end: were it 1.2 mm less, the section by itself would be to confirm, not "
        "released.",
        "Section 3: Clear gauge, low end: were it 1.2 mm less, the section by itself would be to confirm, not "
        "released.",
    )


def test_a_release_with_room_to_spare_says_nothing():
    assert turning_words(compute(survey(bass(), tenor(), treble(dampers=12, notes=12)), BOOK).sections) == ()

"""Screw heads and holes against printed tables.

Suppliers' copies of ISO 273 (engineeringhardware.com), ISO 7046-2 and ISO 7045 (fullerfasteners.com), ISO 10642
(Screw tables of joshuanava.biz) and DIN 7991 (fullerfasteners.com); ASME B18.6.1 wood screws as printed by ary.com.
"""

from __future__ import annotations

import pytest

from railwright.computing import screws


@pytest.mark.parametrize(
    ("size", "fine", "medium", "coarse"),
    [
        ("M2", 2.2, 2.4, 2.6),
        ("M2.5", 2.7, 2.9, 3.1),
        ("M3", 3.2, 3.4, 3.6),
        ("M3.5", 3.7, 3.9, 4.2),
        ("M4", 4.3, 4.5, 4.8),
        ("M5", 5.3, 5.5, 5.8),
        ("M6", 6.4, 6.6, 7.0),
        ("M8", 8.4, 9.0, 10.0),
    ],
)
def test_clearance_holes(size, fine, medium, coarse):
    assert screws.clearance_hole(size, "fine") == fine
    assert screws.clearance_hole(size) == medium
    assert screws.clearance_hole(size.lower(), "coarse") == coarse


@pytest.mark.parametrize(
    ("size", "largest", "smallest"),
    [
        ("M2", 3.8, 3.5),
        ("M2.5", 4.7, 4.4),
        ("M3", 5.5, 5.2),
        ("M3.5", 7.3, 6.9),
        ("M4", 8.4, 8.0),
        ("M5", 9.3, 8.9),
        ("M6", 11.3, 10.9),
    ],
)
def test_flat_heads_of_machine_screws(size, largest, smallest):
    """ISO 7046: the largest head counts, so that every screw clears."""
    assert screws.head_diameter(f"ISO 7046 {size}") == largest > smallest


@pytest.mark.parametrize("size", ["M3", "M4", "M5", "M6", "M8"])
def test_flat_heads_of_socket_screws(size):
    """ISO 10642: theoretical sharp diameter 2.24 d."""
    assert screws.head_diameter(f"ISO 10642 {size}") == pytest.approx(2.24 * float(size[1:]), abs=0.005)


@pytest.mark.parametrize(("size", "older"), [("M3", 6.0), ("M4", 8.0), ("M5", 10.0), ("M6", 12.0)])
def test_the_older_standard_is_another(size, older):
    """DIN 7991 heads are smaller; many pages print them as ISO 10642."""
    assert screws.head_diameter(f"ISO 10642 {size}") > older


@pytest.mark.parametrize(("size", "head"), [("M3", 5.6), ("M4", 8.0), ("M5", 9.5), ("M6", 12.0)])
def test_pan_heads(size, head):
    assert screws.head_diameter(f"ISO 7045 {size}") == head


@pytest.mark.parametrize(
    ("number", "inches"), [(4, 0.225), (6, 0.279), (8, 0.332), (10, 0.385), (12, 0.438), (14, 0.507)]
)
def test_wood_screw_heads(number, inches):
    assert screws.head_diameter(f"ASME B18.6.1 No. {number}") == pytest.approx(inches * 25.4)


@pytest.mark.parametrize(
    ("number", "basic_in", "limits_in"),
    [(6, 0.138, (0.142, 0.131)), (8, 0.164, (0.168, 0.157)), (10, 0.190, (0.194, 0.183)), (14, 0.242, None)],
)
def test_wood_screw_shanks(number, basic_in, limits_in):
    """0.060 + 0.013 n in; the printed limits are + 0.004 and - 0.007 in of it."""
    assert screws.wood_screw_diameter(number) / 25.4 == pytest.approx(basic_in)
    if limits_in is not None:
        assert limits_in == pytest.approx((basic_in + 0.004, basic_in - 0.007))


def test_british_gauge_has_another_basis():
    """0.066 + 0.014 (g - 1) in for the British gauge: the same for No. 8, not for No. 10."""
    assert screws.wood_screw_diameter(8) / 25.4 == pytest.approx(0.066 + 0.014 * 7)
    assert screws.wood_screw_diameter(10) / 25.4 != pytest.approx(0.066 + 0.014 * 9, abs=1e-4)


@pytest.mark.parametrize("name", ["iso 7046 m4", "ISO7046 M4", " ISO 7046  M4 "])
def test_spelling_does_not_matter(name):
    assert screws.head_diameter(name) == 8.4


@pytest.mark.parametrize("name", ["", "M4", "ISO 7046", "ISO 7046 M7", "ISO 7046 M40"])
def test_unknown_screw_lists_the_known(name):
    with pytest.raises(ValueError, match=r"ISO 7046 M4.*ASME B18\.6\.1 No\. 8"):
        screws.head_diameter(name)


def test_unknown_hole():
    with pytest.raises(ValueError, match="M7"):
        screws.clearance_hole("M7")


def test_every_listed_screw_is_known():
    assert all(3.0 < screws.head_diameter(name) < 20.0 for name in screws.known_screws())

"""What a result says of its strings and stations: the felt's pressing at every string, reactions that balance."""

from __future__ import annotations

import numpy as np
import pytest

from fit_samples import bass, fitted, survey, tenor, treble
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.profiles import GRAVITY, area

BOOK = default_shop_book()
CARRIERS = {carrier.item: carrier for carrier in BOOK.carriers}
FELTS = {felt.item: felt for felt in BOOK.felts}

ORDINARY = {
    "ordinary": survey(bass(), tenor(), treble()),
    "leaning and tilted": survey(bass(angle=66.0, rest=(7 / 8, 5 / 8)), tenor(angle=104.0), treble(screws=(6, 13))),
    "in front": survey(bass(strut=True), tenor(strut=True), treble(strut=True, rest=(1 / 2, 3 / 8))),
    "eased": survey(bass(), tenor(), treble(gauge=1 / 4, rest=(1 / 4, 3 / 8))),
    "a lift that no crank gives": survey(bass(rest=1.5), tenor(), treble()),
}


def weight_n(part) -> float:
    """Carrier and felt over the segment, as heavy as their stuff is; kg/m3 are 1e-9 kg/mm3."""
    carrier, felt = CARRIERS[part.carrier.item], FELTS[part.felt.item]
    mass = area(carrier) * carrier.density_kg_m3 + carrier.width_mm * felt.thickness_mm * felt.density_kg_m3
    return mass * 1e-9 * GRAVITY * part.carrier.edge_mm


@pytest.mark.parametrize("of", ORDINARY.values(), ids=ORDINARY)
def test_stations_carry_strings_and_weight_and_nothing_else(of):
    """Statics: reactions less loads come to nothing, and so do their moments about the origin, to 1e-9."""
    for part in fitted(of).sections:
        at = np.array([station.x_mm for station in part.stations])
        up = np.array([station.reaction_n for station in part.stations])
        x = np.array([load.x_mm for load in part.loads])
        down = np.array([load.force_n for load in part.loads])
        own, middle = weight_n(part), (part.carrier.start_mm + part.carrier.end_mm) / 2
        scale = np.abs(up).sum()
        assert abs(up.sum() - down.sum() - own) <= 1e-9 * scale
        assert abs(up @ at - down @ x - own * middle) <= 1e-9 * scale * np.abs(x).max()


@pytest.mark.parametrize("of", ORDINARY.values(), ids=ORDINARY)
def test_every_note_is_pressed_as_the_section_says(of):
    for part in fitted(of).sections:
        pressing = [load.press_mm for load in part.loads]
        assert (min(pressing), max(pressing)) == (part.press_min_mm, part.press_max_mm)
        assert [load.note for load in part.loads] == list(range(part.first_note, part.last_note + 1))


def test_pressed_strings_push_with_their_full_force():
    for part in fitted(ORDINARY["ordinary"]).sections:
        for load in part.loads:
            assert load.press_mm > 0.0
            assert load.force_n == pytest.approx(load.strings * BOOK.value(f"press_{part.register}"))


def test_contact_is_settled_at_once_where_every_string_is_reached():
    for part in fitted(ORDINARY["ordinary"]).sections:
        assert (part.contact_rounds, part.contact_settled) == (1, True)

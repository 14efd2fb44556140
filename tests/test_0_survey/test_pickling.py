import copy
import pickle
from dataclasses import dataclass, field, fields

import pytest

from railwright.computing.results import NoteLoad, Part
from railwright.survey.fields import field_by_key
from railwright.survey.pickling import quickly_pickled
from railwright.survey.records import Answer

FULL = [
    Answer(field_by_key()["s2_run"], "Survey", "C7", "8/32", 6.35, "unknown_choice", "Read as 8/32.", 0.8),
    NoteLoad(21, 3.5, 3, 0.25, -0.5),
    Part("HL-01", 2.5, "m"),
]


@pytest.mark.parametrize("value", FULL, ids=lambda value: type(value).__name__)
def test_every_value_comes_back_in_its_place(value):
    values = [getattr(value, each.name) for each in fields(value)]
    assert len(set(map(repr, values))) == len(values)  # a value in another's place would show
    for back in (*(pickle.loads(pickle.dumps(value, version)) for version in (2, 5)), copy.deepcopy(value)):
        assert type(back) is type(value) and back == value


def test_a_known_field_is_the_same_one_afterwards():
    assert pickle.loads(pickle.dumps(FULL[0])).field is field_by_key()["s2_run"]


def test_values_that_have_no_place_are_refused():
    @dataclass(frozen=True, kw_only=True)
    class Named:
        a: int
        b: int

    @dataclass(frozen=True)
    class Derived:
        a: int
        b: int = field(init=False, default=0)

    for cls in (Named, Derived):
        with pytest.raises(TypeError, match="in order"):
            quickly_pickled(cls)

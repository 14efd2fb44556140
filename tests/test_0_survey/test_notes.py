import pytest

from railwright.survey.notes import note_name

# Integer parts of the frequencies of the 88 keys, twelve-tone equal temperament at A4 = 440 Hz: OEIS A214832, first
# and last terms and every octave of A; ISO 16:1975 for A4.
OEIS_A214832 = {1: 27, 2: 29, 3: 30, 13: 55, 25: 110, 37: 220, 49: 440, 61: 880, 73: 1760, 85: 3520, 87: 3951, 88: 4186}
SEMITONES = {"C": 0, "C#": 1, "D": 2, "D#": 3, "E": 4, "F": 5, "F#": 6, "G": 7, "G#": 8, "A": 9, "A#": 10, "B": 11}


def frequency(name):
    """A name's frequency from its letter and octave alone: octaves begin at C, and A4 is 440 Hz."""
    letter, octave = name[:-1], int(name[-1])
    return 440.0 * 2.0 ** (octave - 4 + (SEMITONES[letter] - SEMITONES["A"]) / 12)


@pytest.mark.parametrize(("note", "whole_hertz"), OEIS_A214832.items())
def test_names_sound_at_the_published_frequencies(note, whole_hertz):
    assert int(frequency(note_name(note)) + 1e-9) == whole_hertz


# Scientific pitch notation with key numbers and MIDI numbers n + 20; the table that every MIDI reference prints.
@pytest.mark.parametrize(
    ("note", "name"),
    [
        (1, "A0"),
        (4, "C1"),
        (16, "C2"),
        (28, "C3"),
        (40, "C4"),
        (49, "A4"),
        (52, "C5"),
        (64, "C6"),
        (76, "C7"),
        (88, "C8"),
    ],
)
def test_published_names_of_keys(note, name):
    assert note_name(note) == name


def test_octave_number_changes_between_b_and_c():
    assert [note_name(note) for note in (38, 39, 40)] == ["A#3", "B3", "C4"]


def test_middle_c_is_neither_c3_nor_c5():
    assert note_name(60 - 20) not in ("C3", "C5")


def test_fifty_two_naturals_and_thirty_six_sharps():
    names = [note_name(note) for note in range(1, 89)]
    assert len(set(names)) == 88
    assert sum("#" in name for name in names) == 36


@pytest.mark.parametrize("note", [0, 89, -1])
def test_no_such_key(note):
    with pytest.raises(ValueError, match="outside"):
        note_name(note)

"""A slip in plain words: what it looks like, what the cell would hold, and what it does to the parts."""

from __future__ import annotations

from collections.abc import Mapping

_THINGS = {"span": "span", "run": "run", "run_end": "second run", "dampers": "count of dampers"}
_UNIT_WORDS = {"inches": "inches", "mm": "millimetres", "cm": "centimetres"}
_TAILS = {
    "over_eight_spaces": "looks like eight spaces; seven would read {corrected}",
    "over_six_spaces": "looks like six spaces; seven would read {corrected}",
    "from_wrong_edge": "looks one head width off, taken from the wrong edge; between like edges it would read "
    "{corrected}",
    "between_centres": "looks taken between the middles of the end heads; over the outer edges it would read "
    "{corrected}",
    "between_inner_edges": "looks taken between the inner edges of the end heads; over the outer edges it would read "
    "{corrected}",
    "inch_misread": "looks an inch misread; {corrected} would fit",
    "half_inch_misread": "looks half an inch misread; {corrected} would fit",
    "figures_swapped": "looks to have two figures swapped; {corrected} would fit",
}

_GUESSES = {
    "count_one_low": "a count one too low",
    "count_two_low": "a count two too low",
    "count_one_high": "a count one too high",
    "count_two_high": "a count two too high",
    "count_figures_swapped": "two figures of the count swapped",
    "over_eight_spaces": "a {what} over eight spaces",
    "over_six_spaces": "a {what} over six spaces",
    "from_wrong_edge": "a {what} from the wrong edge",
    "between_centres": "a {what} between the middles of the end heads",
    "between_inner_edges": "a {what} between the inner edges of the end heads",
    "inch_misread": "a {what} an inch misread",
    "half_inch_misread": "a {what} half an inch misread",
    "figures_swapped": "two figures of the {what} swapped",
}


def thing(key: str) -> str:
    """Name a reading in words, from its key with or without the section: ``s2_run_end`` -> ``second run``."""
    bare = key.partition("_")[2] if key.startswith("s") and key[1:2].isdigit() else key
    return _THINGS[bare]


def account_words(
    names: tuple[str, ...], corrected: tuple[str, ...], counted: int, lookalikes: tuple[str, ...] = ()
) -> str:
    """Say what an account of the readings amounts to.

    Args:
        names: its slips, one or two.
        corrected: what the cell of each slip would hold.
        counted: the number of heads as written.
        lookalikes: rarer slips that the readings cannot tell from it.

    Returns:
        One sentence a slip, and one more where there are lookalikes.
    """
    each = [f"{_capital(_sentence(name, value, counted))}." for name, value in zip(names, corrected, strict=True)]
    if len(names) > 1:
        each.insert(0, "Two slips together would explain it.")
    if lookalikes:
        each.append(f"{_capital(' or '.join(guess(name) for name in lookalikes))} would look the same.")
    return " ".join(each)


def unclear_words(
    tested: str, others: list[str], spelled: tuple[str, str, str], retake: tuple[str, bool], likeliest: list[str]
) -> str:
    """Say that readings disagree without a clear cause, and which one to take again.

    Args:
        tested: the full key of the reading that was predicted.
        others: the readings that it was predicted from, beside the count; with none it was the usual pitch.
        spelled: that reading as written, as predicted, and twice the prediction's standard deviation.
        retake: the full key of the reading that settles most, and whether a second run would settle more.
        likeliest: names of the likeliest accounts; an empty one is no slip.

    Returns:
        Three sentences.
    """
    written, predicted, doubt = spelled
    what = thing(tested)
    sources = ["count", *(thing(other) for other in others)] if others else ["count", "usual pitch"]
    known = f"{', '.join(sources[:-1])} and {sources[-1]}"
    return (
        f"By {known} the {what} should be about {predicted}, give or take {doubt}, but {written} is written. "
        f"{unexplained_words(retake, likeliest)}"
    )


def unexplained_words(retake: tuple[str, bool], likeliest: list[str]) -> str:
    """Say that no slip stands out, what is likeliest, and what to take again: its full key, and if a second run."""
    guesses = " or ".join(guess(name) for name in likeliest)
    again = "Count the heads again" if thing(retake[0]) == thing("dampers") else f"Take the {thing(retake[0])} again"
    better = ", or better still take a second run near the other end" if retake[1] else ""
    return f"No single slip explains it clearly (most likely {guesses}). {again}{better}: that settles most."


def listed_lengths(lengths: Mapping[str, str]) -> str:
    """List lengths by field name in words: ``span about 15 1/8 in, run about 3 7/8 in``."""
    return ", ".join(f"{thing(name)} about {length}" for name, length in lengths.items())


def effect_words(names: tuple[str, ...], edge_mm: float, wire_mm: float | None) -> str:
    """Say what the readings as written would do to the parts.

    Args:
        names: the slips of the account.
        edge_mm: by how much the true section is longer than the readings say, mm.
        wire_mm: how far the worst wire would be drawn from its place, mm; ``None`` where no row of wires is left.

    Returns:
        One sentence.
    """
    effects = []
    if abs(edge_mm) >= 0.5:
        effects.append(f"the segment would come out {abs(edge_mm):.0f} mm too {'short' if edge_mm > 0 else 'long'}")
    if any(name.startswith("count_") for name in names):
        effects.append("every note above would be numbered wrongly")
    if wire_mm is None:
        effects.append("the wires could not be placed by it")
    else:
        effects.append(f"wires would be drawn up to {wire_mm:.1f} mm from their places")
    return f"Left as it is, {', and '.join(effects)}."


def _sentence(name: str, corrected: str, counted: int) -> str:
    if name.startswith("count_"):
        return f"the count looks wrong: {corrected} heads would fit the readings, not {counted}"
    what, tail = _split(name)
    if "_for_" in tail:
        wrote, _, due = tail.removeprefix("in_").partition("_for_")
        words = f"written in {_UNIT_WORDS[wrote]} where {_UNIT_WORDS[due]} were due; it would read {{corrected}}"
        return f"{what} looks {words.format(corrected=corrected)}"
    return f"{what} {_TAILS[tail].format(corrected=corrected)}"


def _split(name: str) -> tuple[str, str]:
    if name.startswith("readings_"):
        return "the span", name.removeprefix("readings_")
    field = next(field for field in ("run_end", "run", "span") if name.startswith(f"{field}_"))
    return f"the {_THINGS[field]}", name.removeprefix(f"{field}_")


def guess(name: str) -> str:
    """Name an account in a few words: ``run_over_eight_spaces`` -> ``a run over eight spaces``; no name is no slip."""
    return " with ".join(_guess(part) for part in name.split("+")) if name else "no slip at all"


def _guess(name: str) -> str:
    if name in _GUESSES:
        return _GUESSES[name]
    what, tail = _split(name)
    bare = "whole section" if name.startswith("readings_") else what.removeprefix("the ")
    if "_for_" in tail:
        wrote, _, due = tail.removeprefix("in_").partition("_for_")
        return f"a {bare} in {_UNIT_WORDS[wrote]} for {_UNIT_WORDS[due]}"
    return _GUESSES[tail].format(what=bare)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]

"""The words of caution that every sheet for the shop and the fitter carries. Common practice of the trade."""

from __future__ import annotations

SAFETY_WORDS: tuple[str, ...] = (
    "The strings together carry many tonnes of tension: wear eye protection.",
    "Never loosen a string, a plate bolt or a pin for this job.",
    "The key-and-hammer action is heavy, and hammers break if it is pulled with a key down.",
    "Deburr cut tube. Ventilate when gluing or soldering.",
    "Follow local workplace rules; leave structural or plate faults to a qualified rebuilder.",
)

SAFETY_LINE = " ".join(SAFETY_WORDS)

"""What a rule is, what it hands back, and how the catalogue finds rules by their files.

A rule is one module in the folder of its scope. The module's name is the rule's name everywhere. It holds a ``RULE``
(what the catalogue prints) and a function ``check`` that yields a ``Hit`` for each thing to look at again. A rule of
the result scope holds a ``MESSAGE`` template instead, filled with the facts of what computing came upon, and where the
sentence depends on them a function ``words`` that turns facts and survey into further words for it. Rules of one scope
never rely on each other's order.

A rule of the cell scope is about what the reader made of a cell: it is asked only about cells that are blank, that
could not be read, or of which the reader has something to say.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib import import_module
from pkgutil import iter_modules
from typing import Any, Literal

from railwright.survey.findings import Severity
from railwright.survey.records import Survey

RuleScope = Literal["workbook", "cell", "section", "instrument", "batch", "result"]

#: The numbers and words that computing hands on with a conflict.
Facts = Mapping[str, float | int | str]

#: The order in which scopes are checked: the file, its cells, each section, the instrument, the folder, the results.
SCOPES: tuple[RuleScope, ...] = ("workbook", "cell", "section", "instrument", "batch", "result")


@dataclass(frozen=True, slots=True)
class Rule:
    """What the catalogue says of a rule: what it catches, why that matters in the shop, what to do.

    ``do`` also stands alone beside the cell in the copy that goes back to the technician, so it is short.
    ``explains`` names rules, with ``*`` for any ending, whose findings are mere consequences where this one applies:
    they are not told, so that one wrong cell is one question.
    """

    severity: Severity
    catches: str
    why: str
    do: str
    explains: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Hit:
    """One place where a rule applies: the full field key, the sentence, and the file in a check over many.

    The sentence begins small, since the field's label is put before it. ``severity`` overrides the rule's own.
    """

    key: str | None
    message: str
    file: str | None = None
    severity: Severity | None = None


@dataclass(frozen=True, slots=True)
class Entry:
    """One rule of the catalogue with its name and scope."""

    name: str
    scope: RuleScope
    rule: Rule
    check: Callable[..., Iterator[Hit]] | None
    message: str
    words: Callable[[Facts, Survey], Mapping[str, str]] | None


@lru_cache(maxsize=1)
def catalogue() -> dict[str, Entry]:
    """Find every rule by its file, in the order of scopes and then of names."""
    return {entry.name: entry for scope in SCOPES for entry in _entries(scope)}


def rules_of(scope: RuleScope) -> list[Entry]:
    """List the rules of one scope by name."""
    return [entry for entry in catalogue().values() if entry.scope == scope]


def _entries(scope: RuleScope) -> Iterator[Entry]:
    package = import_module(f"railwright.checking.{scope}")
    for name in sorted(module.name for module in iter_modules(package.__path__)):
        module: Any = import_module(f"{package.__name__}.{name}")
        check, words = getattr(module, "check", None), getattr(module, "words", None)
        yield Entry(name, scope, module.RULE, check, getattr(module, "MESSAGE", ""), words)

"""The page templates: found in the installed package or beside the sources, everything escaped, nothing guessed."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from jinja2 import Environment, FunctionLoader, StrictUndefined

from railwright.survey.notes import FIRST_NOTE, LAST_NOTE, note_name
from railwright.writing.numbers import fixed, money, plain, several
from railwright.writing.safety import SAFETY_WORDS
from railwright.writing.saw_hand import with_strokes


def _folder() -> Traversable:
    """Find the templates: in the installed package, or at the top of a checkout."""
    installed = files("railwright") / "templates"
    return installed if installed.is_dir() else Path(__file__).parents[3] / "templates"


def _load(name: str) -> str | None:
    template = _folder() / name
    return template.read_text(encoding="utf-8") if template.is_file() else None


@lru_cache(maxsize=1)
def environment() -> Environment:
    """Make the template environment: text is escaped, an unknown name is an error."""
    made = Environment(
        loader=FunctionLoader(_load),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.filters.update(fixed=fixed, plain=plain, money=money, note=spell_note, several=several, strokes=with_strokes)
    made.globals.update(safety=SAFETY_WORDS)
    return made


def spell_note(note: int | None) -> str:
    """Name a note; ``?`` where it is not known or not on the keyboard."""
    return note_name(note) if note is not None and FIRST_NOTE <= note <= LAST_NOTE else "?"


def render_page(template: str, values: Mapping[str, Any]) -> str:
    """Render one page.

    Args:
        template: file name of the template.
        values: what it shows; every name that the template uses must be there.

    Returns:
        HTML text.
    """
    return environment().get_template(template).render(values)


def write_page(path: Path, template: str, values: Mapping[str, Any]) -> None:
    """Render one page of a whole run into its file, piece by piece: such a page grows with the run.

    Args:
        path: the page, whose folder is made; what cannot be spelled becomes a question mark.
        template: file name of the template.
        values: what it shows; every name that the template uses must be there.

    Raises:
        OSError: the page could not be written.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("w", encoding="utf-8", errors="replace", newline="\n") as page:
        page.writelines(environment().get_template(template).generate(values))


def write_text(path: Path, text: str) -> None:
    """Write a page or a drawing, whose folder is made; what cannot be spelled becomes a question mark."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8", errors="replace", newline="\n")

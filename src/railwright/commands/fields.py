"""``railwright fields``: every survey field."""

from __future__ import annotations

import json
from collections.abc import Iterable

import click

from railwright.survey.fields import INSTRUMENT_FIELDS, MAX_SECTIONS, SECTION_FIELDS, Field, all_fields


@click.command()
@click.option(
    "--json", "as_json", is_flag=True, help="Write all fields as JSON, those of every section with full keys."
)
def fields(as_json: bool) -> None:
    """List every survey field: key, label, kind, unit, whether it is required, and help."""
    if as_json:
        click.echo(json.dumps([_as_dict(field) for field in all_fields()], indent=1, ensure_ascii=False))
        return
    click.echo("Once for the instrument\n")
    click.echo(_as_text(INSTRUMENT_FIELDS))
    click.echo(f"\nFor each section; the key starts with s1_ at the bass, up to s{MAX_SECTIONS}_\n")
    click.echo(_as_text(SECTION_FIELDS))


def _as_dict(field: Field) -> dict[str, object]:
    return {
        "key": field.key,
        "label": field.label,
        "kind": field.kind,
        "unit": field.unit,
        "required": field.required,
        "required_when": field.required_when,
        "help": field.help,
        "choices": list(field.choices),
        "default": field.default,
        "may_be_zero": field.may_be_zero,
    }


def _as_text(chosen: Iterable[Field]) -> str:
    return "\n".join(_lines(field) for field in chosen)


def _lines(field: Field) -> str:
    return f"{field.key:<17} {field.label} ({', '.join(_facts(field))})\n{'':<17} {field.help}"


def _facts(field: Field) -> Iterable[str]:
    """Say what is written into the field, in which unit, and whether it must be filled."""
    yield " / ".join(field.choices) or field.kind.replace("_", " ")
    if field.unit:
        yield "in the sheet's unit" if field.unit == "reading" else field.unit
    if field.required:
        yield f"required when {field.required_when}" if field.required_when else "required"
    else:
        yield f"optional; without it: {field.default}" if field.default else "optional"

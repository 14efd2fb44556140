"""``railwright rules``: the rule catalogue, or one rule."""

from __future__ import annotations

import json

import click

from railwright.checking.base import Entry, catalogue


@click.command()
@click.argument("name", required=False)
@click.option("--json", "as_json", is_flag=True, help="Write the catalogue as JSON.")
def rules(name: str | None, as_json: bool) -> None:
    """Print what each rule catches, why it matters in the shop, and what to do; NAME picks one rule."""
    entries = catalogue()
    if name is not None and name not in entries:
        raise click.BadParameter(f"there is no rule {name!r}; 'railwright rules' lists them all", param_hint="NAME")
    chosen = list(entries.values()) if name is None else [entries[name]]
    if as_json:
        click.echo(json.dumps([_as_dict(entry) for entry in chosen], indent=1, ensure_ascii=False))
        return
    click.echo("\n\n".join(_as_text(entry) for entry in chosen))


def _as_dict(entry: Entry) -> dict[str, str]:
    rule = entry.rule
    return {
        "rule": entry.name,
        "scope": entry.scope,
        "severity": rule.severity,
        "catches": rule.catches,
        "why": rule.why,
        "do": rule.do,
    }


def _as_text(entry: Entry) -> str:
    rule = entry.rule
    return (
        f"{entry.name} ({entry.scope}, {rule.severity})\n"
        f"  Catches: {rule.catches}\n"
        f"  Why:     {rule.why}\n"
        f"  Do:      {rule.do}"
    )

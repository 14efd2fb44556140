"""The command line: it only assembles; each command loads its own module when it is called or asked for help."""

from __future__ import annotations

import importlib
import io
import sys

import click

from railwright import __version__

#: Command name, module, and the line that ``railwright --help`` shows without loading the module.
COMMANDS = {
    "blank": ("blank", "Write blank survey workbooks."),
    "process": ("process", "Read a folder of filled surveys; write findings, order and cutting sheets."),
    "check": ("check", "Show the findings of single survey workbooks."),
    "fields": ("fields", "List every survey field."),
    "rules": ("rules", "Print the rule catalogue."),
    "shop-book": ("shop_book", "Write the default shop book, ready to edit."),
    "ledger": ("ledger", "Look into the ledger; tell it of deliveries and cancelled orders."),
    "report": ("report", "Report from a ledger: open questions, lead times, yield, slips."),
    "export": ("export", "Export a ledger as tidy tables for other programs."),
    "calibrate": ("calibrate", "Propose spacing values from wires confirmed at fitting."),
}


class LazyGroup(click.Group):
    """A group whose commands are imported only when they are used, so that ``--help`` stays quick."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """List the commands in the order of a week's work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Load one command's module; ``None`` for an unknown name."""
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"railwright.commands.{COMMANDS[cmd_name][0]}")
        command: click.Command = getattr(module, COMMANDS[cmd_name][0])
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands from the table above, loading none of them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in COMMANDS.items()])


def show_what_can_be_shown() -> None:
    """Let a terminal or log that lacks a character show a question mark instead of ending the run."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="railwright")
def main() -> None:
    """From surveys of grand pianos to mute rails that fit: check, size, order and cut a folder at a time."""
    show_what_can_be_shown()

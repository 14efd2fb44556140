"""``railwright blank``: blank survey workbooks, one or one an order."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from railwright.commands.failures import OK, USAGE, Stop, sentences
from railwright.survey.fields import MAX_SECTIONS, UNITS

if TYPE_CHECKING:
    from railwright.book.model import ShopBook
    from railwright.reading.jobs import Job
    from railwright.writing.blank_workings import EarlierCounts


@click.command()
@click.option("--unit", type=click.Choice(UNITS), default="in", show_default=True, help="Unit of the readings.")
@click.option(
    "--sections",
    type=click.IntRange(1, MAX_SECTIONS),
    default=4,
    show_default=True,
    help="Columns for sections.",
)
@click.option(
    "--jobs",
    "job_list",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Job list (.csv or .xlsx); one prefilled workbook an order is written into the folder PATH.",
)
@click.option(
    "-o",
    "--output",
    metavar="PATH",
    required=True,
    type=click.Path(path_type=Path),
    help="Workbook to write (.xlsx); with --jobs the folder.",
)
@click.option(
    "--shop-book",
    "shop_book",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The shop's own rules, which the sheet's live checks go by; without it the default ones.",
)
@click.option(
    "--ledger",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="With --jobs: counts of earlier pianos of a maker and model in this ledger are shown beside those typed in.",
)
@click.option("--force", is_flag=True, help="Replace workbooks that are already there.")
@sentences
def blank(
    unit: Literal["in", "mm"],
    sections: int,
    job_list: Path | None,
    output: Path,
    shop_book: Path | None,
    ledger: Path | None,
    force: bool,
) -> int:
    """Write a blank survey workbook, or one prefilled workbook an order.

    A job list has a line an order and, in its first line, the names of its columns: order_no, and any of site,
    technician, needed_by, maker, model, serial, unit, sections. With a ledger, a workbook of a maker and model that
    were surveyed before compares each count of dampers with theirs, once it is typed in; nothing is filled in before.
    """
    if ledger is not None and job_list is None:
        raise Stop("--ledger goes with --jobs: only a job says which maker and model are meant.", USAGE)
    jobs = [None] if job_list is None else _jobs(job_list)
    targets = [_target(output, job) for job in jobs]
    if not force:
        _refuse_to_replace(targets)
    from railwright.commands.book_option import load_book
    from railwright.writing.blank_survey import write_blank

    book, _ = load_book(shop_book)
    earlier = [None] * len(jobs) if ledger is None else _earlier_counts(ledger, jobs, book)
    for job, target, counts in zip(jobs, targets, earlier, strict=True):
        write_blank(target, unit, sections, job, book, counts)
    click.echo(_report(output, job_list, len(targets)))
    if ledger is not None:
        known = sum(counts is not None for counts in earlier)
        click.echo(f"In {known} of them counts are compared with earlier ones of their maker and model, once typed in.")
    return OK


def _earlier_counts(ledger: Path, jobs: Sequence[Job | None], book: ShopBook) -> list[EarlierCounts | None]:
    """Look up how many dampers earlier pianos of each job's maker and model have."""
    from railwright.commands.ledger_option import ledger_trouble
    from railwright.computing.kind_memory import counts_of_kind
    from railwright.ledger.connection import opened_to_read
    from railwright.ledger.kin import earlier_of_model
    from railwright.writing.blank_workings import EarlierCounts

    found: list[EarlierCounts | None] = []
    with ledger_trouble(), opened_to_read(ledger) as connection:
        for job in jobs:
            assert job is not None
            earlier = earlier_of_model(connection, job.maker, job.model)
            counts = counts_of_kind(earlier, job.order_no, job.serial, book)
            found.append(EarlierCounts(job.maker or "", job.model or "", counts) if any(counts) else None)
    return found


def _jobs(job_list: Path) -> list[Job]:
    """Read the job list; what is wrong with single lines goes to the screen, and the others are used."""
    from railwright.reading.jobs import BadJobList, read_jobs

    try:
        found = read_jobs(job_list)
    except BadJobList as trouble:
        raise Stop(str(trouble)) from trouble
    for sentence in found.troubles:
        click.echo(f"{job_list.name}: {sentence} No workbook was written for this line.", err=True)
    if not found.jobs:
        raise Stop(f"{job_list} holds no line that a workbook can be made of. Nothing was written.")
    return list(found.jobs)


def _target(output: Path, job: Job | None) -> Path:
    """Name the file of one workbook; an order number never leads out of the folder."""
    if job is not None:
        from railwright.survey.names import safe_name

        if output.exists() and not output.is_dir():
            raise Stop(f"{output} is a file; with --jobs the output is a folder.", USAGE)
        return output / f"{safe_name(job.order_no)}.xlsx"
    if output.is_dir() or output.suffix.lower() != ".xlsx":
        raise Stop(f"A survey is an Excel workbook; give it a name that ends in .xlsx, not {output}.", USAGE)
    return output


def _refuse_to_replace(targets: list[Path]) -> None:
    there = [target for target in targets if target.exists()]
    if there:
        which = f"{there[0]} and {len(there) - 1} more are" if len(there) > 1 else f"{there[0]} is"
        raise Stop(f"{which} already there; choose another name, or --force to replace.", USAGE)


def _report(output: Path, job_list: Path | None, count: int) -> str:
    if job_list is None:
        return f"Blank survey written: {output}"
    return f"{count} prefilled survey{'' if count == 1 else 's'} written into {output}"

"""Make an output folder appear whole or not at all, and never lose what somebody put into an earlier one.

A run builds beside its target and swaps the finished folder in. An earlier output of railwright that nobody touched is
replaced; one with files that were added or changed since is kept beside the new one; any other folder with something in
it is refused.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

Built = TypeVar("Built")

#: Lists the files of an output as they were written; tells our folder from anybody else's.
LISTING = ".railwright-output.json"


class OutputRefused(Exception):
    """The output folder cannot be used; the message says why and what to do."""


def refuse_unsafe(folder: Path, out: Path) -> None:
    """Refuse an output folder that would mix with the input or overwrite something that is not ours.

    Args:
        folder: the input folder.
        out: the output folder; it need not exist.

    Raises:
        OutputRefused: with a sentence for the user.
    """
    source, target = folder.resolve(), out.resolve()
    if target == source or target.is_relative_to(source):
        raise OutputRefused(
            f"The output folder {out} lies inside the input folder {folder}, where nothing is ever written. "
            "Name one elsewhere."
        )
    if source.is_relative_to(target):
        raise OutputRefused(
            f"The input folder {folder} lies inside the output folder {out}. Name another output folder."
        )
    for place in (target, *target.parents):
        if place.exists() and not place.is_dir():
            raise OutputRefused(f"{place} is a file, not a folder. Name another output folder.")
    if out.is_dir() and any(out.iterdir()) and not (out / LISTING).is_file():
        raise OutputRefused(
            f"{out} already holds files that railwright did not write. Nothing was changed; name a new or empty folder."
        )


def write_whole(out: Path, build: Callable[[Path], Built]) -> tuple[Built, Path | None]:
    """Build a folder aside and swap it in.

    Args:
        out: the output folder, checked by ``refuse_unsafe``.
        build: writes everything into the folder that it is given.

    Returns:
        What ``build`` gave back, and where an earlier output was kept because somebody had changed it, else ``None``.

    Raises:
        OSError: the disk is full, a file is open in an office program, or the folder is read-only; then the earlier
            output stands as it was.
    """
    out.parent.mkdir(parents=True, exist_ok=True)
    _recover(out)
    staging = out.parent / f".{out.name}.building-{os.getpid()}"
    shutil.rmtree(staging, ignore_errors=True)
    staging.mkdir()
    try:
        built = build(staging)
        _write_listing(staging)
        return built, _swap(staging, out)
    finally:
        shutil.rmtree(staging, ignore_errors=True)


def _aside(out: Path) -> Path:
    return out.parent / f".{out.name}.replaced"


def _recover(out: Path) -> None:
    """Put an earlier output back that a run was stopped from replacing."""
    aside = _aside(out)
    if aside.exists():
        if out.exists():
            shutil.rmtree(aside)
        else:
            aside.rename(out)


def _swap(staging: Path, out: Path) -> Path | None:
    if not out.exists():
        staging.rename(out)
        return None
    changed = any(out.iterdir()) and was_changed(out)
    aside = _aside(out)
    out.rename(aside)
    try:
        staging.rename(out)
    except OSError:
        aside.rename(out)
        raise
    if not changed:
        shutil.rmtree(aside)
        return None
    kept = _free_name(out)
    aside.rename(kept)
    return kept


def _free_name(out: Path) -> Path:
    number = 1
    while (kept := out.with_name(f"{out.name} kept {number}")).exists():
        number += 1
    return kept


def _state(folder: Path) -> dict[str, list[int]]:
    return {
        path.relative_to(folder).as_posix(): [path.stat().st_size, path.stat().st_mtime_ns]
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != LISTING
    }


def _write_listing(folder: Path) -> None:
    text = json.dumps({"files": _state(folder)}, indent=0)
    (folder / LISTING).write_text(text, encoding="utf-8", newline="\n")


def was_changed(out: Path) -> bool:
    """Tell whether an output has files that were added, changed or taken away since it was written."""
    try:
        listed = json.loads((out / LISTING).read_text(encoding="utf-8"))["files"]
    except (OSError, ValueError, KeyError, TypeError):
        return True
    return bool(listed != _state(out))

"""Make an output folder appear whole or not at all, and never lose what somebody put into an earlier one.

A run builds beside its target and swaps the finished folder in. An earlier output of railwright that nobody touched is
replaced; one with files that were added or changed since is kept beside the new one; any other folder with something in
it is refused. A run that is broken off at any moment leaves the earlier output or the new one; what else it leaves is
found, put right and told at the next start. Two runs never write one output at the same time.
"""

from __future__ import annotations

import json
import secrets
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, TypeVar

from railwright.writing.file_system import exchange, hold, release
from railwright.writing.places import WEEK_PAGE

Built = TypeVar("Built")

#: Lists the files of an output as they were written; tells our folder from anybody else's.
LISTING = ".railwright-output.json"
_UNFINISHED = f"{LISTING}.part"


class OutputRefused(Exception):
    """The output folder cannot be used; the message says why and what to do."""


class OutputBusy(Exception):
    """Another run is writing the same output; the message says so."""


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
    refuse_foreign(out, WEEK_PAGE)


def refuse_foreign(out: Path, main: str) -> None:
    """Refuse an output folder that would overwrite something that is not ours, or that another command wrote.

    Args:
        out: the output folder; it need not exist.
        main: how the name of a file begins that every output of the command has, and no other.

    Raises:
        OutputRefused: with a sentence for the user.
    """
    target = out.resolve()
    for place in (target, *target.parents):
        if place.exists() and not place.is_dir():
            raise OutputRefused(f"{place} is a file, not a folder. Name another output folder.")
    if out.is_dir() and any(out.iterdir()) and not (out / LISTING).is_file():
        raise OutputRefused(
            f"{out} already holds files that railwright did not write. Nothing was changed; name a new or empty folder."
        )
    listed = _listed(out).get("files")
    if listed and not any(name.startswith(main) for name in listed):
        raise OutputRefused(f"{out} holds the output of another command. Nothing was changed; name another folder.")


class Companion:
    """Something that is written together with an output, so that both or neither count; this one is nothing at all.

    ``token`` then stands in the output's listing, and ``keep`` says that the output must not be lost when the next one
    takes its place. Both are asked for when everything is built.
    """

    @property
    def token(self) -> str:
        """What the output bears, so that it can be told later whether it is the one that belongs to the companion."""
        return ""

    @property
    def keep(self) -> bool:
        """Whether a later output that takes the place of this one leaves it beside."""
        return False

    def prepare(self) -> None:
        """Write everything, though not yet for good: the output is about to take its place."""

    def done(self) -> None:
        """Make it good: the output is in its place."""

    def undo(self) -> None:
        """Take everything back: the output is not in its place."""


def write_whole(
    out: Path,
    build: Callable[[Path], Built],
    tell: Callable[[str], None] = lambda sentence: None,
    companion: Companion | None = None,
) -> tuple[Built, Path | None]:
    """Build a folder aside and swap it in.

    Args:
        out: the output folder, checked by ``refuse_unsafe``.
        build: writes everything into the folder that it is given.
        tell: called with a sentence about each thing that an earlier run left, and what became of it.
        companion: what counts together with the output.

    Returns:
        What ``build`` gave back, and where an earlier output was kept, because somebody had changed it or it was not to
        be lost; else ``None``.

    Raises:
        OSError: the disk is full, a file is open in an office program, or the folder is read-only; then the earlier
            output stands as it was.
        OutputBusy: another run is writing the same output.
    """
    out, companion = out.resolve(), companion or Companion()
    out.parent.mkdir(parents=True, exist_ok=True)
    with _alone(out):
        for sentence in _tidied(out):
            tell(sentence)
        staging = out.with_name(f"{_building(out)}{secrets.token_hex(4)}")
        staging.mkdir()
        try:
            built = build(staging)
            _write_listing(staging, companion.token, companion.keep)
            companion.prepare()
            earlier = _swap(staging, out)
            companion.done()
        except BaseException:
            _settled(out, companion)
            if staging.exists():
                _disposed(staging, out)  # stopped just after the exchange, it is the earlier output
            raise
        return built, _disposed(earlier, out) if earlier else None


def _settled(out: Path, companion: Companion) -> None:
    """End a companion by what stands in the output; what fails here is mended at the next start."""
    with suppress(Exception):
        if companion.token and token_of(out) == companion.token:
            companion.done()
        else:
            companion.undo()


def token_of(out: Path) -> str:
    """Give the token that an output bears; empty where there is no output or it bears none."""
    return str(_listed(out).get("token", ""))


def _listed(out: Path) -> dict[str, Any]:
    try:
        listed = json.loads((out / LISTING).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return listed if isinstance(listed, dict) else {}


@contextmanager
def _alone(out: Path) -> Iterator[None]:
    """Hold the lock of an output; the system lets go of it when this process ends, however it ends."""
    lock = out.with_name(f".{out.name}.lock")
    held = hold(lock)
    if held is None:
        raise OutputBusy(
            f"another run of railwright is writing {out}. Nothing was changed; wait until it is done, or name another "
            "output folder."
        )
    try:
        yield
    finally:
        release(lock, held)


def _building(out: Path) -> str:
    return f".{out.name}.building-"


def _aside(out: Path) -> Path:
    return out.with_name(f".{out.name}.replaced")


def _tidied(out: Path) -> Iterator[str]:
    """Put right what a run left that was broken off: nobody else is writing now, so nobody needs it."""
    aside = _aside(out)
    if aside.exists() and not out.exists():
        aside.rename(out)
        yield f"An earlier run was broken off; the output before it is back as {out}."
    left = sorted(path for path in out.parent.iterdir() if path.name.startswith(_building(out)))
    for folder in (*left, *([aside] if aside.exists() else [])):
        if kept := _disposed(folder, out):
            yield f"An earlier run was broken off; the output before it is kept as {kept}."
        elif folder.exists():
            yield f"An earlier run was broken off; {folder} is left from it and can be deleted."
        else:
            yield "An earlier run was broken off; what it had half written is removed."


def _swap(staging: Path, out: Path) -> Path | None:
    """Put the new folder in place; give the earlier one's new place, if there was one."""
    if not out.exists():
        staging.rename(out)
        return None
    if exchange(staging, out):
        return staging
    aside = _aside(out)
    out.rename(aside)
    try:
        staging.rename(out)
    except OSError:
        aside.rename(out)
        raise
    return aside


def _disposed(folder: Path, out: Path) -> Path | None:
    """Remove an output that nobody needs; one that somebody changed or must not lose is kept, and its place given."""
    precious = _listed(folder).get("keep") and _stood_before(folder, out)
    if not (folder / LISTING).is_file() or not (precious or was_changed(folder)):
        with suppress(OSError):
            (folder / LISTING).unlink()  # first, so that a folder half removed is never taken for one that was changed
        shutil.rmtree(folder, ignore_errors=True)
        return None
    kept = _free_name(out)
    folder.rename(kept)
    return kept


def _stood_before(folder: Path, out: Path) -> bool:
    """Tell an output that stood in its place before this one from one that was finished later and never did."""
    try:
        return (folder / LISTING).stat().st_mtime_ns <= (out / LISTING).stat().st_mtime_ns
    except FileNotFoundError:
        return False


def _free_name(out: Path) -> Path:
    number = 1
    while (kept := out.with_name(f"{out.name} kept {number}")).exists():
        number += 1
    return kept


def _state(folder: Path, below: str = "") -> Iterator[tuple[str, list[int]]]:
    """Go through the files of an output, however many: the path of each in it, its size and time of writing."""
    try:
        names = sorted(path.name for path in folder.iterdir())
    except PermissionError:  # of a folder that somebody added; what is in it is not ours
        return
    for name in names:
        path = folder / name
        if path.is_dir() and not path.is_symlink():
            yield from _state(path, f"{below}{name}/")
        elif path.is_file() and name not in {LISTING, _UNFINISHED}:
            found = path.stat()
            yield f"{below}{name}", [found.st_size, found.st_mtime_ns]


def _write_listing(folder: Path, token: str, keep: bool) -> None:
    """Write the listing file by file, beside its place: half of one would make the output look changed."""
    more = {"token": token, "keep": keep} if token else {}
    head, tail = json.dumps({**more, "files": {}}, indent=0).rsplit("{}", 1)
    with (folder / _UNFINISHED).open("w", encoding="utf-8", newline="\n") as listing:
        listing.write(head + "{")
        between = "\n"
        for name, state in _state(folder):
            listing.write(f"{between}{json.dumps(name)}: {json.dumps(state, indent=0)}")
            between = ",\n"
        listing.write("\n}" + tail)
    (folder / _UNFINISHED).replace(folder / LISTING)


def was_changed(out: Path) -> bool:
    """Tell whether an output has files that were added, changed or taken away since it was written."""
    files = _listed(out).get("files")
    if not isinstance(files, dict):
        return True
    return any(files.pop(name, None) != state for name, state in _state(out)) or bool(files)

"""Writing a zip file that shares most of its bytes with another one."""

from __future__ import annotations

import os
import struct
import zlib
from collections.abc import Iterator, Mapping
from pathlib import Path
from threading import get_ident
from typing import BinaryIO

from railwright.reading.directory import UTF8_NAME, Member, part_key
from railwright.reading.package import Package

_LOCAL = struct.Struct("<4s5H3L2H")
_CENTRAL = struct.Struct("<4s6H3L5H2L")
_END = struct.Struct("<4s4H2LH")

_VERSION = 20
_MIDNIGHT, _FIRST_OF_1980 = 0, 0x21
# The same source and flags give the same bytes, so new parts carry the first date that the format has.

LEVEL = 6


def write_copy(package: Package, changes: Mapping[str, bytes | None], target: Path) -> None:
    """Write a package with some of its parts changed, whole or not at all.

    Members that are not changed are copied as they lie in the source, headers and packed bytes alike, in the same
    order; new ones follow.

    Args:
        package: The source; it is not opened again.
        changes: New content by part name, or ``None`` for a part that is left out.
        target: The file to write; an existing one is replaced when the new one is complete.

    Raises:
        OSError: If the target cannot be written; it is then as it was before.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    # Short whatever the target's name, which may be as long as the file system allows; one for every writer.
    unfinished = target.with_name(f".{os.getpid()}-{get_ident()}.part")
    try:
        with unfinished.open("wb") as out:
            _write(out, package, {part_key(name): (name, content) for name, content in changes.items()})
        unfinished.replace(target)
    except BaseException:
        unfinished.unlink(missing_ok=True)
        raise


def _write(out: BinaryIO, package: Package, changes: Mapping[str, tuple[str, bytes | None]]) -> None:
    records: dict[str, bytes] = {}
    for member in sorted(package.members, key=lambda member: member.start):
        key = part_key(member.name)
        if key not in changes:
            records[key] = _moved_record(member, out.tell())
            out.write(memoryview(package.data)[member.start : member.end])
            continue
        content = changes[key][1]
        if content is not None:
            records[key] = _write_new(out, member.name, content)
    ordered = [part_key(member.name) for member in package.members]
    for key in _added(changes, ordered):
        name, content = changes[key]
        records[key] = _write_new(out, name, content or b"")
        ordered.append(key)
    _write_directory(out, [records[key] for key in ordered if key in records])


def _added(changes: Mapping[str, tuple[str, bytes | None]], present: list[str]) -> Iterator[str]:
    known = frozenset(present)
    return (key for key, (_, content) in changes.items() if key not in known and content is not None)


def _moved_record(member: Member, offset: int) -> bytes:
    """Give a member's entry in the directory with its new place and nothing else changed."""
    record = bytearray(member.record)
    struct.pack_into("<Q" if member.offset_wide else "<L", record, member.offset_at, offset)
    return bytes(record)


def _write_new(out: BinaryIO, name: str, content: bytes) -> bytes:
    """Write a member of our own and give its entry in the directory (APPNOTE 4.3.7 and 4.3.12)."""
    offset = out.tell()
    packer = zlib.compressobj(LEVEL, zlib.DEFLATED, -15)
    packed = packer.compress(content) + packer.flush()
    raw_name = name.encode()
    flags = 0 if name.isascii() else UTF8_NAME
    facts = (flags, zlib.DEFLATED, _MIDNIGHT, _FIRST_OF_1980, zlib.crc32(content), len(packed), len(content))
    out.write(_LOCAL.pack(b"PK\x03\x04", _VERSION, *facts, len(raw_name), 0) + raw_name + packed)
    head = _CENTRAL.pack(b"PK\x01\x02", _VERSION, _VERSION, *facts, len(raw_name), 0, 0, 0, 0, 0, offset)
    return head + raw_name


def _write_directory(out: BinaryIO, records: list[bytes]) -> None:
    start = out.tell()
    directory = b"".join(records)
    count = len(records)
    out.write(directory + _END.pack(b"PK\x05\x06", 0, 0, count, count, len(directory), start, 0))

"""The directory of a zip file: what the members are and exactly which bytes of the file are theirs.

The layout is that of the .ZIP File Format Specification (PKWARE APPNOTE 6.3), sections 4.3.7 to 4.3.16 and 4.5.3. The
standard library's reader is not used, because a flagged copy needs each member's raw bytes, and because it reads
a directory of any size, overlapping members and duplicate names without a word.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass

from railwright.reading import limits
from railwright.reading.recognise import SEND_AGAIN, not_a_zip
from railwright.reading.unreadable import Unreadable

_END = struct.Struct("<4s4H2LH")
_END64 = struct.Struct("<4sQ2H2L4Q")
_LOCATOR64 = struct.Struct("<4sLQL")
_CENTRAL = struct.Struct("<4s6H3L5H2L")
_LOCAL = struct.Struct("<4s5H3L2H")

ENCRYPTED = 0x1
UTF8_NAME = 0x800
STORED, DEFLATED = 0, 8
_UNSET = 0xFFFFFFFF

SUSPICIOUS = "Do not open it; ask the sender how it was made."


@dataclass(frozen=True, slots=True)
class Member:
    """One member of a zip file.

    ``start`` and ``end`` bound all its bytes in the file, from its local header to the next member (or the
    directory); ``data`` is where its packed content begins. ``record`` is its entry in the directory, and
    ``offset_at`` tells where in that entry its place in the file stands, and ``offset_wide`` whether in 8 bytes.
    """

    name: str
    flags: int
    method: int
    crc: int
    packed: int
    unpacked: int
    start: int
    data: int
    end: int
    record: bytes
    offset_at: int
    offset_wide: bool


def _cut_short() -> Unreadable:
    return Unreadable("The workbook is damaged: its end is missing.", SEND_AGAIN)


def _damaged(what: str) -> Unreadable:
    return Unreadable(f"The workbook is damaged: {what}.", SEND_AGAIN)


def _hostile(what: str) -> Unreadable:
    return Unreadable(f"The file was refused: {what}.", SUSPICIOUS)


def read_directory(data: bytes) -> list[Member]:
    """List the members of a zip file after checking every size, name and place.

    Args:
        data: The whole file.

    Returns:
        The members in the order of the directory.

    Raises:
        Unreadable: If it is no zip file, is damaged, or exceeds a limit.
    """
    if not data.startswith(b"PK\x03\x04"):
        raise _empty_zip() if data.startswith(b"PK\x05\x06") else not_a_zip(data)
    count, size, start = _find_directory(data)
    if count > limits.MAX_MEMBERS or size > limits.MAX_DIRECTORY:
        raise _hostile(f"it claims to hold {count} parts, far more than a workbook has")
    if start + size > len(data):
        raise _cut_short()
    members = [_checked(member) for member in _entries(data, count, start, size)]
    _check_together(members)
    return _placed(data, members, start)


def _empty_zip() -> Unreadable:
    return Unreadable("This is an empty zip archive.", SEND_AGAIN)


def _find_directory(data: bytes) -> tuple[int, int, int]:
    """Find the number of members, the size of the directory and where it starts."""
    at = data.rfind(b"PK\x05\x06", max(0, len(data) - 65_535 - _END.size))
    if at < 0 or at + _END.size > len(data):
        raise _cut_short()
    _, disk, first_disk, _, count, size, start, _ = _END.unpack_from(data, at)
    if 0xFFFF in (count, disk) or _UNSET in (size, start):
        count, size, start, at = _find_directory64(data, at)
    elif disk or first_disk:
        raise _damaged("it is one part of a divided archive")
    if start + size != at:
        raise _damaged("its table of contents is not where it should be")
    return count, size, start


def _find_directory64(data: bytes, end_at: int) -> tuple[int, int, int, int]:
    """Find the same in the form for large archives, which some programs use for small ones too."""
    at = end_at - _LOCATOR64.size
    if at < 0 or data[at : at + 4] != b"PK\x06\x07":
        raise _damaged("its table of contents cannot be found")
    place = _LOCATOR64.unpack_from(data, at)[2]
    if place + _END64.size > len(data) or data[place : place + 4] != b"PK\x06\x06":
        raise _damaged("its table of contents cannot be found")
    fields = _END64.unpack_from(data, place)
    return fields[7], fields[8], fields[9], place


def _entries(data: bytes, count: int, start: int, size: int) -> list[Member]:
    members = []
    at = start
    for _ in range(count):
        if at + _CENTRAL.size > start + size or data[at : at + 4] != b"PK\x01\x02":
            raise _damaged("its table of contents is broken off")
        member = _entry(data, at)
        members.append(member)
        at += len(member.record)
    if at != start + size:
        raise _damaged("its table of contents has the wrong length")
    return members


def _entry(data: bytes, at: int) -> Member:
    fields = _CENTRAL.unpack_from(data, at)
    flags, method = fields[3], fields[4]
    crc, packed, unpacked, name_length, extra_length, comment_length = fields[7:13]
    offset = fields[16]
    name_at = at + _CENTRAL.size
    extra_at = name_at + name_length
    end = extra_at + extra_length + comment_length
    if end > len(data):
        raise _cut_short()
    offset_at, wide = 42, False
    if _UNSET in (packed, unpacked, offset):
        wide = offset == _UNSET
        sizes = _wide_sizes(data[extra_at : extra_at + extra_length], [unpacked, packed, offset])
        (unpacked, packed, offset), place = sizes
        offset_at = extra_at - at + place if wide else 42
    name = _name(data[name_at:extra_at], flags)
    record = data[at:end]
    return Member(name, flags, method, crc, packed, unpacked, offset, 0, 0, record, offset_at, wide)


def _wide_sizes(extra: bytes, narrow: list[int]) -> tuple[list[int], int]:
    """Replace the sizes that did not fit by those of the extended field (APPNOTE 4.5.3)."""
    at = 0
    while at + 4 <= len(extra):
        kind, length = struct.unpack_from("<2H", extra, at)
        at += 4
        if kind == 1:
            return _take_wide(extra, at, at + length, narrow)
        at += length
    raise _damaged("the size of a part is missing")


def _take_wide(extra: bytes, at: int, end: int, narrow: list[int]) -> tuple[list[int], int]:
    sizes = []
    last = at
    for value in narrow:
        if value == _UNSET:
            if at + 8 > min(end, len(extra)):
                raise _damaged("the size of a part is missing")
            value = struct.unpack_from("<Q", extra, at)[0]
            last = at
            at += 8
        sizes.append(value)
    return sizes, last


def _name(raw: bytes, flags: int) -> str:
    """Decode a member name; one that is neither UTF-8 nor ASCII is in the old character set of DOS."""
    try:
        return raw.decode("utf-8" if flags & UTF8_NAME else "ascii")
    except UnicodeDecodeError:
        return raw.decode("cp437")


def _checked(member: Member) -> Member:
    name = member.name.replace("\\", "/")
    if name.startswith("/") or name[1:2] == ":" or ".." in name.split("/") or "\0" in name or not name:
        raise _hostile(f"it holds a part with a name that reaches outside the file ({member.name[:60]!r})")
    if member.flags & ENCRYPTED:
        raise Unreadable("The file is a zip archive with a password.", "Send the workbook without a password.")
    if member.method not in (STORED, DEFLATED):
        raise _damaged("it is packed in a way that no office program uses")
    if member.unpacked > limits.MAX_MEMBER or (
        member.unpacked > limits.RATIO_FREE and member.unpacked > limits.MAX_RATIO * max(member.packed, 1)
    ):
        raise _hostile(f"a part of it would unpack to {member.unpacked / limits.MIB:.0f} MB")
    return member


def _check_together(members: list[Member]) -> None:
    total = sum(member.unpacked for member in members)
    if total > limits.MAX_TOTAL:
        raise _hostile(f"it would unpack to {total / limits.MIB:.0f} MB")
    names = {part_key(member.name) for member in members}
    if len(names) < len(members):
        raise _hostile("it holds two parts of the same name")


def part_key(name: str) -> str:
    """Give the form in which part names are compared: they do not differ by capitals (ECMA-376-2, 9.1.1)."""
    return name.replace("\\", "/").lower()


def _placed(data: bytes, members: list[Member], directory: int) -> list[Member]:
    """Find each member's bytes, and refuse members that share bytes or whose two headers disagree."""
    starts = sorted(member.start for member in members)
    following = dict(zip(starts, [*starts[1:], directory], strict=True))
    if len(following) < len(members):
        raise _hostile("two of its parts lie in the same place")
    return [_place(data, member, following[member.start]) for member in members]


def _place(data: bytes, member: Member, end: int) -> Member:
    at = member.start
    if at + _LOCAL.size > end or data[at : at + 4] != b"PK\x03\x04":
        raise _damaged(f"the part {member.name[:60]!r} is not where it should be")
    fields = _LOCAL.unpack_from(data, at)
    name_at = at + _LOCAL.size
    if _name(data[name_at : name_at + fields[9]], fields[2]) != member.name:
        raise _hostile("a part has two different names")
    begin = name_at + fields[9] + fields[10]
    if begin + member.packed > end:
        raise _hostile("two of its parts share the same bytes") if end < len(data) else _cut_short()
    return Member(
        member.name, member.flags, member.method, member.crc, member.packed, member.unpacked,
        at, begin, end, member.record, member.offset_at, member.offset_wide,
    )  # fmt: skip

"""Naming what a file is when it is not a workbook of the usual kind."""

from __future__ import annotations

from pathlib import PurePath

from railwright.reading.unreadable import Unreadable

SAVE_AS_XLSX = "Open it in the office program and save it as an Excel workbook (.xlsx), then send it again."
SEND_AGAIN = "Ask the sender to save the workbook and send it again."
REMOVE_PASSWORD = "Open it with its password, save it without one, and send it again."
NOT_A_SURVEY = "Ask the sender for the survey workbook (.xlsx)."
TAKE_OUT = "Take it out of the folder; if a survey was meant, ask for the workbook."

#: How the names of spreadsheets end; only a file so named can pass itself off as one.
_ENDINGS = frozenset((".xlsx", ".xlsm", ".xltx", ".xltm", ".xlsb", ".xls", ".xlt", ".ods", ".ots", ".fods", ".numbers"))

_MISNAMED, _NO_WORKBOOK = " that was given the name of a workbook.", ", not a workbook."
_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"

# Order matters: the first magic that fits names the file. What each stands for is common knowledge of file(1).
_MAGICS: tuple[tuple[bytes, str, str], ...] = (
    (b"%PDF", "This is a PDF document, not a workbook.", NOT_A_SURVEY),
    (b"\xff\xd8\xff", "This is a photograph (JPEG), not a workbook.", NOT_A_SURVEY),
    (b"\x89PNG", "This is a picture (PNG), not a workbook.", NOT_A_SURVEY),
    (b"GIF8", "This is a picture (GIF), not a workbook.", NOT_A_SURVEY),
    (b"{\\rtf", "This is a text document (RTF), not a workbook.", NOT_A_SURVEY),
    (b"\x00\x05\x16\x07", "This is a side file that a Mac leaves beside the real one.", "Delete it."),
    (b"Rar!", "This is a RAR archive, not a workbook.", "Unpack it and put the workbook itself in the folder."),
    (b"7z\xbc\xaf", "This is a 7z archive, not a workbook.", "Unpack it and put the workbook itself in the folder."),
    (b"\x1f\x8b", "This is a gzip archive, not a workbook.", "Unpack it and put the workbook itself in the folder."),
)


def named_as_workbook(name: str) -> bool:
    """Tell whether a file's name ends as that of a spreadsheet, or has no ending that says otherwise."""
    ending = PurePath(name).suffix.lower()
    return not ending or ending in _ENDINGS


def not_a_zip(data: bytes, name: str = "") -> Unreadable:
    """Name a file that does not begin as a zip package does.

    Args:
        data: The whole file.
        name: Its name, from which it follows whether a workbook was meant.

    Returns:
        The error to raise.
    """
    trouble = _kind_of(data)
    if named_as_workbook(name):
        return trouble
    return Unreadable(trouble.reason.replace(_MISNAMED, _NO_WORKBOOK), TAKE_OUT)


def _kind_of(data: bytes) -> Unreadable:
    if not data:
        return Unreadable("The file is empty (0 bytes).", SEND_AGAIN)
    if not data.strip(b"\0"):
        return Unreadable("The file holds only zero bytes: it was never copied to the end.", SEND_AGAIN)
    if data.startswith(_OLE):
        return _old_office_file(data)
    for magic, reason, remedy in _MAGICS:
        if data.startswith(magic):
            return Unreadable(reason, remedy)
    if data[4:8] == b"ftyp":
        return Unreadable("This is a photograph or film from a telephone, not a workbook.", NOT_A_SURVEY)
    return _text_file(data[:4096])


def _old_office_file(data: bytes) -> Unreadable:
    if "EncryptedPackage".encode("utf-16-le") in data:
        return Unreadable("The workbook is protected by a password, so nothing in it can be read.", REMOVE_PASSWORD)
    if "WordDocument".encode("utf-16-le") in data:
        return Unreadable("This is a Word document (.doc), not a workbook.", NOT_A_SURVEY)
    if "PowerPoint Document".encode("utf-16-le") in data:
        return Unreadable("This is a PowerPoint file (.ppt), not a workbook.", NOT_A_SURVEY)
    return Unreadable("This is a workbook in the old .xls form.", SAVE_AS_XLSX)


def _text_file(start: bytes) -> Unreadable:
    text = _as_text(start)
    if text is None:
        return Unreadable("The file is not a workbook: its first bytes are those of no known kind.", SEND_AGAIN)
    head = text.lstrip("\ufeff \t\r\n").lower()
    if "urn:schemas-microsoft-com:office:spreadsheet" in head or 'progid="excel.sheet"' in head:
        return Unreadable("This is a workbook in the XML form of 2003.", SAVE_AS_XLSX)
    if head.startswith(("<!doctype html", "<html", "<table", "<head", "<meta")) or "<html" in head:
        return Unreadable(f"This is a web page (HTML){_MISNAMED}", SAVE_AS_XLSX)
    if head.startswith(("<?xml", "<")):
        return Unreadable("This is an XML text, not a workbook.", SAVE_AS_XLSX)
    if head.startswith(("{", "[{")):
        return Unreadable("This is a data text (JSON) or a shortcut to a file elsewhere, not a workbook.", NOT_A_SURVEY)
    if any(mark in head for mark in (",", ";", "\t")):
        return Unreadable(f"This is a list of plain text (CSV){_MISNAMED}", SAVE_AS_XLSX)
    return Unreadable("This is plain text, not a workbook.", NOT_A_SURVEY)


def _as_text(start: bytes) -> str | None:
    """Read the beginning of a file as text, or tell that it is none."""
    if start.startswith((b"\xff\xfe", b"\xfe\xff")):
        return start.decode("utf-16", "replace")
    if any(byte < 9 or 13 < byte < 32 for byte in start):
        return None
    return start.decode("utf-8", "replace")


def other_zip(names: frozenset[str], mimetype: bytes, name: str = "") -> Unreadable:
    """Name a zip file that holds no workbook part.

    Args:
        names: Its member names in small letters.
        mimetype: What its member ``mimetype`` holds, empty where it has none.
        name: The file's name, from which it follows whether a workbook was meant.

    Returns:
        The error to raise.
    """
    if any(member.endswith(".iwa") for member in names):
        misnamed = named_as_workbook(name) and not name.lower().endswith(".numbers")
        return Unreadable(f"This is a Numbers document{_MISNAMED if misnamed else _NO_WORKBOOK}", SAVE_AS_XLSX)
    if b"opendocument.spreadsheet" in mimetype:
        return Unreadable("This is an OpenDocument spreadsheet (.ods) without its content.", SEND_AGAIN)
    if b"opendocument" in mimetype:
        return Unreadable("This is an OpenDocument file, but no spreadsheet.", NOT_A_SURVEY)
    if "xl/workbook.bin" in names:
        return Unreadable("This is a workbook in the binary form (.xlsb).", SAVE_AS_XLSX)
    if "word/document.xml" in names:
        return Unreadable("This is a Word document, not a workbook.", NOT_A_SURVEY)
    if "ppt/presentation.xml" in names:
        return Unreadable("This is a PowerPoint file, not a workbook.", NOT_A_SURVEY)
    if any(name.endswith((".xlsx", ".xlsm", ".xls", ".ods")) for name in names):
        return Unreadable(
            "This is a zip archive with a workbook inside it.", "Unpack it and put the workbook itself in the folder."
        )
    return Unreadable("This is a zip archive that holds no workbook.", NOT_A_SURVEY)

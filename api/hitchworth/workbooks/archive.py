"""The parts of a workbook, which is a ZIP archive, checked before anything else reads them.

A few kilobytes can unpack to gigabytes, and one value in a far corner makes a reader allocate the whole sheet. So the
parts are unpacked here within limits, and the reader gets an archive that holds these parts and nothing else: it reads
exactly what was checked.
"""

import zlib
from collections.abc import Mapping
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo

from hitchworth.workbooks.table import UnreadableFileError

MAX_PARTS = 500
MAX_UNPACKED_BYTES = 60_000_000

_OLDEST = (1980, 1, 1, 0, 0, 0)
_MACROS = ("vbaproject.bin", "basic/", "scripts/")


def unpacked(content: bytes) -> dict[str, bytes]:
    """Return the XML parts of a workbook by name. Raises UnreadableFileError for one that is not safe to read."""
    try:
        with ZipFile(BytesIO(content)) as archive:
            members = archive.infolist()
            _refuse(members)
            parts: dict[str, bytes] = {}
            left = MAX_UNPACKED_BYTES
            for member in members:
                if member.filename.lower().endswith((".xml", ".rels", "mimetype")):
                    with archive.open(member) as part:
                        read = part.read(left + 1)
                    left -= len(read)
                    if left < 0:
                        raise UnreadableFileError(_TOO_LARGE)
                    parts[member.filename] = read
            return parts
    except (BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, OSError, ValueError) as error:
        if isinstance(error, UnreadableFileError):
            raise
        raise UnreadableFileError("The file is damaged: it cannot be unpacked. Save it again and retry.") from None


def repacked(parts: Mapping[str, bytes], *, is_compressed: bool = False) -> BytesIO:
    """Return an archive of the parts; the same bytes for the same parts. The part mimetype is first, as it is."""
    written = BytesIO()
    with ZipFile(written, "w") as archive:
        for name in sorted(parts, key=lambda name: (name != "mimetype", name)):
            method = ZIP_DEFLATED if is_compressed and name != "mimetype" else ZIP_STORED
            archive.writestr(ZipInfo(name, _OLDEST), parts[name], method)
    written.seek(0)
    return written


_TOO_LARGE = f"The file unpacks to more than {MAX_UNPACKED_BYTES // 10**6} MB: it is no list of receipts."


def _refuse(members: list[ZipInfo]) -> None:
    """Raise UnreadableFileError for an archive that is too large, or whose parts say that it is not to be read."""
    names = [member.filename.lower() for member in members]
    if len(members) > MAX_PARTS:
        raise UnreadableFileError(f"The file has {len(members):,} parts; a workbook has at most {MAX_PARTS}.")
    if sum(member.file_size for member in members) > MAX_UNPACKED_BYTES:
        raise UnreadableFileError(_TOO_LARGE)
    if any(name.endswith(_MACROS[0]) or name.startswith(_MACROS[1:]) for name in names):
        raise UnreadableFileError("The workbook holds macros. Save it without them, as .xlsx or .ods.")
    if any(name.endswith("workbook.bin") for name in names):
        raise UnreadableFileError("The workbook is in the binary form .xlsb. Save it as .xlsx or .ods.")
    if any(member.flag_bits & 1 for member in members):
        raise UnreadableFileError("The workbook is protected with a password. Save it without one.")

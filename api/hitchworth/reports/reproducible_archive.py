"""A zip archive whose bytes depend on its content alone: no clock, no machine."""

from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The first moment that the format knows."""


def reproducible(archive: bytes) -> bytes:
    """The same entries in the same order, each dated to the earliest moment."""
    stamped = BytesIO()
    with ZipFile(BytesIO(archive)) as source, ZipFile(stamped, "w", ZIP_DEFLATED) as target:
        for name in source.namelist():
            target.writestr(ZipInfo(name, EARLIEST), source.read(name), ZIP_DEFLATED)
    return stamped.getvalue()

"""A folder of files that any archive can check: BagIt (RFC 8493), written piece by piece into one ZIP file.

The same files give the same bytes: nothing is compressed, because what compresses differs from machine to machine;
every entry has the same time; and they stand in the order in which they were added.
"""

import re
from collections.abc import Sequence
from contextlib import suppress
from hashlib import sha256
from io import BytesIO
from typing import IO, Self
from zipfile import ZIP_STORED, ZipFile, ZipInfo

PAYLOAD_NAME = re.compile(r"[a-z0-9][a-z0-9._-]*(/[a-z0-9][a-z0-9._-]*)*")
"""Names that need no encoding in a manifest, and that every system can hold: a person's own names are in the lists."""

_DECLARATION = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
_EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The first time that the ZIP format can hold."""
_ON_UNIX, _READABLE = 3, 0o100644 << 16
_CHUNK_BYTES = 1_000_000


class Bag:
    """A bag that is being written. Memory does not grow with the files in it. Without `finish`, it is of no use."""

    def __init__(self, file: IO[bytes], name: str) -> None:
        """file: where the ZIP file goes. name: of the one folder in it, which PAYLOAD_NAME allows."""
        self._archive = ZipFile(file, "w", ZIP_STORED)
        self._name = name
        self._payload: dict[str, str] = {}
        self._bytes = 0

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        with suppress(OSError):
            self._archive.close()

    def add(self, path: str, content: IO[bytes] | bytes) -> str:
        """Add a file of the payload under a path below data/. Return its SHA-256.

        Raises ValueError for a path that PAYLOAD_NAME does not allow, or that is taken.
        """
        if not PAYLOAD_NAME.fullmatch(path) or path in self._payload:
            raise ValueError(f"no path of a file in a bag: {path!r}")
        digest, size = self._write(f"data/{path}", content)
        self._payload[path] = digest
        self._bytes += size
        return digest

    def finish(self, information: Sequence[tuple[str, str]]) -> str:
        """Write the tag files: the declaration, the information, the manifests. Return the SHA-256 of the last.

        information: labels and values of bag-info.txt, such as those that RFC 8493 reserves (2.2.2). The number of
        bytes and files is added.
        """
        counted = (*information, ("Payload-Oxum", f"{self._bytes}.{len(self._payload)}"))
        tags = {
            "bag-info.txt": "".join(f"{label}: {' '.join(value.split())}\n" for label, value in counted).encode(),
            "bagit.txt": _DECLARATION,
            "manifest-sha256.txt": _manifest({f"data/{path}": digest for path, digest in self._payload.items()}),
        }
        digests = {name: self._write(name, content)[0] for name, content in tags.items()}
        last = self._write("tagmanifest-sha256.txt", _manifest(digests))[0]
        self._archive.close()
        return last

    def _write(self, path: str, content: IO[bytes] | bytes) -> tuple[str, int]:
        entry = ZipInfo(f"{self._name}/{path}", _EARLIEST)
        entry.create_system, entry.external_attr = _ON_UNIX, _READABLE
        source = BytesIO(content) if isinstance(content, bytes) else content
        entry.file_size = source.seek(0, 2)
        source.seek(0)
        digest, size = sha256(), 0
        with self._archive.open(entry, "w") as target:
            while chunk := source.read(_CHUNK_BYTES):
                digest.update(chunk)
                size += len(chunk)
                target.write(chunk)
        return digest.hexdigest(), size


def _manifest(digests: dict[str, str]) -> bytes:
    """Return a manifest, which `sha256sum -c` reads as well."""
    return "".join(f"{digest}  {path}\n" for path, digest in sorted(digests.items())).encode()

"""A claim pack, unpacked by the standard's own tool; and a document with a loss, policies, answers and evidence."""

import json
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import bagit

from camera_photos import PDF, photo
from web_server import example

PHOTOS = {"kitchen/plate.jpg": photo(), "stove.heic": photo("HEIF", 99), "receipt.pdf": PDF}
SUBJECTS = {"kitchen/plate.jpg": "identification_plate", "stove.heic": "stove", "receipt.pdf": "stove"}
TYPES = {".jpg": "image/jpeg", ".heic": "image/heic", ".pdf": "application/pdf"}


def document(**more: Any) -> dict[str, Any]:
    """The example document with a claim on record, and with secrets that belong into no pack."""
    made: dict[str, Any] = json.loads(example("kept-build"))
    made["losses"][0] |= {
        "claim_number": "C-2026-0417",
        "police_report_number": "P-77",
        "annual_probability": "0.0123",
    }
    made["policies"] = [
        {"name": "home", "basis": "replacement_cost", "limit": "9000", "annual_premium": "777.77"},
        {"name": "other secret", "basis": "agreed_value", "amount": "54321", "deductible": "1234"},
    ]
    made["answers"] = [
        {"policy": "home", "term": "deductible", "value": "250", "said_by": "Dana Birch", "said_on": "2026-06-03"},
        {"policy": "other secret", "term": "limit", "value": "60606", "said_by": "Robin Secret"},
    ]
    return made | more


def entries(**files: bytes) -> list[dict[str, Any]]:
    """What a document says of files: these, or those of PHOTOS."""
    return [
        {
            "id": sha256(content).hexdigest()[:16],
            "sha256": sha256(content).hexdigest(),
            "media_type": TYPES[Path(name).suffix],
            "size": len(content),
            "file_name": name,
            **({"subjects": [SUBJECTS[name]]} if name in SUBJECTS else {}),
        }
        for name, content in (files or PHOTOS).items()
    ]


def write_photos(folder: Path) -> Path:
    for name, content in PHOTOS.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    return folder


def unpacked(content: bytes, folder: Path) -> dict[str, bytes]:
    """The payload of a pack that is valid, by its path below data/."""
    with ZipFile(BytesIO(content)) as archive:
        archive.extractall(folder)
        (root,) = {name.partition("/")[0] for name in archive.namelist()}
    bagit.Bag(str(folder / root)).validate()
    data = folder / root / "data"
    return {file.relative_to(data).as_posix(): file.read_bytes() for file in data.rglob("*") if file.is_file()}

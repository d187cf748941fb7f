"""Plates read by a program: what is written on a photo of a kept build, and the numbers that it may be.

The docstrings of the functions are the descriptions of the API.
"""

from typing import Annotated

from msgspec import Meta

from hitchworth import appraisal
from hitchworth.evidence.pictures import MAX_PIXELS
from hitchworth.evidence.text_reading import read_text
from hitchworth.localization.localize import localize
from hitchworth.model.caller import Caller
from hitchworth.model.document import Locale
from hitchworth.model.plate_reading import PlateReading
from hitchworth.operations.builds import BuildParameter
from hitchworth.operations.clock import today
from hitchworth.operations.documents import read_kept
from hitchworth.operations.evidence import EvidenceId, get_evidence
from hitchworth.store import Store
from hitchworth.store.errors import NotKeptError


def get_plate_reading(
    store: Store,
    caller: Caller,
    build: BuildParameter,
    evidence: EvidenceId,
    locale: Annotated[Locale, Meta(description="Locale of the texts. Default: en-US.")] = "en-US",
) -> PlateReading:
    """Read the plate in a photo.

    A program reads the lines, on this server; what is taken for an identification, serial or model number is proposed
    with the field that would take it, beside what is there now. Nothing is entered: confirm a number by changing the
    build, as any other entry. A server without the extra `ocr` answers 501.
    """
    entry = get_evidence(store, caller, build, evidence)
    if entry.media_type == "application/pdf":
        raise NotKeptError("a PDF is not read")
    with store.evidence.open(caller.workspace, entry.sha256) as file:
        lines = read_text(file, MAX_PIXELS)
    document = read_kept(store.builds.read(caller.workspace, build)[1])
    reading = PlateReading(
        evidence=entry.id,
        locale=locale,
        lines=lines,
        proposals=appraisal.numbers_on_plate(lines, entry.subjects, document.build, today()),
    )
    return localize(reading, locale)

"""The tables of a claim pack: the inventory with its evidence, and the evidence with its hashes."""

from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal

from msgspec import Struct

from hitchworth.model.entry import Component, Labor
from hitchworth.model.estimate import EstimateLine
from hitchworth.model.evidence import PROTECTION
from hitchworth.model.gap import GapStatement
from hitchworth.model.numbers import RoundedAmount
from hitchworth.model.request import GapRequest
from hitchworth.operations.tables import FilledTable
from hitchworth.reports.claim import LeftOut, PackedEvidence


class InventoryRow(Struct, frozen=True, kw_only=True):
    """A component or labor entry, what it was worth on the day of the loss, and what proves it."""

    id: str
    kind: str
    description: str
    category: str
    quantity: Decimal | None
    unit: str | None
    acquired_on: date
    supplier: str | None
    model_number: str | None
    serial_number: str | None
    evidence_grade: str | None
    historical_cost: RoundedAmount
    replacement_cost: RoundedAmount
    age_years: Decimal
    percent_good: Decimal
    depreciation: RoundedAmount
    actual_cash_value: RoundedAmount
    evidence: tuple[str, ...]
    """The files of the pack that prove it."""


class EvidenceRow(Struct, frozen=True, kw_only=True):
    """A file of evidence."""

    file: str | None
    """In the pack. Null: it is not in it, for the reason in left_out."""
    file_name: str | None
    kind: str | None
    subjects: tuple[str, ...]
    caption: str | None
    media_type: str
    taken_at: str | None
    added_by: str | None
    added_at: str | None
    size: int
    sha256: str
    """Of the file as it was added."""
    sha256_in_pack: str | None
    """Of the file in the pack; another one where date and place were removed."""
    left_out: LeftOut | None


def inventory_table(request: GapRequest, statement: GapStatement, evidence: Iterable[PackedEvidence]) -> FilledTable:
    """Return the lines of the estimate with their entries and their evidence."""
    build = request.build
    entries: dict[tuple[str, str], Component | Labor] = {("component", part.id): part for part in build.components}
    entries |= {("labor", labor.id): labor for labor in build.labor}
    proofs: dict[str, list[str]] = {}
    for each in evidence:
        for subject in each.entry.subjects if each.path else ():
            if not subject.startswith(PROTECTION):
                proofs.setdefault(subject, []).append(each.path or "")
    rows = tuple(
        _inventory_row(line, entries[line.kind, line.id], tuple(proofs.get(line.id, ())))
        for line in statement.estimate.lines
    )
    return FilledTable(name="inventory", record=InventoryRow, rows=rows, locale=request.locale, currency=build.currency)


def _inventory_row(line: EstimateLine, entry: Component | Labor, evidence: tuple[str, ...]) -> InventoryRow:
    part = entry if isinstance(entry, Component) else None
    return InventoryRow(
        id=line.id,
        kind=line.kind,
        description=line.description,
        category=line.category,
        quantity=entry.quantity if isinstance(entry, Component) else entry.hours,
        unit=part.unit if part else "h",
        acquired_on=entry.acquired_on if isinstance(entry, Component) else entry.performed_on,
        supplier=part.supplier if part else None,
        model_number=part.model_number if part else None,
        serial_number=part.serial_number if part else None,
        evidence_grade=entry.evidence_grade,
        historical_cost=line.historical_cost,
        replacement_cost=line.replacement_cost,
        age_years=line.age_years,
        percent_good=line.percent_good,
        depreciation=line.depreciation,
        actual_cash_value=line.actual_cash_value,
        evidence=evidence,
    )


def evidence_table(request: GapRequest, evidence: Iterable[PackedEvidence]) -> FilledTable:
    """Return the evidence with the hash of each file, and why one is not there. The places of photos are left out."""
    return FilledTable(name="evidence", record=EvidenceRow, rows=tuple(_evidence_rows(evidence)), locale=request.locale)


def _evidence_rows(evidence: Iterable[PackedEvidence]) -> Iterator[EvidenceRow]:
    for each in evidence:
        entry = each.entry
        yield EvidenceRow(
            file=each.path,
            file_name=entry.file_name,
            kind=entry.kind,
            subjects=entry.subjects,
            caption=entry.caption,
            media_type=entry.media_type,
            taken_at=entry.taken_at,
            added_by=entry.added_by,
            added_at=entry.added_at.isoformat() if entry.added_at else None,
            size=entry.size,
            sha256=entry.sha256,
            sha256_in_pack=each.sha256,
            left_out=each.left_out,
        )

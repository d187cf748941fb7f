"""The documentation score: what of the replacement cost has a receipt, a photo, a serial number, and what to find."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import get_args

from msgspec import Struct

from hitchworth.documentation.register import BySubject, by_subject, carries_number
from hitchworth.model.build import Build, Component, Labor
from hitchworth.model.documentation import DocumentationScore, DocumentedShare, RecordKind, RecordToFind
from hitchworth.model.estimate import Estimate, EstimateLine
from hitchworth.model.evidence import NUMBER, Evidence

RECORDS_TO_FIND = 10
_PLACES = Decimal("0.0001")


class _Documented(Struct, frozen=True):
    """A line, what it has and what it could have besides."""

    line: EstimateLine
    has: tuple[RecordKind, ...]
    lacks: tuple[RecordKind, ...]


def documentation_score(build: Build, evidence: Sequence[Evidence], estimate: Estimate) -> DocumentationScore:
    """Return the shares of the parts that the estimate values, and the records to find first.

    The shares are of the parts: labor has neither photo nor number. An invoice of hired work is a record to find.
    """
    lines = tuple(_documented_lines(build, by_subject(evidence), estimate))
    parts = [each for each in lines if each.line.kind == "component"]
    cost = sum((each.line.replacement_cost for each in parts), Decimal(0))
    records = tuple(_records_to_find(lines))
    return DocumentationScore(
        as_of=estimate.as_of,
        currency=estimate.currency,
        replacement_cost=cost,
        parts=len(parts),
        shares=tuple(_share(record, parts, cost) for record in get_args(RecordKind)),
        records=records[:RECORDS_TO_FIND],
        missing=len(records),
        kind_not_stated=_kind_not_stated(evidence, lines),
    )


def _documented_lines(build: Build, evidence: BySubject, estimate: Estimate) -> Iterator[_Documented]:
    parts = {part.id: part for part in build.components}
    work = {labor.id: labor for labor in build.labor}
    for line in estimate.lines:
        if line.kind == "component":
            yield _part(line, parts[line.id], evidence)
        else:
            yield _work(line, work[line.id], evidence)


def _part(line: EstimateLine, part: Component, evidence: BySubject) -> _Documented:
    kinds = _kinds(evidence, part.id)
    on_record: Mapping[RecordKind, bool] = {
        "receipt": part.evidence_grade == "receipt" or "receipt" in kinds,
        "photo": "photo" in kinds,
        "serial_number": part.serial_number is not None,
    }
    has = tuple(record for record, is_there in on_record.items() if is_there)
    wanted: Mapping[RecordKind, bool] = {
        "receipt": True,
        "photo": not has,  # a receipt or a number shows that it was there
        "serial_number": carries_number(part),
    }
    lacks = tuple(record for record, is_wanted in wanted.items() if is_wanted and record not in has)
    return _Documented(line, has, lacks)


def _work(line: EstimateLine, labor: Labor, evidence: BySubject) -> _Documented:
    if labor.evidence_grade == "receipt" or "receipt" in _kinds(evidence, labor.id):
        return _Documented(line, has=("receipt",), lacks=())
    return _Documented(line, has=(), lacks=("receipt",) if labor.hired else ())


def _kinds(evidence: BySubject, line: str) -> set[str | None]:
    """Return what kinds of evidence a line has; what shows its number is evidence of it, too."""
    return {each.kind for subject in _subjects(line) for each in evidence.get(subject, ())}


def _subjects(line: str) -> tuple[str, ...]:
    return line, f"{NUMBER}{line}"


def _share(record: RecordKind, parts: Iterable[_Documented], cost: Decimal) -> DocumentedShare:
    having = [each.line.replacement_cost for each in parts if record in each.has]
    amount = sum(having, Decimal(0))
    share = (amount / cost).quantize(_PLACES, ROUND_HALF_UP) if cost else None
    return DocumentedShare(record=record, replacement_cost=amount, share=share, parts=len(having))


def _records_to_find(lines: Iterable[_Documented]) -> Iterator[RecordToFind]:
    """Yield every missing record, that of the costliest line first; what costs nothing to replace is not asked for."""
    for each in sorted(lines, key=lambda each: -each.line.replacement_cost):
        if each.line.replacement_cost > 0:
            for record in each.lacks:
                yield RecordToFind(
                    line=each.line.id,
                    kind=each.line.kind,
                    description=each.line.description,
                    record=record,
                    replacement_cost=each.line.replacement_cost,
                    on_record=each.has,
                )


def _kind_not_stated(evidence: Iterable[Evidence], lines: Iterable[_Documented]) -> int:
    subjects = {subject for each in lines for subject in _subjects(each.line.id)}
    return sum(each.kind is None and not subjects.isdisjoint(each.subjects) for each in evidence)

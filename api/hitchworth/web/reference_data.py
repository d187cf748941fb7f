"""The reference data on which figures and verdicts rest, each record with its source."""

from decimal import Decimal
from typing import Annotated, Any, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.fault import Fault
from hitchworth.model.listing import Items
from hitchworth.reference.definitions import Definition, definitions
from hitchworth.reference.facts import FactDefinition, facts
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.price_indexes import PriceIndex, price_indexes
from hitchworth.reference.protections import ProtectionMeasure, protection_measures
from hitchworth.reference.questions import BankQuestion, question_bank
from hitchworth.reference.schedules import SCHEDULES, ScheduleRecord
from hitchworth.web import problems
from hitchworth.web.media import AS_JSON
from hitchworth.web.operations import Operation
from hitchworth.web.problems import RequestError
from hitchworth.web.tables import as_tables

Known: TypeAlias = Annotated[str, Meta(extra_json_schema={"enum": list(jurisdictions())})]
Where: TypeAlias = Annotated[
    Known | None,
    Meta(
        examples=["GB"],
        description="Only what applies in this jurisdiction, that of the wider ones included: US-WA, GB, DE.",
    ),
]


def list_schedules() -> Items[ScheduleRecord]:
    """List the schedules of depreciation.

    By name, with the categories that follow each by default.
    """
    return Items(items=SCHEDULES)


def list_definitions(jurisdiction: Where = None) -> Items[Definition]:
    """List the published definitions of classes of trailers.

    Each in our own words, with its citation and the conditions that it sets. Definitions change and local law has the
    last word: ask the registering authority.
    """
    if jurisdiction is None:
        return Items(items=definitions())
    entry = jurisdictions().get(jurisdiction)
    if entry is None:
        raise RequestError(
            problems.INVALID_PARAMETER,
            "There are no definitions of this jurisdiction.",
            errors=(
                Fault(
                    pointer="",
                    detail="jurisdiction: No definitions of this jurisdiction",
                    expected=f"one of {', '.join(jurisdictions())}",
                    found=jurisdiction[:60],
                ),
            ),
        )
    return Items(items=tuple(definition for definition in definitions() if definition.jurisdiction in entry.chain))


def list_facts() -> Items[FactDefinition]:
    """List the facts by which definitions ask, with the unit of each and how to find it out."""
    return Items(items=facts())


def list_price_indexes() -> Items[PriceIndex]:
    """List the published price indexes, month by month.

    A component names one in `price_index` to have its price trended to the valuation date.
    """
    return Items(items=tuple(price_indexes().values()))


def list_protections() -> Items[ProtectionMeasure]:
    """List measures against loss: the perils that each slows, and the evidence that proves it was fitted."""
    return Items(items=protection_measures())


def list_questions() -> Items[BankQuestion]:
    """List the questions to settle before, during and after the build.

    Each with why it matters, what to bring, what a clear answer looks like, and when it is asked.
    """
    return Items(items=question_bank().questions)


class _IndexValue(Struct, frozen=True, kw_only=True):
    """A month of a price index, as a row of a table."""

    name: str
    jurisdiction: str
    month: str
    value: Decimal


def _index_values(indexes: Items[PriceIndex]) -> tuple[_IndexValue, ...]:
    return tuple(
        _IndexValue(name=index.name, jurisdiction=index.jurisdiction, month=entry.month, value=entry.value)
        for index in indexes.items
        for entry in index.months
    )


def _items(answer: Items[Any]) -> tuple[Any, ...]:
    return answer.items


OPERATIONS = tuple(
    Operation(
        method="GET",
        path=path,
        tag="Reference data",
        function=function,
        renderings=(AS_JSON, *as_tables(rows_of)),
        lasting=True,
    )
    for path, function, rows_of in (
        ("/v1/schedules", list_schedules, _items),
        ("/v1/definitions", list_definitions, _items),
        ("/v1/facts", list_facts, _items),
        ("/v1/price-indexes", list_price_indexes, _index_values),
        ("/v1/protections", list_protections, _items),
        ("/v1/questions", list_questions, _items),
    )
)

"""The reference data on which figures and verdicts rest, each record with its source."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Any, TypeAlias

from msgspec import Meta, Struct
from msgspec.structs import replace

from hitchworth import validation
from hitchworth.model.estimate import LaborDepreciationRule
from hitchworth.model.listing import Items
from hitchworth.reference.definitions import Definition, JurisdictionRecord, coverage, definitions, definitions_of_chain
from hitchworth.reference.facts import FactDefinition, facts
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.labor_depreciation_rules import labor_depreciation_rules
from hitchworth.reference.price_indexes import PriceIndex, price_indexes
from hitchworth.reference.protections import ProtectionMeasure, protection_measures
from hitchworth.reference.questions import BankQuestion, question_bank
from hitchworth.reference.schedules import ScheduleRecord, library_schedules
from hitchworth.reference.wages import Wage, wages
from hitchworth.web import problems
from hitchworth.web.content_negotiation import AS_JSON
from hitchworth.web.operation import Operation
from hitchworth.web.problems import RequestError
from hitchworth.web.tables import as_tables

Where: TypeAlias = Annotated[
    Annotated[str, Meta(extra_json_schema={"enum": list(jurisdictions())})] | None,
    Meta(
        examples=["GB"],
        description="Only what applies in this jurisdiction, that of the wider ones included: US-WA, GB, DE.",
    ),
]
On: TypeAlias = Annotated[
    date | None,
    Meta(examples=["2016-06-01"], description="Only what was in force on this day. Default: what ever was."),
]


def list_schedules() -> Items[ScheduleRecord]:
    """List the schedules of depreciation.

    By name, with the categories that follow each by default.
    """
    return Items(items=library_schedules())


def list_jurisdictions() -> Items[JurisdictionRecord]:
    """List the jurisdictions where a trailer may be registered.

    Each with the wider ones to which it falls back, how many definitions it has of its own, and how many of them were
    verified against a published text.
    """
    return Items(items=coverage())


def list_definitions(jurisdiction: Where = None, as_of: On = None) -> Items[Definition]:
    """List the published definitions of classes of trailers.

    Each in our own words, with its citation and the conditions that it sets. Definitions change and local law has the
    last word: ask the registering authority.
    """
    faults = tuple(replace(fault, pointer="") for fault in validation.unknown_jurisdiction(jurisdiction))
    if faults:
        raise RequestError(problems.INVALID_PARAMETER, "The parameter jurisdiction is wrong.", errors=faults)
    chosen = definitions() if jurisdiction is None else definitions_of_chain(jurisdiction)
    return Items(items=tuple(one for one in chosen if as_of is None or one.in_force(as_of)))


def list_facts() -> Items[FactDefinition]:
    """List the facts by which definitions ask, with the unit of each and how to find it out."""
    return Items(items=facts())


def list_price_indexes() -> Items[PriceIndex]:
    """List the published price indexes, month by month.

    A component names one in `price_index` to have its price trended to the valuation date.
    """
    return Items(items=tuple(price_indexes().values()))


def list_wages() -> Items[Wage]:
    """List hourly wages by trade, with percentiles.

    To choose a rate from where no shop has been asked. They are wages: a shop's rate also carries its overhead and
    profit.
    """
    return Items(items=wages())


def list_labor_depreciation_rules() -> Items[LaborDepreciationRule]:
    """List what is published on depreciating labor, place by place.

    From statutes, regulations and courts, about property insurance. The wording of a policy can change the answer: ask
    the insurer.
    """
    return Items(items=tuple(labor_depreciation_rules().values()))


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
        cacheable=True,
    )
    for path, function, rows_of in (
        ("/v1/schedules", list_schedules, _items),
        ("/v1/jurisdictions", list_jurisdictions, _items),
        ("/v1/definitions", list_definitions, _items),
        ("/v1/facts", list_facts, _items),
        ("/v1/price-indexes", list_price_indexes, _index_values),
        ("/v1/wages", list_wages, _items),
        ("/v1/labor-depreciation-rules", list_labor_depreciation_rules, _items),
        ("/v1/protections", list_protections, _items),
        ("/v1/questions", list_questions, _items),
    )
)

"""The reference data behind the figures and verdicts, each record with its source.

The docstrings of the functions are the descriptions of the API.
"""

from datetime import date
from decimal import Decimal
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth import validation
from hitchworth.model.estimate import LaborDepreciationRule
from hitchworth.model.listing import Items
from hitchworth.operations.result_tables import items_of
from hitchworth.operations.tables import ResultTable
from hitchworth.reference.coverage import JurisdictionRecord, coverage
from hitchworth.reference.definitions import Definition, definitions, definitions_of_chain
from hitchworth.reference.facts import FactDefinition, facts
from hitchworth.reference.labor_depreciation_rules import labor_depreciation_rules
from hitchworth.reference.price_indexes import PriceIndex, price_indexes
from hitchworth.reference.protections import ProtectionMeasure, protection_measures
from hitchworth.reference.questions import BankQuestion, question_bank
from hitchworth.reference.schedules import ScheduleRecord, library_schedules
from hitchworth.reference.wages import Wage, wages
from hitchworth.valuation.labor_rates import with_loaded_rates


def list_schedules() -> Items[ScheduleRecord]:
    """List the depreciation schedules.

    By name, each with the categories that use it by default.
    """
    return Items(items=library_schedules())


def list_jurisdictions() -> Items[JurisdictionRecord]:
    """List the jurisdictions where a trailer may be registered.

    Each with the wider jurisdictions that it falls back on, the number of definitions of its own, the number of those
    that were verified against a published text, and its own words for a trailer to stay in and for one that carries
    things. Where no such word is known, it says whether one was looked for.
    """
    return Items(items=coverage())


def list_definitions(
    jurisdiction: Annotated[
        str | None,
        Meta(
            examples=["GB"],
            description="Only the definitions that apply in this jurisdiction, with those of the wider ones.",
        ),
    ] = None,
    as_of: Annotated[
        date | None,
        Meta(
            examples=["2016-06-01"],
            description="Only the definitions in force on this day. Default: all, past ones included.",
        ),
    ] = None,
) -> Items[Definition]:
    """List the published definitions of trailer classes.

    Each in our own words, with its citation and its conditions. Definitions change, and local law has the last word:
    ask the registering authority.
    """
    if faults := tuple(validation.unknown_jurisdiction(jurisdiction)):
        raise validation.InvalidInputError(faults)
    applicable = definitions() if jurisdiction is None else definitions_of_chain(jurisdiction)
    return Items(items=tuple(one for one in applicable if as_of is None or one.in_force(as_of)))


def list_facts() -> Items[FactDefinition]:
    """List the facts that definitions ask for, with the unit of each and how to find it out."""
    return Items(items=facts())


def list_price_indexes() -> Items[PriceIndex]:
    """List the published price indexes, month by month.

    To trend the price of a component to the valuation date, name one of them in its `price_index`.
    """
    return Items(items=tuple(price_indexes().values()))


def list_wages() -> Items[Wage]:
    """List hourly wages by trade, with percentiles, and what they come to.

    A wage is what an employee earns, not what a shop asks. Beside it stands the loaded rate: the wage with the
    employer's costs and overhead, by a published method. It has no profit, and rates that shops post are several times
    the wage, so ask shops for a quote. To use a loaded rate as a `market_rate`, give its `includes` as `rate_includes`.
    """
    return Items(items=tuple(map(with_loaded_rates, wages())))


def list_labor_depreciation_rules() -> Items[LaborDepreciationRule]:
    """List published rules on the depreciation of labor, by jurisdiction.

    From statutes, regulations and court decisions about property insurance. The wording of a policy can change the
    answer: ask the insurer.
    """
    return Items(items=tuple(labor_depreciation_rules().values()))


def list_protections() -> Items[ProtectionMeasure]:
    """List measures against loss: the perils that each slows, and the evidence that it was fitted."""
    return Items(items=protection_measures())


def list_questions() -> Items[BankQuestion]:
    """List the questions to settle before, during and after the build.

    Each with why it matters, what to bring, what a clear answer says, and when it is asked.
    """
    return Items(items=question_bank().questions)


class PriceIndexMonth(Struct, frozen=True, kw_only=True):
    """One month of a price index, as a row of a table."""

    name: str
    jurisdiction: str
    month: str
    value: Decimal


def _price_index_months(indexes: Items[PriceIndex]) -> tuple[PriceIndexMonth, ...]:
    """Return the months of all indexes, a row each."""
    return tuple(
        PriceIndexMonth(name=index.name, jurisdiction=index.jurisdiction, month=entry.month, value=entry.value)
        for index in indexes.items
        for entry in index.months
    )


SCHEDULES = items_of(ScheduleRecord, "the schedules")
JURISDICTIONS = items_of(JurisdictionRecord, "the jurisdictions")
DEFINITIONS = items_of(Definition, "the definitions")
FACTS = items_of(FactDefinition, "the facts")
PRICE_INDEXES = (
    ResultTable(
        name="months", description="the months of all indexes", record=PriceIndexMonth, rows=_price_index_months
    ),
)
WAGES = items_of(Wage, "the wages")
LABOR_DEPRECIATION_RULES = items_of(LaborDepreciationRule, "the rules")
PROTECTIONS = items_of(ProtectionMeasure, "the measures")
QUESTIONS = items_of(BankQuestion, "the questions")

"""The rules by type of request: what types and bounds cannot check. Each rule yields the faults that it finds."""

from collections.abc import Callable, Collection, Iterable, Iterator
from datetime import date
from typing import Any, Protocol, TypeAlias

import msgspec

from hitchworth.model.attention import AttentionRequest
from hitchworth.model.build import Build
from hitchworth.model.cell import DepreciatedValueQuery, IndexedPriceQuery, PercentGoodQuery
from hitchworth.model.document import Document
from hitchworth.model.fault import Fault
from hitchworth.model.options import Options
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.model.request import (
    ClassificationRequest,
    DocumentComparisonRequest,
    EstimateComparisonRequest,
    EstimateRequest,
    GapRequest,
    ProgressBillRequest,
    ProtectionRequest,
    QuoteRequest,
    QuoteVarianceRequest,
    SalesComparisonRequest,
    SerialNumberRequest,
    SettlementRequest,
    ValueCurveRequest,
)
from hitchworth.validation.answer_rules import answers_in_future, invalid_answers
from hitchworth.validation.build_rules import (
    conflicting_discounts,
    cost_ranges_out_of_order,
    dates_out_of_order,
    duplicate_circuit_names,
    duplicate_ids,
    excessive_line_costs,
    excessive_margins,
    invalid_conductors,
    invalid_refunds,
    missing_effective_ages,
    missing_exchange_rates,
    unknown_components,
    unknown_currencies,
    unknown_obsolescence_categories,
    unneeded_exchange_rates,
    zero_circuit_values,
    zero_exchange_rates,
)
from hitchworth.validation.cell_rules import (
    ambiguous_age,
    ambiguous_schedule,
    invalid_written_out_schedule,
    unknown_cell_category,
    unknown_cell_currency,
    unknown_cell_price_index,
)
from hitchworth.validation.change_order_rules import (
    accepted_out_of_time,
    changes_out_of_order,
    changes_without_contingency,
    different_built_currency,
    duplicate_change_numbers,
    empty_change_orders,
    unclear_progress,
    unknown_change_labor,
    unknown_dropped_lines,
    unknown_milestones,
)
from hitchworth.validation.classification_rules import (
    as_of_in_future,
    duplicate_destinations,
    fact_faults,
    fields_beside_build,
    unknown_destinations,
    unknown_jurisdiction,
)
from hitchworth.validation.evidence_rules import (
    duplicate_evidence,
    impossible_times,
    unknown_subjects,
    unsafe_file_names,
)
from hitchworth.validation.policy_rules import (
    contradictory_terms,
    deductibles_without_limit,
    duplicate_damage,
    duplicate_loss_names,
    duplicate_policy_names,
    duplicate_policy_terms,
    invalid_coordination,
    invalid_damage,
    too_many_days_of_loss,
    too_many_settlements,
    too_much_to_settle,
    unknown_categories,
    unknown_discount_policies,
)
from hitchworth.validation.quote_rules import (
    dates_before_quote,
    duplicate_pricing_names,
    incomplete_payments,
    options_without_price,
    too_many_combinations,
    unclear_amounts,
    unknown_pricing_entries,
    unknown_tax_place,
    whole_margins,
)
from hitchworth.validation.schedule_rules import (
    invalid_price_indexes,
    invalid_schedules,
    unknown_price_indexes,
    unknown_schedules,
    unknown_whole_trailer_schedule,
)
from hitchworth.validation.valuation_rules import (
    confidence_out_of_range,
    dates_not_ascending,
    different_currencies,
    duplicate_comparables,
    duplicate_equipment,
    incomplete_effect_order,
    invalid_adjustments,
    too_many_dates,
    unknown_adjustment_price_index,
    zero_comparable_prices,
    zero_weights,
)

Rule: TypeAlias = Callable[[Any], Iterator[Fault]]
RuleWithToday: TypeAlias = Callable[[Any, date], Iterator[Fault]]


class ValuationRequest(Protocol):
    """A request with a build to value."""

    @property
    def build(self) -> Build: ...
    @property
    def options(self) -> Options: ...


def rule_faults(value: object, today: date | None = None) -> Iterator[Fault]:
    """Yield the faults that the rules find in a build or in a request; none in any other value."""
    for rule in RULES.get(type(value), ()):
        yield from rule(value)
    if today is not None:
        for rule_with_today in RULES_WITH_TODAY.get(type(value), ()):
            yield from rule_with_today(value, today)


def sent_faults(value: object, today: date) -> Iterator[Fault]:
    """Yield the faults of what somebody sends today, which are none of what was kept on an earlier day."""
    for rule in SENT_RULES.get(type(value), ()):
        yield from rule(value, today)


def build_faults(build: Build) -> Iterator[Fault]:
    """Yield the faults of a build, with pointers from its own root."""
    for rule in BUILD_RULES:
        yield from rule(build)


def valued_build_faults(build: Build, options: Options) -> Iterator[Fault]:
    """Yield the faults of a build to value. Exchange rates are looked up where the options ask for it."""
    yield from build_faults(build)
    if options.exchange_rates == "given":
        yield from missing_exchange_rates(build)


def option_faults(options: Options, schedules: Collection[str]) -> Iterator[Fault]:
    """Yield the faults of the options for valuing builds that all have these schedules of their own."""
    yield from confidence_out_of_range(options)
    yield from unknown_whole_trailer_schedule(options, schedules)


def valuation_faults(request: ValuationRequest) -> Iterator[Fault]:
    """Yield the faults of the build and the options of a request."""
    yield from under("/build", valued_build_faults(request.build, request.options))
    yield from option_faults(request.options, request.build.schedules)


def two_estimate_faults(request: EstimateComparisonRequest) -> Iterator[Fault]:
    """Yield the faults of both builds, and of the options that they share."""
    before, after = request.before.build, request.after.build
    yield from under("/before/build", valued_build_faults(before, request.options))
    yield from under("/after/build", valued_build_faults(after, request.options))
    yield from option_faults(request.options, before.schedules.keys() & after.schedules.keys())


def two_document_faults(request: DocumentComparisonRequest) -> Iterator[Fault]:
    """Yield the faults of both documents."""
    yield from under("/before", rule_faults(request.before))
    yield from under("/after", rule_faults(request.after))


def two_answers_in_future(request: DocumentComparisonRequest, today: date) -> Iterator[Fault]:
    """Yield what is in the future in both documents and must not be."""
    yield from under("/before", answers_in_future(request.before, today))
    yield from under("/after", answers_in_future(request.after, today))


def nested_build_faults(request: ProtectionRequest | SerialNumberRequest) -> Iterator[Fault]:
    """Yield the faults of a build that is not valued."""
    yield from under("/build", build_faults(request.build))


def classified_document_faults(request: ClassificationRequest) -> Iterator[Fault]:
    """Yield the faults of a document to classify; without a build, of what belongs to one."""
    if request.build is not None:
        yield from under("/build", build_faults(request.build))
        for rule in DOCUMENT_RULES:
            yield from rule(request)
        return
    yield from unknown_destinations(request)
    yield from duplicate_destinations(request)
    for name in ("policies", "losses", "coordination", "answers", "sales_comparison", "photo", "evidence"):
        if getattr(request, name):
            yield Fault(
                pointer=f"/{name}",
                detail="Not allowed without a build, to which it belongs",
                expected=f"build together with {name}, or no {name}",
                found="no build",
            )


def policy_faults(request: Document) -> Iterator[Fault]:
    """Yield the faults of the policies and losses of a document; many a build has none yet."""
    if request.policies or request.losses:
        for rule in POLICY_RULES:
            yield from rule(request)


def sales_faults(request: Document) -> Iterator[Fault]:
    """Yield the faults of the comparable sales of a document."""
    sales = request.sales_comparison
    if sales is not None:
        compared = SalesComparisonRequest(
            build=request.build, subject=sales.subject, comparables=sales.comparables, adjustments=sales.adjustments
        )
        for rule in SALES_RULES:
            yield from under("/sales_comparison", rule(compared))


def change_entry_faults(request: QuoteRequest) -> Iterator[Fault]:
    """Yield the faults of the entries of each change order, as those of a build with its schedules and indexes."""
    build = request.build
    for index, order in enumerate(request.changes):
        entries = Build(
            name=build.name,
            currency=build.currency,
            schedules=build.schedules,
            price_indexes=build.price_indexes,
            components=order.components,
            labor=tuple(msgspec.structs.replace(entry, component_id=None) for entry in order.labor),
        )
        for fault in valued_build_faults(entries, request.options):
            if fault.pointer.startswith(("/components/", "/labor/")):
                yield from under(f"/changes/{index}", [fault])


def built_faults(request: QuoteVarianceRequest) -> Iterator[Fault]:
    """Yield the faults of the trailer as built."""
    return under("/built", valued_build_faults(request.built, request.options))


def under(pointer: str, faults: Iterable[Fault]) -> Iterator[Fault]:
    """Yield the faults with their pointers under another one."""
    return (msgspec.structs.replace(fault, pointer=pointer + fault.pointer) for fault in faults)


BUILD_RULES: tuple[Callable[[Build], Iterator[Fault]], ...] = (
    duplicate_ids,
    unknown_currencies,
    zero_exchange_rates,
    unneeded_exchange_rates,
    cost_ranges_out_of_order,
    excessive_margins,
    excessive_line_costs,
    invalid_refunds,
    unknown_obsolescence_categories,
    dates_out_of_order,
    missing_effective_ages,
    unknown_schedules,
    invalid_schedules,
    unknown_price_indexes,
    invalid_price_indexes,
    unknown_components,
    duplicate_circuit_names,
    zero_circuit_values,
    invalid_conductors,
    conflicting_discounts,
    lambda build: unknown_jurisdiction(build.jurisdiction),
    lambda build: fact_faults(build.facts, "/facts"),
)

POLICY_RULES: tuple[Rule, ...] = (
    duplicate_policy_names,
    duplicate_loss_names,
    duplicate_policy_terms,
    contradictory_terms,
    deductibles_without_limit,
    too_many_settlements,
    too_much_to_settle,
    too_many_days_of_loss,
    unknown_categories,
    invalid_damage,
    duplicate_damage,
)
"""Of policies and losses."""

DOCUMENT_RULES: tuple[Rule, ...] = (
    policy_faults,
    invalid_coordination,
    unknown_discount_policies,
    unknown_destinations,
    duplicate_destinations,
    invalid_answers,
    sales_faults,
    duplicate_evidence,
    unknown_subjects,
    impossible_times,
    unsafe_file_names,
)
"""Of a document, whatever is computed from it: a file that is right for one computation is right for all."""

SALES_RULES: tuple[Rule, ...] = (
    duplicate_comparables,
    duplicate_equipment,
    zero_comparable_prices,
    invalid_adjustments,
    zero_weights,
    unknown_adjustment_price_index,
)

QUOTE_RULES: tuple[Rule, ...] = (
    valuation_faults,
    *DOCUMENT_RULES,
    duplicate_pricing_names,
    unknown_pricing_entries,
    unknown_tax_place,
    options_without_price,
    too_many_combinations,
    whole_margins,
    unclear_amounts,
    incomplete_payments,
    change_entry_faults,
    duplicate_change_numbers,
    unknown_dropped_lines,
    unknown_change_labor,
    unknown_milestones,
    changes_without_contingency,
    empty_change_orders,
)

QUOTE_RULES_WITH_TODAY: tuple[RuleWithToday, ...] = (
    dates_before_quote,
    changes_out_of_order,
    accepted_out_of_time,
)

DEPRECIATION_QUERY_RULES: tuple[Rule, ...] = (
    ambiguous_schedule,
    unknown_cell_category,
    invalid_written_out_schedule,
    ambiguous_age,
)


def quote_document_faults(document: QuoteDocument) -> Iterator[Fault]:
    """Yield the faults of a kept quote: those of the request that it makes."""
    for rule in QUOTE_RULES:
        yield from rule(_quoted(document))


def quote_document_faults_with_today(document: QuoteDocument, today: date) -> Iterator[Fault]:
    """Yield the faults of a kept quote that depend on today's date."""
    for rule in QUOTE_RULES_WITH_TODAY:
        yield from rule(_quoted(document), today)


def _quoted(document: QuoteDocument) -> QuoteRequest:
    return QuoteRequest(**{name: getattr(document, name) for name in document.__struct_fields__})


RULES: dict[type, tuple[Rule, ...]] = {
    Build: (*BUILD_RULES, missing_exchange_rates),
    Document: (valuation_faults, *DOCUMENT_RULES),
    EstimateRequest: (valuation_faults, *DOCUMENT_RULES),
    SettlementRequest: (valuation_faults, *DOCUMENT_RULES),
    GapRequest: (valuation_faults, *DOCUMENT_RULES),
    AttentionRequest: (valuation_faults, *DOCUMENT_RULES),
    ProtectionRequest: (nested_build_faults, *DOCUMENT_RULES),
    SerialNumberRequest: (nested_build_faults, *DOCUMENT_RULES),
    QuoteRequest: QUOTE_RULES,
    QuoteDocument: (quote_document_faults,),
    QuoteVarianceRequest: (*QUOTE_RULES, built_faults, different_built_currency),
    ProgressBillRequest: (*QUOTE_RULES, unclear_progress),
    ClassificationRequest: (
        lambda request: unknown_jurisdiction(request.jurisdiction),
        lambda request: fact_faults(request.facts, "/facts"),
        classified_document_faults,
        fields_beside_build,
    ),
    SalesComparisonRequest: (valuation_faults, *SALES_RULES),
    ValueCurveRequest: (valuation_faults, dates_not_ascending, too_many_dates),
    DocumentComparisonRequest: (two_document_faults,),
    EstimateComparisonRequest: (two_estimate_faults, different_currencies, incomplete_effect_order),
    PercentGoodQuery: DEPRECIATION_QUERY_RULES,
    DepreciatedValueQuery: (*DEPRECIATION_QUERY_RULES, unknown_cell_currency),
    IndexedPriceQuery: (unknown_cell_currency, unknown_cell_price_index),
}

RULES_WITH_TODAY: dict[type, tuple[RuleWithToday, ...]] = {
    QuoteRequest: QUOTE_RULES_WITH_TODAY,
    QuoteDocument: (quote_document_faults_with_today,),
    QuoteVarianceRequest: QUOTE_RULES_WITH_TODAY,
    ProgressBillRequest: QUOTE_RULES_WITH_TODAY,
    ClassificationRequest: (as_of_in_future,),
}
"""The rules that compare a date with today, where the caller states today's date."""

SENT_RULES: dict[type, tuple[RuleWithToday, ...]] = {
    Document: (answers_in_future,),
    EstimateRequest: (answers_in_future,),
    SettlementRequest: (answers_in_future,),
    GapRequest: (answers_in_future,),
    AttentionRequest: (answers_in_future,),
    ProtectionRequest: (answers_in_future,),
    SerialNumberRequest: (answers_in_future,),
    QuoteRequest: (answers_in_future,),
    QuoteDocument: (answers_in_future,),
    QuoteVarianceRequest: (answers_in_future,),
    ProgressBillRequest: (answers_in_future,),
    ClassificationRequest: (answers_in_future,),
    DocumentComparisonRequest: (two_answers_in_future,),
}
"""The rules of what is sent alone: what was kept where the day had begun is read where it has not."""

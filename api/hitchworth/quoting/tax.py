"""Tax on a quote: what is taxed, as the workshop states it or a rule of the place says; the rest is asked."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from math import lcm
from typing import NamedTuple, TypeAlias, get_args

from hitchworth.model.build import Build
from hitchworth.model.pricing import QuotePricing, TaxedKind, WorkKind
from hitchworth.model.quote import QuoteQuestion, QuoteQuestionCode, TaxAmount, TaxBasis
from hitchworth.money import Money
from hitchworth.quoting.entries import QuoteEntry
from hitchworth.quoting.markup import split_scaled
from hitchworth.reference.quote_rules import TaxRule, tax_rule

ZERO = Fraction(0)
KINDS: tuple[TaxedKind, ...] = get_args(TaxedKind)
WORK_KINDS: tuple[WorkKind, ...] = get_args(WorkKind)


class Treatment(NamedTuple):
    """Whether something is taxed, at which rate and why. taxed None: not known; rate None: not known or not taxed."""

    taxed: bool | None
    rate: Decimal | None
    basis: TaxBasis
    rule: TaxRule | None = None


Treatments: TypeAlias = Mapping[TaxedKind, Treatment]


class TaxedLine(NamedTuple):
    """What is taxed or not: a line after its discount, or the contingency, in whole minor units."""

    name: str
    entry: QuoteEntry | None
    base: int
    treatment: Treatment


class Taxes(NamedTuple):
    """The tax of each line in whole minor units, 0 where it is not known."""

    lines: tuple[TaxedLine, ...]
    amounts: list[int]
    open_at_most: int | None
    """What the tax that is still asked about comes to at most; None where the rate is not known."""


def treatments_of(build: Build, pricing: QuotePricing) -> Treatments:
    """Return how each kind is taxed: as stated; else by the rule of the place; else it is open."""
    tax = pricing.tax
    place = tax.place or build.jurisdiction
    stated = {each.kind: each for each in tax.treatments}
    found: dict[TaxedKind, Treatment] = {}
    for kind in KINDS:
        given, rule = stated.get(kind), tax_rule(place, kind)
        if given is not None:
            rate = tax.rate if given.rate is None else given.rate
            found[kind] = Treatment(given.taxed, rate if given.taxed else None, "stated")
        elif tax.rate == 0:
            found[kind] = Treatment(False, None, "no_tax")
        elif rule is not None:
            taxed = rule.taxed == "always" or not tax.labor_stated_apart
            found[kind] = Treatment(taxed, tax.rate if taxed else None, "rule", rule)
        else:
            found[kind] = Treatment(None, tax.rate, "open")
    return found


def taxed_line(entry: QuoteEntry, base: int, treatments: Treatments) -> TaxedLine:
    """Return a line with its treatment. Work of a kind that is not known is open if the kinds differ."""
    name = f"{entry.kind} {entry.id}"
    if entry.includes == "all":
        return TaxedLine(name, entry, base, Treatment(False, None, "included"))
    if entry.taxed_as is not None:
        return TaxedLine(name, entry, base, treatments[entry.taxed_as])
    of_work = [treatments[kind] for kind in WORK_KINDS]
    if len({(each.taxed, each.rate) for each in of_work}) == 1:
        shown = min(of_work, key=lambda each: each.basis != "rule")  # stated is only what is stated of every kind
        return TaxedLine(name, entry, base, shown._replace(rule=None))
    return TaxedLine(name, entry, base, Treatment(None, max_rate(of_work), "open"))


def max_rate(treatments: Sequence[Treatment]) -> Decimal | None:
    """Return the highest rate that may apply; None where one that may apply is not known."""
    rates = [each.rate for each in treatments if each.taxed is not False]
    known = [rate for rate in rates if rate is not None]
    return max(known, default=None) if len(known) == len(rates) else None


def taxes(lines: Sequence[TaxedLine], pricing: QuotePricing, money: Money) -> Taxes:
    """Compute the tax: on each line rounded, or on the total rounded once and split over the lines."""
    rates = [rate_of(line.treatment) for line in lines]
    scale = lcm(1, *(rate.denominator for rate in set(rates)))
    due = [line.base * rate.numerator * (scale // rate.denominator) for line, rate in zip(lines, rates, strict=True)]
    asked = [line for line in lines if line.base and is_open(line.treatment)]
    may_be_due = [line.base * Fraction(rate) for line in asked if (rate := line.treatment.rate) is not None]
    by_line = pricing.tax.basis == "line"
    return Taxes(
        tuple(lines),
        [money.divide(tax, scale) for tax in due]
        if by_line
        else split_scaled(due, scale, [line.name for line in lines], money),
        money.multiply(1, sum(may_be_due, ZERO)) if len(may_be_due) == len(asked) else None,
    )


def is_open(treatment: Treatment) -> bool:
    """Return whether it is not known if something is taxed, or at which rate."""
    return treatment.taxed is None or (treatment.taxed and treatment.rate is None)


def rate_of(treatment: Treatment) -> Fraction:
    """Return the rate at which something is taxed; 0 where it is not, or where that or the rate is not known."""
    return Fraction(treatment.rate) if treatment.taxed and treatment.rate is not None else ZERO


def tax_amounts(taxed: Taxes, money: Money) -> Iterator[TaxAmount]:
    """Yield the tax of each kind that the quote has, work of a kind that is not known last."""
    rows: dict[tuple[TaxedKind | None, Treatment], list[int]] = {}
    for line, amount in zip(taxed.lines, taxed.amounts, strict=True):
        if line.base:
            row = rows.setdefault((_kind(line), line.treatment), [0, 0])
            row[0] += line.base
            row[1] += amount
    places: dict[TaxedKind | None, int] = {kind: place for place, kind in enumerate((*KINDS, None))}
    for kind, treatment in sorted(rows, key=lambda row: places[row[0]]):
        base, amount = rows[kind, treatment]
        yield TaxAmount(
            kind=kind,
            taxed=treatment.taxed,
            basis=treatment.basis,
            base=money.from_minor_units(base),
            rate=treatment.rate,
            tax=money.from_minor_units(amount),
            source=treatment.rule.source if treatment.rule else "",
            provenance=treatment.rule.provenance if treatment.rule else None,
        )


def tax_questions(taxed: Taxes, money: Money) -> Iterator[QuoteQuestion]:
    """Yield what is to be asked about tax: the rate, then each kind, then the work whose kind is not known."""
    asked = [line for line in taxed.lines if line.base and is_open(line.treatment)]
    of_rate = [line for line in asked if line.treatment.rate is None]
    if of_rate:
        yield QuoteQuestion(
            code="tax_rate", about="", base=money.from_minor_units(sum(line.base for line in of_rate)), at_stake=None
        )
    for kind in KINDS:
        lines = [line for line in asked if _kind(line) == kind and line.treatment.taxed is None]
        if lines:
            yield _question("taxed_kind", kind, lines, money)
    for line in asked:
        if line.entry is not None and line.entry.taxed_as is None and line.treatment.taxed is None:
            yield _question("kind_of_work", line.entry.id, [line], money)


def _kind(line: TaxedLine) -> TaxedKind | None:
    return "contingency" if line.entry is None else line.entry.taxed_as


def _question(code: QuoteQuestionCode, about: str, lines: Sequence[TaxedLine], money: Money) -> QuoteQuestion:
    rate, base = lines[0].treatment.rate, sum(line.base for line in lines)
    return QuoteQuestion(
        code=code,
        about=about,
        base=money.from_minor_units(base),
        at_stake=None if rate is None else money.from_minor_units(money.multiply(base, Fraction(rate))),
    )

"""A comparison of two estimates: what was added, removed, repriced or has aged, and what each of these changes."""

from datetime import date
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.estimate import LineKind, Totals
from hitchworth.model.note import Note
from hitchworth.model.numbers import RoundedAmount

LineEffect: TypeAlias = Literal["quantity", "price", "indirect_costs", "schedule", "condition", "age"]
"""What changes the figures of a line that is in both estimates.

quantity: another quantity, or other hours
price: another price, rate, quote, index or exchange rate
indirect_costs: other overhead, profit or sales tax
schedule: another schedule of depreciation
condition: another observed condition
age: another age
"""

Effect: TypeAlias = Literal["added", "removed", "quantity", "price", "indirect_costs", "schedule", "condition", "age"]
"""What changes the figures.

added: the line is only in the second estimate
removed: the line is only in the first estimate
quantity: another quantity, or other hours
price: another price, rate, quote, index or exchange rate
indirect_costs: other overhead, profit or sales tax
schedule: another schedule of depreciation
condition: another observed condition
age: another age
"""

DEFAULT_EFFECTS: tuple[LineEffect, ...] = ("quantity", "price", "indirect_costs", "schedule", "condition", "age")
"""The cost first, at the old depreciation; then the depreciation, at the new cost."""


class EffectAmount(Struct, frozen=True, kw_only=True):
    """What one effect changes on one line."""

    effect: Annotated[Effect, Meta(description="What changes the figures.")]
    replacement_cost: Annotated[RoundedAmount, Meta(description="Change of replacement cost; negative: a decrease.")]
    actual_cash_value: Annotated[RoundedAmount, Meta(description="Change of actual cash value; negative: a decrease.")]
    label: Annotated[str, Meta(description="The effect in words, in the language of the request's locale.")] = ""


class LineChange(Struct, frozen=True, kw_only=True):
    """A line whose figures differ. Its effects add up to its differences."""

    id: Annotated[str, Meta(description="Id of the line; a line with the same id in both estimates is the same line.")]
    kind: Annotated[LineKind, Meta(description="What the line is.")]
    description: Annotated[str, Meta(description="What it is, as the later estimate that has it says.")]
    category: Annotated[str, Meta(description="Its category, as the later estimate that has it says.")]
    replacement_cost: Annotated[
        RoundedAmount, Meta(description="Replacement cost after less before; negative: a decrease.")
    ]
    actual_cash_value: Annotated[
        RoundedAmount, Meta(description="Actual cash value after less before; negative: a decrease.")
    ]
    effects: Annotated[tuple[EffectAmount, ...], Meta(description="What each effect changes, in the order requested.")]


class EffectTotal(Struct, frozen=True, kw_only=True):
    """What one effect changes over all lines."""

    effect: Annotated[Effect, Meta(description="What changes the figures.")]
    lines: Annotated[int, Meta(description="Number of lines that it changes.")]
    replacement_cost: Annotated[RoundedAmount, Meta(description="Change of replacement cost; negative: a decrease.")]
    actual_cash_value: Annotated[RoundedAmount, Meta(description="Change of actual cash value; negative: a decrease.")]
    label: Annotated[str, Meta(description="The effect in words, in the language of the request's locale.")] = ""


class ComparedEstimate(Struct, frozen=True, kw_only=True):
    """One of the two estimates, in short."""

    name: Annotated[str, Meta(description="Name of the build.")]
    as_of: Annotated[date, Meta(description="Valuation date.")]
    totals: Annotated[Totals, Meta(description="The lines added up.")]


class EstimateComparison(Struct, frozen=True, kw_only=True):
    """The differences of two estimates, after less before, by effect and by line. Both add up exactly."""

    currency: Annotated[str, Meta(description="Currency of both builds, ISO 4217; every amount is in it.")]
    before: Annotated[ComparedEstimate, Meta(description="The first estimate.")]
    after: Annotated[ComparedEstimate, Meta(description="The second estimate.")]
    replacement_cost: Annotated[
        RoundedAmount, Meta(description="Replacement cost after less before; negative: a decrease.")
    ]
    actual_cash_value: Annotated[
        RoundedAmount, Meta(description="Actual cash value after less before; negative: a decrease.")
    ]
    order: Annotated[
        tuple[LineEffect, ...],
        Meta(description="The order of the effects; each is computed on what those before it have left."),
    ]
    effects: Annotated[
        tuple[EffectTotal, ...],
        Meta(description="The differences by effect; effects that change nothing are left out."),
    ]
    lines: Annotated[tuple[LineChange, ...], Meta(description="The differences by line, for the lines that differ.")]
    unchanged: Annotated[int, Meta(description="Number of lines in both estimates whose figures are the same.")]
    notes: Annotated[tuple[Note, ...], Meta(description="What was assumed or could not be applied.")]
    statement: Annotated[str, Meta(description="The differences in a sentence.")] = ""

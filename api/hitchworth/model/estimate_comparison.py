"""A comparison of two estimates: what was added, removed, repriced, has aged, and what each of these moved."""

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.estimate import LineKind, Totals
from hitchworth.model.note import Note

LineEffect: TypeAlias = Literal["quantity", "price", "indirect_costs", "schedule", "condition", "age"]
Effect: TypeAlias = Literal["added", "removed", "quantity", "price", "indirect_costs", "schedule", "condition", "age"]

DEFAULT_EFFECTS: tuple[LineEffect, ...] = ("quantity", "price", "indirect_costs", "schedule", "condition", "age")
"""What it costs first, at the old wear; then the wear, at the new cost."""


class EffectAmount(Struct, frozen=True, kw_only=True):
    """What one effect moved."""

    effect: Effect
    replacement_cost: Decimal
    actual_cash_value: Decimal
    label: str = ""


class LineChange(Struct, frozen=True, kw_only=True):
    """A line whose figures differ. Its moves add up to its differences."""

    id: str
    kind: LineKind
    description: str
    category: str
    replacement_cost: Annotated[Decimal, Meta(description="After less before.")]
    actual_cash_value: Annotated[Decimal, Meta(description="After less before.")]
    effects: tuple[EffectAmount, ...]


class EffectTotal(Struct, frozen=True, kw_only=True):
    """What one effect moved over all lines."""

    effect: Effect
    lines: Annotated[int, Meta(description="How many lines it moved.")]
    replacement_cost: Decimal
    actual_cash_value: Decimal
    label: str = ""


class ComparedEstimate(Struct, frozen=True, kw_only=True):
    """One of the two estimates, in short."""

    name: str
    as_of: date
    totals: Totals


class EstimateComparison(Struct, frozen=True, kw_only=True):
    """The differences of two estimates, after less before, by effect and by line. Both add up exactly."""

    currency: str
    before: ComparedEstimate
    after: ComparedEstimate
    replacement_cost: Decimal
    actual_cash_value: Decimal
    order: Annotated[
        tuple[LineEffect, ...],
        Meta(description="Each effect is what the line moves when it follows on those before it in this order."),
    ]
    effects: tuple[EffectTotal, ...]
    lines: tuple[LineChange, ...]
    unchanged: Annotated[int, Meta(description="Lines in both estimates whose figures are the same.")]
    notes: tuple[Note, ...]
    statement: str = ""

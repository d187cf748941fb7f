"""The categories of a request in one spelling, so that Fridge, road-lights and "Road Lights" find what they mean.

A category with the words of a listed one becomes that one. One of the caller's own keeps the spelling that comes first.
"""

from collections.abc import Mapping
from typing import Any, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.model.build import Build, Obsolescence
from hitchworth.model.document import Document
from hitchworth.model.entry import Component, Labor
from hitchworth.model.loss import Damage, Loss
from hitchworth.model.policy import Policy, Sublimit
from hitchworth.model.pricing import QuoteAllowance, QuotePricing, ShopRate, WasteAllowance
from hitchworth.model.request import (
    DocumentComparisonRequest,
    EstimateComparisonRequest,
    QuoteRequest,
    QuoteVarianceRequest,
)
from hitchworth.reference.category_groups import known_categories, listed_category
from hitchworth.reference.words import words_of

HasCategory = TypeVar(
    "HasCategory", Component, Labor, Obsolescence, Sublimit, Damage, WasteAllowance, ShopRate, QuoteAllowance
)
Record = TypeVar("Record", bound=Struct)


def with_one_spelling(value: Any) -> Any:
    """Return a build or a request with its categories in one spelling; any other value as it is."""
    return _Spelling().of(value)


class _Spelling:
    """The spelling of each category of one request."""

    def __init__(self) -> None:
        self._own: dict[frozenset[str], str] = {}
        self._schedules: set[str] = set()
        """The build's own schedules: a category of their name chooses them, so it stays as it is."""

    def of(self, value: Any) -> Any:
        """Return the value with its categories in one spelling."""
        match value:
            case Build():
                self._schedules.update(value.schedules)
                entries = {"components": self._all(value.components), "labor": self._all(value.labor)}
                return _changed(value, **entries, obsolescence=self._all(value.obsolescence))
            case Document():
                build = self.of(value.build)  # first: its spelling counts
                policies, losses = tuple(map(self._policy, value.policies)), tuple(map(self._loss, value.losses))
                return _changed(value, build=build, policies=policies, losses=losses, **self._of_quote(value))
            case DocumentComparisonRequest():
                return _changed(value, before=self.of(value.before), after=self.of(value.after))
            case EstimateComparisonRequest():
                before, after = (_changed(side, build=self.of(side.build)) for side in (value.before, value.after))
                return _changed(value, before=before, after=after)
            case _ if isinstance(getattr(value, "build", None), Build):
                return _changed(value, build=self.of(value.build))
        return value

    def _of_quote(self, document: Document) -> dict[str, object]:
        """What a quote has beside its document."""
        if not isinstance(document, QuoteRequest):
            return {}
        orders = tuple(
            _changed(order, components=self._all(order.components), labor=self._all(order.labor))
            for order in document.changes
        )
        built = {"built": self.of(document.built)} if isinstance(document, QuoteVarianceRequest) else {}
        return {"pricing": self._pricing(document.pricing), "changes": orders, **built}

    def _pricing(self, pricing: QuotePricing) -> QuotePricing:
        return _changed(
            pricing,
            waste=self._all(pricing.waste),
            shop_rates=self._all(pricing.shop_rates),
            allowances=self._all(pricing.allowances),
        )

    def _policy(self, policy: Policy) -> Policy:
        limits, betterment = policy.sublimits, policy.betterment_categories
        return _changed(
            policy,
            sublimits=limits and self._all(limits),
            betterment_categories=betterment and tuple(map(self._category, betterment)),
        )

    def _loss(self, loss: Loss) -> Loss:
        return _changed(loss, damage=self._all(loss.damage))

    def _all(self, entries: tuple[HasCategory, ...]) -> tuple[HasCategory, ...]:
        """Return the entries, or the same tuple where no category changes: almost always."""
        if all(entry.category is None or self._category(entry.category) == entry.category for entry in entries):
            return entries
        return tuple(
            entry if entry.category is None else _changed(entry, category=self._category(entry.category))
            for entry in entries
        )

    def _category(self, name: str) -> str:
        if name in known_categories() or name in self._schedules:
            return name
        listed = listed_category(name)
        return self._own.setdefault(frozenset(words_of(name)) or frozenset({name}), name) if listed is None else listed


def _changed(record: Record, **fields: object) -> Record:
    """Return the record with the fields; the record itself where they are the same."""
    changes: Mapping[str, Any] = {name: field for name, field in fields.items() if field is not getattr(record, name)}
    return replace(record, **changes) if changes else record

"""What a place taxes on the sale of work on a trailer, and yardsticks for the deposit of a quote."""

from decimal import Decimal
from functools import cache
from typing import Literal

from msgspec import Struct

from hitchworth.model.pricing import TaxedKind
from hitchworth.model.provenance import Provenance
from hitchworth.reference.load import read


class TaxRule(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Whether a place taxes one kind."""

    place: str
    kind: TaxedKind
    taxed: Literal["always", "unless_stated_apart"]
    source: str
    provenance: Provenance


class DepositYardstick(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The largest deposit that a place allows for work on homes: the lesser of an amount and a share."""

    place: str
    currency: str
    amount: Decimal
    share: Decimal
    source: str
    provenance: Provenance


class QuoteRules(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The rules of all places."""

    taxes: tuple[TaxRule, ...]
    deposits: tuple[DepositYardstick, ...]


@cache
def quote_rules() -> QuoteRules:
    """Return the rules of all places."""
    return read("quote_rules.yaml", QuoteRules)


def tax_rule(place: str | None, kind: TaxedKind) -> TaxRule | None:
    """Return what a place says about a kind; None where nothing was read. Sales tax is a state's: no wider rule."""
    return next((rule for rule in quote_rules().taxes if (rule.place, rule.kind) == (place, kind)), None)


def deposit_yardstick(place: str | None, currency: str) -> DepositYardstick | None:
    """Return the yardstick of a place for deposits in a currency; None where there is none."""
    rules = quote_rules().deposits
    return next((rule for rule in rules if (rule.place, rule.currency) == (place, currency)), None)

"""What a price or a rate includes of overhead, profit and sales tax where its entry does not say."""

from functools import cache
from typing import Literal

from msgspec import Struct

from hitchworth.model.build import PriceContent
from hitchworth.reference.load import read


class DefaultContent(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What one kind of price or rate includes, with the source."""

    includes: PriceContent
    provenance: Literal["published", "common_practice"]
    source: str = ""
    categories: frozenset[str] = frozenset()
    """The categories whose price is of this kind; empty for a kind that does not go by category."""


class PriceContents(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The kinds of prices and rates."""

    market_rate: DefaultContent
    hired: DefaultContent
    own_work: DefaultContent
    material: DefaultContent
    bought_base: DefaultContent


@cache
def price_contents() -> PriceContents:
    """Return what each kind of price or rate includes."""
    return read("price_contents.yaml", PriceContents)

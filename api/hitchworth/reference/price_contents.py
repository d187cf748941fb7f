"""What a price or a rate includes of overhead, profit and sales tax where its entry does not say."""

from functools import cache
from typing import Literal

from msgspec import Struct

from hitchworth.model.build import Base
from hitchworth.model.entry import PriceContent
from hitchworth.reference.load import read
from hitchworth.reference.words import Phrases, words_of


class DefaultContent(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What one kind of price or rate includes, with the source."""

    includes: PriceContent
    provenance: Literal["published", "common_practice"]
    source: str = ""
    categories: frozenset[str] = frozenset()
    """The categories whose price is of this kind; empty for a kind that does not go by category."""


class OwnFrame(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a frame of one's own is told from a trailer that was bought."""

    categories: frozenset[str]
    """What is material where the frame is one's own."""
    words: Phrases
    """The words of the kind of base that say so."""


class PriceContents(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The kinds of prices and rates."""

    market_rate: DefaultContent
    hired: DefaultContent
    own_work: DefaultContent
    material: DefaultContent
    bought_base: DefaultContent
    own_frame: OwnFrame


@cache
def price_contents() -> PriceContents:
    """Return what each kind of price or rate includes."""
    return read("price_contents.yaml", PriceContents)


def bought_base_categories(base: Base | None) -> frozenset[str]:
    """Return the categories that are a trailer bought as the base; the steel of a frame of one's own is none."""
    contents = price_contents()
    kind = frozenset(words_of(base.kind if base else ""))
    is_own_frame = contents.own_frame.words.phrase_in(kind) is not None
    return contents.bought_base.categories - (contents.own_frame.categories if is_own_frame else frozenset())

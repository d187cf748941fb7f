"""The document of a quote: that of a build, with how a workshop prices it and what was changed after the quote."""

from typing import Annotated

from msgspec import Meta

from hitchworth.model.change_order import ChangeOrder
from hitchworth.model.document import Document
from hitchworth.model.pricing import QuotePricing


class QuoteDocument(Document, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A quote as a workshop keeps it: the build to quote, its pricing, and the change orders after it."""

    pricing: Annotated[QuotePricing, Meta(description="How the workshop prices the build.")]
    changes: Annotated[
        tuple[ChangeOrder, ...],
        Meta(
            max_length=100, description="Change orders after the quote, in order. They do not change the quote itself."
        ),
    ] = ()

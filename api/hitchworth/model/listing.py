"""A list as the API answers it: whole, or in pages."""

from typing import Annotated, Generic, TypeVar

from msgspec import Meta, Struct

T = TypeVar("T")

NextPage = Annotated[
    str | None, Meta(description="Address of the next page, also in the header Link. Null: this is the last.")
]


class Items(Struct, Generic[T], frozen=True, kw_only=True):
    """Everything of a kind."""

    items: Annotated[tuple[T, ...], Meta(description="The whole list; there are no pages.")]

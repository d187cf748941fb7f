"""A list, as the API answers it."""

from typing import Annotated, Generic, TypeVar

from msgspec import Meta, Struct

T = TypeVar("T")


class Items(Struct, Generic[T], frozen=True, kw_only=True):
    """Everything of a kind."""

    items: Annotated[tuple[T, ...], Meta(description="The whole list; there are no pages.")]

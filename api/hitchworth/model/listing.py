"""A list, as the API answers it."""

from typing import Generic, TypeVar

from msgspec import Struct

T = TypeVar("T")


class Items(Struct, Generic[T], frozen=True, kw_only=True):
    """Everything of a kind."""

    items: tuple[T, ...]

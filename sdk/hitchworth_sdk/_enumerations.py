"""Enumerations that are open: a newer server may answer a value that this client does not know yet."""

from typing import TYPE_CHECKING, Annotated, Any, TypeAlias, TypeVar, get_args

T = TypeVar("T")

if TYPE_CHECKING:
    Open: TypeAlias = Annotated[T, "open"]
else:

    class Open:
        """The type of a field whose values are listed: a type checker knows the list, any text is read."""

        def __class_getitem__(cls, enumeration: Any) -> type:
            (kind,) = {type(value) for value in get_args(enumeration)}
            return kind

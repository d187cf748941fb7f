"""The workshop of the settings: who quotes, where a quote does not say it itself."""

from collections.abc import Iterator
from pathlib import Path
from typing import TypeVar

from msgspec.structs import fields, replace

from hitchworth.model.fault import Fault
from hitchworth.model.pricing import Workshop
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.operations.requests import photo_faults
from hitchworth.operations.settings import Settings, variable
from hitchworth.validation import InvalidInputError

Quoted = TypeVar("Quoted", bound=QuoteDocument)

SETTINGS = tuple(f"workshop_{field.name}" for field in fields(Workshop))
"""The names of its settings: a setting for each of its fields."""


def workshop_of(settings: Settings) -> Workshop | None:
    """Return the workshop of the settings, with its logo read from its file; None where they have none.

    Raises InvalidInputError when it has no name, or its logo cannot be read or printed; the variable is the pointer.
    """
    given = {field.name: getattr(settings, f"workshop_{field.name}") for field in fields(Workshop)}
    told = {name: value for name, value in given.items() if value is not None}
    if not told:
        return None
    faults = []
    if "name" not in told:
        because = ", ".join(variable(f"workshop_{name}") for name in told)
        fault = Fault(
            pointer=variable("workshop_name"),
            detail="The workshop has no name",
            expected=f"its name, because of {because}",
            found="nothing",
        )
        faults.append(fault)
    if "logo" in told:
        faults.extend(_read_logo(told))
    if faults:
        raise InvalidInputError(faults)
    return Workshop(**told)


def with_workshop(request: Quoted, workshop: Workshop | None) -> Quoted:
    """Return a quote with this workshop, unless it names one of its own."""
    if workshop is None or request.pricing.workshop is not None:
        return request
    return replace(request, pricing=replace(request.pricing, workshop=workshop))


def _read_logo(told: dict[str, str | bytes]) -> Iterator[Fault]:
    """Put the logo in the place of the name of its file."""
    name, pointer = str(told["logo"]), variable("workshop_logo")
    try:
        told["logo"] = logo = Path(name).read_bytes()
    except OSError as error:
        detail = f"The logo cannot be read: {error.strerror}"
        yield Fault(pointer=pointer, detail=detail, expected="the path of a picture", found=name)
    else:
        yield from photo_faults(logo, pointer, "logo")

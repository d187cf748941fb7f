"""Decode a vehicle identification number: check digit, region, model year.

49 CFR part 565 binds manufacturers in North America; elsewhere ISO 3779 leaves the ninth and tenth positions free. A
number that an authority assigned to a home-built trailer has its own format, so this module only warns.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from msgspec.structs import replace

from hitchworth.model.entry import Component
from hitchworth.model.note import Note
from hitchworth.model.timeline import is_installed_on
from hitchworth.model.vin import CheckDigit, VinCheck
from hitchworth.reference.schedules import base_categories
from hitchworth.reference.vin import vin_format

LENGTH = 17
CYCLE_YEARS = 30


def decode_vin(number: str, chain: Sequence[str], as_of: date) -> VinCheck:
    """Return what the number says, for a trailer registered in a jurisdiction of this chain."""
    normalized = "".join(number.split()).upper()
    standard = len(normalized) == LENGTH and set(normalized) <= _alphabet()
    check = _check_digit(normalized, chain) if standard else None
    return VinCheck(
        number=normalized,
        shape="standard" if standard else "other",
        check_digit=check,
        region=_region(normalized) if standard else "",
        model_years=_model_years(normalized[9], as_of) if standard else (),
        small_manufacturer=standard and normalized[2] == "9",
        notes=tuple(_notes(normalized, check, standard=standard)),
    )


def suggest_vin(components: Iterable[Component], chain: Sequence[str], as_of: date) -> VinCheck | None:
    """Return the first serial number of the base that has the shape of a VIN, as a suggestion to confirm; else None.

    The base is the parts that a plain trailer comes with. Where a check digit is required, it has to hold.
    """
    for part in components:
        if part.serial_number and part.category in base_categories() and is_installed_on(part, as_of):
            found = decode_vin(part.serial_number, chain, as_of)
            if found.check_digit and (found.check_digit.holds or not found.check_digit.required):
                note = Note(code="vin_suggested", about=part.description, parameters={"number": found.number})
                return replace(found, suggested_from=part.id, notes=(note, *found.notes))
    return None


def check_digit(number: str) -> str:
    """Compute the ninth character from the other sixteen (49 CFR 565.15). Raises KeyError for I, O, Q."""
    table = vin_format()
    values = (int(c) if c.isdigit() else table.letter_values[c] for c in number)
    remainder = sum(weight * value for weight, value in zip(table.weights, values, strict=True)) % 11
    return "X" if remainder == 10 else str(remainder)


def _alphabet() -> set[str]:
    return {*vin_format().letter_values, *"0123456789"}


def _check_digit(number: str, chain: Sequence[str]) -> CheckDigit:
    computed = check_digit(number)
    required = not set(chain).isdisjoint(vin_format().check_digit_required_in)
    return CheckDigit(found=number[8], computed=computed, holds=number[8] == computed, required=required)


def _region(number: str) -> str:
    matching = [region for region in vin_format().regions if number.startswith(region.prefix)]
    return max(matching, key=lambda region: len(region.prefix)).name if matching else ""


def _model_years(code: str, as_of: date) -> tuple[int, ...]:
    """Return the years that the code may mean, up to the year after `as_of`."""
    table = vin_format().model_years
    if code not in table.codes:
        return ()
    return tuple(range(table.first + table.codes.index(code), as_of.year + 2, CYCLE_YEARS))


def _notes(number: str, check: CheckDigit | None, *, standard: bool) -> Iterator[Note]:
    if len(number) != LENGTH:
        yield Note(code="vin_length", about="vin", parameters={"found": str(len(number)), "expected": str(LENGTH)})
    elif not standard:
        yield Note(code="vin_alphabet", about="vin", parameters={"found": "".join(sorted(set(number) - _alphabet()))})
    if not standard:
        yield Note(code="vin_home_built", about="vin")
    if check and not check.holds:
        code = "vin_check_digit" if check.required else "vin_check_digit_hint"
        yield Note(code=code, about="vin", parameters={"found": check.found, "computed": check.computed})
    if check and not check.required:
        yield Note(code="vin_year_hint", about="vin")
    yield Note(code="vin_tells_not", about="vin")

"""The format of the vehicle identification number: check digit, alphabet, model years, regions."""

from functools import cache

from msgspec import Struct

from hitchworth.reference.load import read


class ModelYears(Struct, frozen=True, forbid_unknown_fields=True):
    """The codes of the tenth position, one for each year from `first` on."""

    first: int
    codes: str


class Region(Struct, frozen=True, forbid_unknown_fields=True):
    """The prefix of the numbers that a country or a continent assigns."""

    prefix: str
    name: str


class VinFormat(Struct, frozen=True, forbid_unknown_fields=True):
    """The published rules for the number."""

    weights: tuple[int, ...]
    letter_values: dict[str, int]
    model_years: ModelYears
    check_digit_required_in: tuple[str, ...]
    regions: tuple[Region, ...]


@cache
def vin_format() -> VinFormat:
    """Return the format of 49 CFR 565 and ISO 3779."""
    return read("vin.yaml", VinFormat)

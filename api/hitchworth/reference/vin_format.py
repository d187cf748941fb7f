"""The form of the vehicle identification number: check digit, alphabet, model years, regions."""

from functools import cache

from msgspec import Struct

from hitchworth.reference.load import read


class ModelYears(Struct, frozen=True, forbid_unknown_fields=True):
    """The codes of the tenth place, one a year from the first on."""

    first: int
    codes: str


class Region(Struct, frozen=True, forbid_unknown_fields=True):
    """The beginning of the numbers that a country or a continent gives out."""

    prefix: str
    name: str


class VinFormat(Struct, frozen=True, forbid_unknown_fields=True):
    """All that is published on how a number is made."""

    weights: tuple[int, ...]
    letters: dict[str, int]
    model_years: ModelYears
    required_in: tuple[str, ...]
    regions: tuple[Region, ...]


@cache
def vin_format() -> VinFormat:
    """The form of 49 CFR 565 and ISO 3779."""
    return read("vin.yaml", VinFormat)

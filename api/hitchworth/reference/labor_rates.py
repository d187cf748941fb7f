"""What an employee's hour costs beyond the wage, and what shops ask for an hour."""

from decimal import Decimal
from functools import cache
from typing import Annotated, Literal

from msgspec import Meta, Struct

from hitchworth.model.provenance import Provenance
from hitchworth.reference.load import read


class EmployerCosts(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What employers of one group pay for an hour, as printed: wages and benefits make the total, but for rounding."""

    name: str
    title: str
    wages: Decimal
    benefits: Decimal
    total: Decimal
    loads: bool = False
    """The group whose ratio loads the wages."""


class EmployerCostTable(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One release of the statistics."""

    release: str
    source: str
    jurisdiction: str
    groups: tuple[EmployerCosts, ...]

    @property
    def loading(self) -> EmployerCosts:
        """The group whose ratio loads the wages."""
        return next(group for group in self.groups if group.loads)


class Overhead(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Overhead by one convention: a rate on a base. Compensation is the wage with the benefits."""

    name: str
    rate: Decimal
    base: Literal["wage", "compensation"]
    source: str
    vintage: str


class PostedRate(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What shops ask, or insurers pay, for an hour of a trade."""

    trade: Annotated[str, Meta(description="Name of the trade.")]
    text: Annotated[str, Meta(description="Whose rates they are, and what they include.")]
    low: Annotated[Decimal, Meta(description="The lowest of them, in the record's currency.")]
    high: Annotated[Decimal, Meta(description="The highest of them, in the record's currency.")]
    vintage: Annotated[str, Meta(description="When they were read.")]
    source: Annotated[str, Meta(description="Where they were read.")]
    provenance: Annotated[Provenance, Meta(description="Where the figures come from.")]


class LaborRates(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What leads from a wage to a rate. The first overhead is the usual one."""

    employer_costs: EmployerCostTable
    overheads: tuple[Overhead, ...]
    posted: tuple[PostedRate, ...]
    advice: str


@cache
def labor_rates() -> LaborRates:
    """Return employer costs, overheads, posted rates, and the advice that goes with them."""
    return read("labor_rates.yaml", LaborRates)

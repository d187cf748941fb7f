"""The indirect costs of building the trailer again: overhead, profit, freight and sales tax."""

from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.numbers import Amount, Rate

SalesTaxBasis: TypeAlias = Literal["line", "total"]
"""Whether sales tax is computed line by line or on the total.

line: on each line, and each is rounded
total: on the taxable total, rounded once and split over the lines
"""

ProfitBasis: TypeAlias = Literal["markup", "margin"]
"""What profit_rate is a share of.

markup: of the cost; profit = cost x rate
margin: of the price; profit = cost x rate / (1 - rate)
"""


class IndirectCosts(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What building the trailer again costs on top of the direct cost of components and labor."""

    overhead_rate: Annotated[
        Rate,
        Meta(
            description="Overhead, on the cost before sales tax of the lines whose price or rate does not include it."
        ),
    ] = Decimal(0)
    profit_rate: Annotated[
        Rate,
        Meta(
            description="Profit, as profit_basis says, on the cost before sales tax of the lines whose price or rate "
            "does not include it."
        ),
    ] = Decimal(0)
    compounded: Annotated[
        bool,
        Meta(
            description="Profit is on overhead too: 10 percent and 10 percent on 10,000 make 12,100. False: on direct "
            "cost only, 12,000."
        ),
    ] = False
    profit_basis: Annotated[ProfitBasis, Meta(description="What profit_rate is a share of.")] = "markup"
    freight_lump_sum: Annotated[
        Amount,
        Meta(
            description="Freight for all components together, in the build's currency, split over them by what was "
            "paid for each."
        ),
    ] = Decimal(0)
    sales_tax_rate: Annotated[
        Rate,
        Meta(
            description="Sales tax on components without a tax of their own, and on current quotes, freight included."
        ),
    ] = Decimal(0)
    sales_tax_basis: Annotated[
        SalesTaxBasis, Meta(description="Whether sales tax is computed line by line or on the total.")
    ] = "line"
    tax_labor: Annotated[
        bool | None,
        Meta(
            description="Whether sales tax is on labor too, and so is that of a total loss. Null: not stated; none is "
            "added, and a note says so."
        ),
    ] = None

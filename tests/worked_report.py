"""A small build with two policies and two losses, whose every figure is worked by hand.

Valued on January 1, 2026, ages in complete years, straight line without a residual, overhead 10 %, no profit, no tax.

            paid    years  life  percent good   overhead   replacement   depreciation   actual cash value
Stove       1,000   4      10    60 %           100        1,100         440            660
Oven          500   2      10    80 %            50          550         110            440
Tires         320   4       8    50 %            32          352         176            176
            1,820                               182        2,002         726            1,276

The tires are 2 x 150 with 20 of freight. Stove and oven are of the category appliances: 1,650 new, 550 off, 1,100 left.

Basic: actual cash value, deductible 100, premium 50. Fire: 1,276 - 100 = 1,176 (58.7 % of 2,002), gap 826.
Hail (the tires): 176 - 100 = 76 (21.6 % of 352), gap 276.

Better: replacement cost with holdback, deductible 200, for hail 2 % of the value and at least 50, limit 1,500,
premium 130. Fire: 2,002 - 200 = 1,802, capped at 1,500 (74.9 %), gap 502; of it at once 1,276 - 200 = 1,076, later 424.
Hail: 2 % of 2,002 is 40.04, so 50: 352 - 50 = 302 (85.8 %), gap 50; at once 176 - 50 = 126, later 176.

Better costs 80 more a year. Fire: 80 / (1,500 - 1,176) = 0.2469, once in 4.1 years; hail: 80 / (302 - 76) = 0.3540,
once in 2.8 years.
"""

from datetime import date
from decimal import Decimal
from functools import cache

from hitchworth.model.build import Build
from hitchworth.model.entry import Component
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.loss import Damage, Loss
from hitchworth.model.options import Options
from hitchworth.model.policy import PerilDeductible
from hitchworth.model.request import GapRequest
from hitchworth.model.schedule import Schedule
from hitchworth.operations.reports import create_report
from hitchworth.reports.catalog import ReportName
from hitchworth.reports.content import Content
from valued_builds import known_policy

AS_OF = date(2026, 1, 1)


def component(name: str, category: str, unit_cost: int, year: int, life_years: int, **more: Decimal) -> Component:
    return Component(
        id=name.lower(),
        description=name,
        category=category,
        quantity=more.get("quantity", Decimal(1)),
        unit_cost=Decimal(unit_cost),
        freight=more.get("freight", Decimal(0)),
        acquired_on=date(year, 1, 1),
        schedule=Schedule(method="straight_line", life_years=Decimal(life_years), residual=Decimal(0)),
    )


BUILD = Build(
    name="Worked example",
    currency="USD",
    components=(
        component("Stove", "appliances", 1000, 2022, 10),
        component("Oven", "appliances", 500, 2024, 10),
        component("Tires", "tires", 150, 2022, 8, quantity=Decimal(2), freight=Decimal(20)),
    ),
    indirect_costs=IndirectCosts(overhead_rate=Decimal("0.1")),
)
POLICIES = (
    known_policy("basic", deductible=Decimal(100), annual_premium=Decimal(50)),
    known_policy(
        "better",
        basis="replacement_cost",
        deductible=Decimal(200),
        limit=Decimal(1500),
        peril_deductibles=(PerilDeductible(peril="hail", rate=Decimal("0.02"), minimum=Decimal(50)),),
        annual_premium=Decimal(130),
    ),
)
LOSSES = (
    Loss(name="burned", peril="fire", extent="total", occurred_on=AS_OF),
    Loss(
        name="hailed",
        peril="hail",
        extent="partial",
        occurred_on=AS_OF,
        damage=(Damage(id="tires", fraction=Decimal(1)),),
    ),
)


@cache
def worked_report(report: ReportName) -> Content:
    """Return a report on the example."""
    options = Options(day_count="complete_years")
    return create_report(
        GapRequest(build=BUILD, policies=POLICIES, losses=LOSSES, options=options, as_of=AS_OF), report
    )

"""A workshop's quoting in plain Python: a parts list and hours in, a quote for the customer out.

python workshop_quoting.py OUT_FOLDER        (the server's address is in HITCHWORTH_URL)
"""

import sys
from datetime import date
from decimal import Decimal
from pathlib import Path

from hitchworth_sdk import (
    Alternative,
    Build,
    Client,
    Component,
    Contingency,
    Labor,
    Markup,
    OptionGroup,
    Payment,
    QuotePricing,
    QuoteRequest,
    QuoteTax,
    ShopRate,
    TaxTreatment,
    WasteAllowance,
    Workshop,
)

DAY, D = date(2026, 6, 1), Decimal
PARTS = [("chassis", "chassis", "1", "2450"), ("plywood", "body", "11", "74.50"), ("panel", "solar", "2", "189")]
HOURS = [("body-work", "Build the body", "62"), ("solar-work", "Mount the panels", "9")]

parts = tuple(
    Component(id=part, description=part, category=category, quantity=D(count), unit_cost=D(cost), acquired_on=DAY)
    for part, category, count, cost in PARTS
)
labor = tuple(Labor(id=work, task=task, hours=D(hours), rate=D(0), performed_on=DAY) for work, task, hours in HOURS)
heater = OptionGroup(name="Heater", alternatives=(Alternative(name="Diesel", price=D(1250)),))
pricing = QuotePricing(
    number="2026-014",
    valid_until=date(2026, 6, 30),
    workshop=Workshop(name="Example Trailer Works"),
    waste=(WasteAllowance(category="body", rate=D("0.10"), whole_units=True),),
    shop_rates=(ShopRate(rate=D(82), cost=D(49)),),
    markup=Markup(overhead_rate=D("0.10"), profit_rate=D("0.15"), profit_basis="margin"),
    contingency=Contingency(rate=D("0.05"), unused_returned=True),
    tax=QuoteTax(rate=D("0.06"), treatments=(TaxTreatment(kind="contingency", taxed=False),)),
    option_groups=(heater,),
    payments=(Payment(milestone="Acceptance", share=D("0.3")), Payment(milestone="Handover")),
)
request = QuoteRequest(
    build=Build(name="Camper", currency="USD", components=parts, labor=labor), pricing=pricing, as_of=DAY
)
with Client() as client:
    quote = client.create_quote(request)
    Path(sys.argv[1], "quote.pdf").write_bytes(client.create_quote_report("customer-quote", request, "application/pdf"))
print(quote.statement, *(question.text for question in quote.questions), sep="\n")

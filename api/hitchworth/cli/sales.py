"""`hitchworth comparison`: the value by sales beside the value by cost."""

from argparse import Namespace

from hitchworth.cli.output import show
from hitchworth.cli.request_file import chosen_request
from hitchworth.cli.valuation_tables import sales_comparison_report
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.request import SalesComparisonRequest
from hitchworth.web.sales_comparisons import create_sales_comparison


def run(chosen: Namespace) -> None:
    """Adjust and weigh the sales; as CSV, a row a sale."""
    request = chosen_request(chosen, SalesComparisonRequest)
    found = create_sales_comparison(request)
    show(
        chosen.format,
        found,
        sales_comparison_report(found, localizer_for(request.locale, found.currency)),
        found.sales_comparison.comparables,
    )

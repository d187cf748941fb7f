"""`hitchworth opinion`: the value by sales beside the value by cost."""

from argparse import Namespace

from hitchworth.cli.showing import show
from hitchworth.cli.source import chosen_request
from hitchworth.cli.valuation_tables import opinion_report
from hitchworth.model.request import SecondOpinionRequest
from hitchworth.web.second_opinions import create_second_opinion
from hitchworth.wording.voice import voice_of


def run(chosen: Namespace) -> None:
    """Adjust and weigh the sales; as CSV, a row a sale."""
    request = chosen_request(chosen, SecondOpinionRequest)
    found = create_second_opinion(request)
    show(
        chosen.format,
        found,
        opinion_report(found, voice_of(request.locale, found.currency)),
        found.sales_comparison.comparables,
    )

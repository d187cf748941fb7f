"""`hitchworth gap`: the whole job, from the value to the questions."""

from argparse import Namespace

from hitchworth.cli.output import show
from hitchworth.cli.request_file import chosen_request
from hitchworth.cli.tables import gap_report
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.request import GapRequest
from hitchworth.web.gap_statements import create_gap_statement


def run(chosen: Namespace) -> None:
    """Make the gap statement and show it; as CSV, what each policy pays for each loss."""
    found = create_gap_statement(chosen_request(chosen, GapRequest))
    show(
        chosen.format, found, gap_report(found, localizer_for(found.locale, found.estimate.currency)), found.settlements
    )

"""`hitchworth estimate`: every line of a build valued on a date."""

from argparse import Namespace

from rich.console import Group

from hitchworth.cli.output import show
from hitchworth.cli.request_file import chosen_request
from hitchworth.cli.tables import line_table, total_table, value_table
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.request import EstimateRequest
from hitchworth.web.estimates import create_estimate


def run(chosen: Namespace) -> None:
    """Value the build and show its lines and its categories."""
    request = chosen_request(chosen, EstimateRequest)
    found = create_estimate(request)
    localizer = localizer_for(request.locale, found.currency)
    tables = line_table(found, localizer), total_table(found, localizer), value_table(found, localizer, found.notes)
    show(chosen.format, found, Group(*tables), found.lines)

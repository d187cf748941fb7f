"""`hitchworth settle`: policies tried against losses."""

from argparse import Namespace

from rich.console import Group

from hitchworth.cli.output import show
from hitchworth.cli.request_file import chosen_request
from hitchworth.cli.tables import assumption_list, payable_table, step_tables
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.request import SettlementRequest
from hitchworth.web.settlements import create_settlements


def run(chosen: Namespace) -> None:
    """Settle every policy against every loss and show the steps."""
    request = chosen_request(chosen, SettlementRequest)
    found = create_settlements(request)
    rows, localizer = found.settlements, localizer_for(request.locale, request.build.currency)
    tables = Group(step_tables(rows, localizer), payable_table(rows, localizer), assumption_list(rows, localizer))
    show(chosen.format, found, tables, rows)

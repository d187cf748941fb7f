"""`hitchworth settle`: policies tried against losses."""

from argparse import Namespace

from rich.console import Group

from hitchworth.cli.showing import show
from hitchworth.cli.source import chosen_request
from hitchworth.cli.tables import assumption_list, payable_table, step_tables
from hitchworth.model.request import SettlementRequest
from hitchworth.web.settlements import create_settlements
from hitchworth.wording.voice import voice_of


def run(chosen: Namespace) -> None:
    """Settle every policy against every loss and show the steps."""
    request = chosen_request(chosen, SettlementRequest)
    found = create_settlements(request)
    rows, voice = found.settlements, voice_of(request.locale, request.build.currency)
    tables = Group(step_tables(rows, voice), payable_table(rows, voice), assumption_list(rows, voice))
    show(chosen.format, found, tables, rows)

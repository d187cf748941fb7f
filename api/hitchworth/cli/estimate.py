"""`hitchworth estimate`: every line of a build valued on a date."""

from argparse import Namespace

from rich.console import Group

from hitchworth.cli.showing import show
from hitchworth.cli.source import chosen_request
from hitchworth.cli.tables import line_table, total_table, value_table
from hitchworth.model.request import EstimateRequest
from hitchworth.web.estimates import create_estimate
from hitchworth.wording.voice import voice_of


def run(chosen: Namespace) -> None:
    """Value the build and show its lines and its categories."""
    request = chosen_request(chosen, EstimateRequest)
    found = create_estimate(request)
    voice = voice_of(request.locale, found.currency)
    tables = line_table(found, voice), total_table(found, voice), value_table(found, voice, found.notes)
    show(chosen.format, found, Group(*tables), found.lines)

"""`hitchworth settle`: policies tried against losses."""

from argparse import Namespace

from rich.console import Group

from hitchworth import appraisal
from hitchworth.cli.choice import locale, valuation_date
from hitchworth.cli.showing import show
from hitchworth.cli.source import request_from
from hitchworth.cli.tables import payable_table, step_tables
from hitchworth.model.request import SettlementRequest
from hitchworth.wording.voice import voice_of
from hitchworth.wording.worded import worded


def run(chosen: Namespace) -> None:
    """Settle every policy against every loss and show the steps."""
    request = request_from(chosen.file, SettlementRequest)
    as_of = valuation_date(chosen, request.as_of)
    settled = appraisal.settle(request.build, as_of, request.policies, request.losses, request.options)
    voice = voice_of(locale(chosen, request.locale), request.build.currency)
    found = worded(settled, locale(chosen, request.locale), request.build.currency)
    show(chosen.format, {"settlements": found}, Group(step_tables(found, voice), payable_table(found, voice)), found)

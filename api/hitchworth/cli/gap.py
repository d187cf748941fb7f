"""`hitchworth gap`: the whole job, from the value to the questions."""

from argparse import Namespace

from hitchworth import appraisal
from hitchworth.cli.choice import locale, valuation_date
from hitchworth.cli.showing import show
from hitchworth.cli.source import request_from
from hitchworth.cli.tables import gap_report
from hitchworth.model.request import GapRequest
from hitchworth.wording.voice import voice_of
from hitchworth.wording.worded import worded


def run(chosen: Namespace) -> None:
    """Make the gap statement and show it; as CSV, what each policy pays for each loss."""
    request = request_from(chosen.file, GapRequest)
    statement = appraisal.gap_statement(request, valuation_date(chosen, request.as_of))
    found = worded(statement, locale(chosen, request.locale))
    show(chosen.format, found, gap_report(found, voice_of(found.locale, found.estimate.currency)), found.settlements)

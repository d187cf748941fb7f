"""`hitchworth estimate`: every line of a build valued on a date."""

from argparse import Namespace

from rich.console import Group

from hitchworth import appraisal
from hitchworth.cli.choice import locale, valuation_date
from hitchworth.cli.showing import show
from hitchworth.cli.source import request_from
from hitchworth.cli.tables import line_table, value_table
from hitchworth.model.request import EstimateRequest
from hitchworth.wording.voice import voice_of
from hitchworth.wording.worded import worded


def run(chosen: Namespace) -> None:
    """Value the build and show its lines and its categories."""
    request = request_from(chosen.file, EstimateRequest)
    as_of = valuation_date(chosen, request.as_of)
    found = worded(appraisal.estimate(request.build, as_of, request.options), locale(chosen))
    voice = voice_of(locale(chosen), found.currency)
    show(chosen.format, found, Group(line_table(found, voice), value_table(found, voice)), found.lines)

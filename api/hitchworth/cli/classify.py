"""`hitchworth classify`: the registered class against the built use."""

from argparse import Namespace

from hitchworth import appraisal
from hitchworth.cli.choice import locale, valuation_date
from hitchworth.cli.showing import show
from hitchworth.cli.source import request_from
from hitchworth.cli.tables import assessment_table
from hitchworth.model.request import ClassificationRequest
from hitchworth.wording.voice import voice_of
from hitchworth.wording.worded import worded


def run(chosen: Namespace) -> None:
    """Class the build and show the verdict with the definitions behind it."""
    request = request_from(chosen.file, ClassificationRequest)
    of = request.build or request
    as_of = valuation_date(chosen, request.as_of)
    assessment = appraisal.classify(of.jurisdiction, of.registered_class, of.facts, as_of)
    found = worded(assessment, locale(chosen, request.locale))
    show(chosen.format, found, assessment_table(found, voice_of(locale(chosen, request.locale))), found.built)

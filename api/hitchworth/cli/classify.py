"""`hitchworth classify`: the registered class against the built use."""

from argparse import Namespace

from hitchworth.cli.output import show
from hitchworth.cli.request_file import chosen_request
from hitchworth.cli.tables import assessment_table
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.request import ClassificationRequest
from hitchworth.web.classifications import create_classification


def run(chosen: Namespace) -> None:
    """Class the build and show the verdict with the definitions behind it."""
    request = chosen_request(chosen, ClassificationRequest)
    found = create_classification(request)
    show(chosen.format, found, assessment_table(found, localizer_for(request.locale)), found.built)

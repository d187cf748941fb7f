"""Classifications: the class on the document against the use that the trailer is built for."""

from hitchworth import appraisal
from hitchworth.localization.localize import localize
from hitchworth.model.assessment import Assessment
from hitchworth.model.request import ClassificationRequest
from hitchworth.web.clock import today
from hitchworth.web.operation import Operation


def create_classification(request: ClassificationRequest) -> Assessment:
    """Class a build.

    The registered class and the built use, element by element, under the published definitions that apply where the
    trailer is registered. A fact that is not known stays unknown, and is named when it could change the verdict.
    """
    assessment = appraisal.classify(request.build or request, request.as_of or today(), request.travels_to)
    return localize(assessment, request.locale)


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/classifications",
        tag="Appraisal",
        function=create_classification,
        example="classification",
    ),
)

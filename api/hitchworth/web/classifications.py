"""Classifications: the class on the document against the use that the trailer is built for."""

from hitchworth import appraisal
from hitchworth.model.assessment import Assessment
from hitchworth.model.build import Build
from hitchworth.model.request import ClassificationRequest
from hitchworth.web.clock import today
from hitchworth.web.operations import Operation
from hitchworth.wording.worded import worded


def create_classification(request: ClassificationRequest) -> Assessment:
    """Class a build.

    The registered class and the built use, element by element, under the published definitions that apply where the
    trailer is registered. A fact that is not known stays unknown, and is named when it could change the verdict.
    """
    classed: Build | ClassificationRequest = request.build or request
    assessment = appraisal.classify(
        classed.jurisdiction, classed.registered_class, classed.facts, request.as_of or today()
    )
    return worded(assessment, request.locale)


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/classifications",
        tag="Appraisal",
        function=create_classification,
        example="classification",
    ),
)

"""Protection checks: what slows a loss, and how the low-voltage circuits fare."""

from hitchworth import appraisal
from hitchworth.localization.localize import localize
from hitchworth.model.protection import ProtectionReport
from hitchworth.model.request import ProtectionRequest
from hitchworth.web.clock import today
from hitchworth.web.operation import Operation


def create_protection_check(request: ProtectionRequest) -> ProtectionReport:
    """Check the measures and circuits of a build.

    The perils that its measures slow and what proves them, the layers left bare, the question to ask the insurer about
    each measure, the payback of a device against the discount entered, and checks of the low-voltage circuits. A check
    compares with a custom of the trade and approves nothing: the local code and licensed people decide.
    """
    report = appraisal.protection_report(request.build, request.policies, request.as_of or today())
    return localize(report, request.locale, request.build.currency)


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/protection-checks",
        tag="Appraisal",
        function=create_protection_check,
        example="protection-check",
    ),
)

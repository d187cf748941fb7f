"""What is computed from a kept build: the same as from its document sent as a body, to the byte.

The docstrings of the functions are the descriptions of the API.
"""

from datetime import date
from typing import Annotated, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.assessment import Assessment
from hitchworth.model.caller import Caller
from hitchworth.model.document import Document
from hitchworth.model.estimate import Estimate
from hitchworth.model.gap import GapStatement
from hitchworth.model.kept import RevisionNumber
from hitchworth.model.protection import ProtectionReport
from hitchworth.model.request import (
    ClassificationRequest,
    EstimateRequest,
    GapRequest,
    ProtectionRequest,
    SettlementRequest,
)
from hitchworth.model.settlement import Settlements
from hitchworth.operations import appraisals
from hitchworth.operations.builds import Build
from hitchworth.operations.documents import read_document, request_at
from hitchworth.operations.requests import Request
from hitchworth.store import Store

AsOf: TypeAlias = Annotated[
    date | None, Meta(description="Valuation date. Null: today, where the server is.", examples=[date(2026, 6, 1)])
]


class Version(Struct, frozen=True, kw_only=True):
    """Which state of a build, and on which day."""

    as_of: AsOf = None
    revision: Annotated[RevisionNumber | None, Meta(description="The revision to appraise. Null: the present one.")] = (
        None
    )


def estimate_build(store: Store, caller: Caller, build: Build, version: Version) -> Estimate:
    """Value a kept build.

    The answer to POST /v1/estimates for its document.
    """
    return appraisals.create_estimate(_request(store, caller, build, version, EstimateRequest))


def classify_build(store: Store, caller: Caller, build: Build, version: Version) -> Assessment:
    """Classify a kept build.

    The answer to POST /v1/classifications for its document.
    """
    return appraisals.create_classification(_request(store, caller, build, version, ClassificationRequest))


def settle_build(store: Store, caller: Caller, build: Build, version: Version) -> Settlements:
    """Settle the losses of a kept build under its policies.

    The answer to POST /v1/settlements for its document.
    """
    return appraisals.create_settlements(_request(store, caller, build, version, SettlementRequest))


def get_gap_statement(store: Store, caller: Caller, build: Build, version: Version) -> GapStatement:
    """State the gap of a kept build.

    The answer to POST /v1/gap-statements for its document.
    """
    return appraisals.create_gap_statement(_request(store, caller, build, version, GapRequest))


def check_protection_of_build(store: Store, caller: Caller, build: Build, version: Version) -> ProtectionReport:
    """Check the protection measures and circuits of a kept build.

    The answer to POST /v1/protection-checks for its document.
    """
    return appraisals.create_protection_check(_request(store, caller, build, version, ProtectionRequest))


def _request(store: Store, caller: Caller, build: str, version: Version, kind: type[Request]) -> Request:
    document = kept_document(store, caller, build, version.revision)
    return request_at(document, kind, version.as_of)


def kept_document(store: Store, caller: Caller, build: str, revision: int | None) -> Document:
    """Return the document of a revision, the present one where none is named. Raises NotKeptError."""
    return read_document(store.builds.read(caller.workspace, build, revision)[1].body)

"""Share links: made for one build, and what somebody without a key reads through one.

An agent or adjuster sees what the conversation is about: the sheet for one policy, the inventory with its evidence, the
class report, and the estimate behind them. Other policies, premiums, the comparison of policies, the builder's notes on
answers, earlier revisions and the log stay with the builder.

The docstrings of the functions are the descriptions of the API.
"""

from typing import Annotated

from msgspec import Meta
from msgspec.structs import asdict, replace

from hitchworth import validation
from hitchworth.model.access import NewShare, SharedBuild, SharedReport, ShareRecord, ShareRequest
from hitchworth.model.caller import Caller
from hitchworth.model.document import Document
from hitchworth.model.estimate import Estimate
from hitchworth.model.fault import Fault
from hitchworth.model.kept import Revision
from hitchworth.model.listing import Items
from hitchworth.model.request import EstimateRequest, GapRequest
from hitchworth.operations.appraisals import create_estimate
from hitchworth.operations.authentication import OpenedBuild
from hitchworth.operations.builds import BuildParameter
from hitchworth.operations.changes import BUILD, SecretCreation, claim_of
from hitchworth.operations.documents import read_kept, request_at
from hitchworth.operations.evidence import pictures_of
from hitchworth.operations.kept_appraisals import AsOf
from hitchworth.operations.keys import require_end_ahead
from hitchworth.operations.reports import PaperSize, Printing, report_on
from hitchworth.reports.content import Content
from hitchworth.store import Store
from hitchworth.store.errors import NotKeptError

SHARED = "/v1/shared"

ShareParameter = Annotated[
    str, Meta(pattern="^[0-9A-Za-z]{1,8}$", description="The public part of the link.", examples=["Ex4mpLe2"])
]


def create_share(store: Store, caller: Caller, build: BuildParameter, request: bytes, how: SecretCreation) -> NewShare:
    """Make a link through which somebody without a key reads one build.

    For the agent or the adjuster: the conversation sheet about one policy, the inventory, the class report and the
    estimate, of the build as it is when the link is opened; nothing else. The answer is the only one that has the
    address: who has it, reads.
    """
    wanted = validation.read(request, ShareRequest)
    require_end_ahead("/expires_at", wanted.expires_at, store.clock())
    BUILD.require_out_of_trash(store.builds.entry(caller.workspace, build))
    document, _ = _present(store, caller, build)
    names = [policy.name for policy in document.policies]
    if wanted.for_policy is not None and wanted.for_policy not in names:
        expected = f"one of {', '.join(names)}" if names else "nothing: the build has no policy"
        fault = Fault(pointer="/for_policy", detail="Unknown policy", expected=expected, found=wanted.for_policy)
        raise validation.InvalidInputError([fault])
    credential = store.new_credential("hs")
    record = store.shares.create(
        caller.workspace,
        build,
        credential,
        name=wanted.name,
        for_policy=wanted.for_policy,
        actor=caller.actor,
        expires_at=wanted.expires_at,
        claim=claim_of(caller, how, f"{build}\nshares\n".encode() + request),
    )
    return NewShare(**asdict(record), path=f"{SHARED}/{credential.text}")


def list_shares(store: Store, caller: Caller, build: BuildParameter) -> Items[ShareRecord]:
    """List the links to a build.

    The oldest first, with those that work no more. Their addresses are not shown.
    """
    store.builds.present(caller.workspace, build)
    return Items(items=store.shares.list(caller.workspace, build))


def revoke_share(store: Store, caller: Caller, build: BuildParameter, share: ShareParameter) -> ShareRecord:
    """Revoke a link to a build.

    It opens nothing from now on.
    """
    return store.shares.revoke(caller.workspace, build, share)


def get_shared_build(store: Store, shared: OpenedBuild) -> SharedBuild:
    """See what a share link opens."""
    document, revision = _present(store, shared.caller, shared.share.build)
    share = shared.share
    reports = (
        ("inventory", "class-report")
        if share.for_policy is None
        else ("conversation-sheet", "inventory", "class-report")
    )
    return SharedBuild(
        name=document.build.name,
        shared_by=share.created_by,
        shared_with=share.name,
        for_policy=share.for_policy,
        expires_at=share.expires_at,
        revision=revision.revision,
        digest=revision.digest,
        paths=("estimate", *(f"reports/{name}" for name in reports)),
    )


def get_shared_estimate(store: Store, shared: OpenedBuild, as_of: AsOf = None) -> Estimate:
    """Value the build that a share link opens.

    Every line of the build on the valuation date. As CSV or TSV: the lines.
    """
    document, _ = _present(store, shared.caller, shared.share.build)
    return create_estimate(request_at(document, EstimateRequest, as_of))


def get_shared_report(
    store: Store,
    shared: OpenedBuild,
    report: Annotated[SharedReport, Meta(description="The report.", examples=["inventory"])],
    as_of: AsOf = None,
    paper: PaperSize = None,
) -> Content:
    """Make a report on the build that a share link opens.

    The conversation sheet is about the one policy that the link names; without one there is none. The report has the
    digest of the whole document, though it shows a part of it, and names the revision: both can be verified.
    """
    document, revision = _present(store, shared.caller, shared.share.build)
    for_policy = shared.share.for_policy
    if report == "conversation-sheet" and for_policy is None:
        raise NotKeptError("the link names no policy, so it has no conversation sheet")
    request = request_at(_about(document, for_policy), GapRequest, as_of)
    whole = request_at(document, GapRequest, as_of)
    printing = Printing(paper=paper, for_policy=for_policy)
    pictures = pictures_of(store, shared.caller)
    return report_on(request, report, printing, kept=revision, digest_of=whole, picture_of=pictures)


def _present(store: Store, caller: Caller, build: str) -> tuple[Document, Revision]:
    kept = store.builds.read(caller.workspace, build)[1]
    return read_kept(kept), kept.revision


def _about(document: Document, policy: str | None) -> Document:
    """Return the document with this policy alone, and the answers that are about it or about the trailer.

    Raises NotKeptError when the build has that policy no more.
    """
    policies = tuple(each for each in document.policies if each.name == policy)
    if policy is not None and not policies:
        raise NotKeptError("the policy that the link is about is not in the build any more")
    answers = tuple(answer for answer in document.answers if answer.policy in (None, policy))
    return replace(document, policies=policies, answers=answers, coordination=None)

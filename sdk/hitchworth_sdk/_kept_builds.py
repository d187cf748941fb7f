"""The kept builds of a client: one method for each operation under /v1/builds.

A change is made to a build as the caller has seen it: to the record that a read or an earlier change has returned. When
the build has been changed since, nothing is kept and StaleRevision is raised: read it again and decide anew.
"""

from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Any, TypeAlias, TypeVar, Unpack, overload

from hitchworth_sdk import _operations as operations
from hitchworth_sdk._calls import (
    Caller,
    CallOptions,
    Docx,
    FileReport,
    KeptReportOptions,
    ReportFormat,
    TextLetter,
    TextReport,
)
from hitchworth_sdk._exchange import NO_BODY, Operation
from hitchworth_sdk._numbers import Number
from hitchworth_sdk._types import (
    Answer,
    Assessment,
    AttentionCode,
    AttentionItem,
    BuildEntry,
    BuildSort,
    Component,
    Document,
    DocumentationScore,
    DocumentComparison,
    Estimate,
    FactValue,
    GapStatement,
    KeptBuild,
    Labor,
    LetterName,
    Loss,
    NumberSearch,
    Paper,
    Policy,
    Portfolio,
    ProtectionReport,
    ReportName,
    Revision,
    SerialNumberRegister,
    Settlements,
    ValueBasis,
    ValueCurve,
    Verification,
)

T = TypeVar("T")
Seen: TypeAlias = KeptBuild | BuildEntry | Revision
"""A kept build as the caller has seen it: what a read, a list or a change has returned.

It names the build and the revision. A change takes nothing else, so that it is made to that revision only. A method
that reads takes the id of the build as well, `Seen | str`; one that adds, too: then to whatever the build is now.
"""


class KeptBuilds(Caller):
    """The methods of a client for kept builds. The server must have been started with a database."""

    def find_serial_number(
        self, number: str, *, locale: str | None = None, **options: Unpack[CallOptions]
    ) -> NumberSearch:
        """Look up an identification, serial or model number among the kept builds: is this mine?

        Spaces, dashes, case, O for 0, and I and l for 1 are forgiven, and each answer says so. Characters are compared
        and nothing else. locale: of the sentences. Default: en-US.
        """
        return self._call(operations.FIND_SERIAL_NUMBER, NO_BODY, options, None, number=number, locale=locale)

    def create_build(
        self, request: Document, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> KeptBuild:
        """Keep a build: a document, with its policies, losses and answers. message: why, for the history.

        Sent again when no answer came, it is kept once: each call has an Idempotency-Key of its own, unless `headers`
        has one.
        """
        return self._add(operations.CREATE_BUILD, None, request, message, options)

    def list_builds(
        self,
        *,
        name: str | None = None,
        jurisdiction: str | None = None,
        registered_class: str | None = None,
        updated_since: datetime | None = None,
        trashed: bool = False,
        sort: BuildSort = "-updated_at",
        limit: int = 50,
        **options: Unpack[CallOptions],
    ) -> Iterator[BuildEntry]:
        """Iterate over the kept builds, without their documents. Pages are fetched as they are needed.

        name: only builds whose name contains it. updated_since: a time with its zone. trashed: those in the trash
        instead. limit: how many to fetch at a time.
        """
        which = {
            "name": name,
            "jurisdiction": jurisdiction,
            "registered_class": registered_class,
            "updated_since": updated_since,
            "trashed": trashed or None,
            "sort": sort,
            "limit": limit,
        }
        return self._items(operations.LIST_BUILDS, options, **which)

    def list_attention(
        self,
        *,
        code: AttentionCode | None = None,
        build: Seen | str | None = None,
        name: str | None = None,
        as_of: date | None = None,
        locale: str | None = None,
        limit_days: int | None = None,
        gap_over: Number | None = None,
        answer_days: int | None = None,
        quote_days: int | None = None,
        limit: int = 50,
        **options: Unpack[CallOptions],
    ) -> Iterator[AttentionItem]:
        """Iterate over what needs attention among the kept builds. Pages are fetched as they are needed.

        code: only items of this kind. build, name: only of this build, or of builds whose name contains it.
        limit_days, gap_over, answer_days, quote_days: from when on something needs attention, as in
        AttentionThresholds. limit: how many to fetch at a time.
        """
        which = {
            "code": code,
            "build": None if build is None else id_of(build),
            "name": name,
            "as_of": as_of,
            "locale": locale,
            "limit_days": limit_days,
            "gap_over": gap_over,
            "answer_days": answer_days,
            "quote_days": quote_days,
            "limit": limit,
        }
        return self._items(operations.LIST_ATTENTION, options, **which)

    def get_portfolio(
        self,
        *,
        as_of: date | None = None,
        horizon_days: int | None = None,
        basis: ValueBasis | None = None,
        since: date | None = None,
        **options: Unpack[CallOptions],
    ) -> Portfolio:
        """Revalue all kept builds: each, their sums by currency, and what changed since a day. At most 200 builds.

        as_of: the valuation date. Default: today. horizon_days: look so many days ahead for limits that are outgrown.
        Default: 365. basis: what a limit has to cover. Default: what its policy pays by. since: a day to compare with.
        Default: none.
        """
        terms = {"as_of": as_of, "horizon_days": horizon_days, "basis": basis, "since": since}
        return self._call(operations.GET_PORTFOLIO, NO_BODY, options, None, **terms)

    def get_build(self, build: Seen | str, **options: Unpack[CallOptions]) -> KeptBuild:
        """Get a kept build with its document, as it is now."""
        return self._read(operations.GET_BUILD, build, options)

    def replace_build(
        self, build: Seen, request: Document, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> KeptBuild:
        """Replace the document of a build, as it was seen. Raises StaleRevision when it has been changed since."""
        return self._change(operations.REPLACE_BUILD, build, request, message, options)

    def patch_build(
        self, build: Seen, request: dict[str, Any], *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> KeptBuild:
        """Change parts of the document by a JSON Merge Patch (RFC 7396). Raises StaleRevision."""
        return self._change(operations.PATCH_BUILD, build, request, message, options)

    def trash_build(self, build: Seen, *, message: str | None = None, **options: Unpack[CallOptions]) -> Revision:
        """Move a build to the trash, where it can be read and recovered. Raises StaleRevision."""
        return self._change(operations.TRASH_BUILD, build, NO_BODY, message, options)

    def recover_build(self, build: Seen, *, message: str | None = None, **options: Unpack[CallOptions]) -> Revision:
        """Take a build out of the trash. Raises StaleRevision."""
        return self._change(operations.RECOVER_BUILD, build, NO_BODY, message, options)

    def list_revisions(
        self, build: Seen | str, *, limit: int = 50, **options: Unpack[CallOptions]
    ) -> Iterator[Revision]:
        """Iterate over the history of a build, the newest revision first. limit: how many to fetch at a time."""
        return self._items(operations.LIST_REVISIONS, options, build=id_of(build), limit=limit)

    def get_revision(self, build: Seen | str, revision: int, **options: Unpack[CallOptions]) -> KeptBuild:
        """Get a build as one of its revisions had it."""
        return self._read(operations.GET_REVISION, build, options, revision=revision)

    def restore_revision(
        self, build: Seen, revision: int, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> Revision:
        """Make the document of an earlier revision the present one, as a new revision. Raises StaleRevision."""
        return self._change(operations.RESTORE_REVISION, build, NO_BODY, message, options, revision=revision)

    def verify_build(
        self,
        build: Seen | str,
        *,
        digest: str | None = None,
        as_of: date | None = None,
        **options: Unpack[CallOptions],
    ) -> Verification:
        """Verify that the history is as it was written, and that a digest on a paper belongs to it.

        digest: as a report prints it, then with its valuation date in as_of; or that of a revision.
        """
        return self._read(operations.VERIFY_BUILD, build, options, digest=digest, as_of=as_of)

    def add_component(
        self, build: Seen | str, request: Component, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> Revision:
        """Add a component. With a build as it was seen, only to that revision; with an id, to whatever it is now."""
        return self._add(operations.ADD_COMPONENT, build, request, message, options)

    def get_component(self, build: Seen | str, component: str, **options: Unpack[CallOptions]) -> Component:
        """Get a component of a build. component: its id."""
        return self._read(operations.GET_COMPONENT, build, options, component=component)

    def replace_component(
        self,
        build: Seen,
        component: str,
        request: Component,
        *,
        message: str | None = None,
        **options: Unpack[CallOptions],
    ) -> Revision:
        """Replace a component. Raises StaleRevision."""
        return self._change(operations.REPLACE_COMPONENT, build, request, message, options, component=component)

    def remove_component(
        self, build: Seen, component: str, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> Revision:
        """Remove a component. Raises StaleRevision."""
        return self._change(operations.REMOVE_COMPONENT, build, NO_BODY, message, options, component=component)

    def add_labor(
        self, build: Seen | str, request: Labor, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> Revision:
        """Add a labor entry. With a build as it was seen, only to that revision; with an id, to whatever it is now."""
        return self._add(operations.ADD_LABOR, build, request, message, options)

    def get_labor(self, build: Seen | str, entry: str, **options: Unpack[CallOptions]) -> Labor:
        """Get a labor entry of a build. entry: its id."""
        return self._read(operations.GET_LABOR, build, options, entry=entry)

    def replace_labor(
        self,
        build: Seen,
        entry: str,
        request: Labor,
        *,
        message: str | None = None,
        **options: Unpack[CallOptions],
    ) -> Revision:
        """Replace a labor entry. Raises StaleRevision."""
        return self._change(operations.REPLACE_LABOR, build, request, message, options, entry=entry)

    def remove_labor(
        self, build: Seen, entry: str, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> Revision:
        """Remove a labor entry. Raises StaleRevision."""
        return self._change(operations.REMOVE_LABOR, build, NO_BODY, message, options, entry=entry)

    def add_policy(
        self, build: Seen | str, request: Policy, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> Revision:
        """Add a policy. With a build as it was seen, only to that revision; with an id, to whatever it is now."""
        return self._add(operations.ADD_POLICY, build, request, message, options)

    def get_policy(self, build: Seen | str, policy: str, **options: Unpack[CallOptions]) -> Policy:
        """Get a policy of a build. policy: its name."""
        return self._read(operations.GET_POLICY, build, options, policy=policy)

    def replace_policy(
        self,
        build: Seen,
        policy: str,
        request: Policy,
        *,
        message: str | None = None,
        **options: Unpack[CallOptions],
    ) -> Revision:
        """Replace a policy. Raises StaleRevision."""
        return self._change(operations.REPLACE_POLICY, build, request, message, options, policy=policy)

    def remove_policy(
        self, build: Seen, policy: str, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> Revision:
        """Remove a policy. Raises StaleRevision."""
        return self._change(operations.REMOVE_POLICY, build, NO_BODY, message, options, policy=policy)

    def add_loss(
        self, build: Seen | str, request: Loss, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> Revision:
        """Add a loss. With a build as it was seen, only to that revision; with an id, to whatever it is now."""
        return self._add(operations.ADD_LOSS, build, request, message, options)

    def get_loss(self, build: Seen | str, loss: str, **options: Unpack[CallOptions]) -> Loss:
        """Get a loss of a build. loss: its name."""
        return self._read(operations.GET_LOSS, build, options, loss=loss)

    def replace_loss(
        self,
        build: Seen,
        loss: str,
        request: Loss,
        *,
        message: str | None = None,
        **options: Unpack[CallOptions],
    ) -> Revision:
        """Replace a loss. Raises StaleRevision."""
        return self._change(operations.REPLACE_LOSS, build, request, message, options, loss=loss)

    def remove_loss(
        self, build: Seen, loss: str, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> Revision:
        """Remove a loss. Raises StaleRevision."""
        return self._change(operations.REMOVE_LOSS, build, NO_BODY, message, options, loss=loss)

    def add_answer(
        self, build: Seen | str, request: Answer, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> Revision:
        """Add an answer. With a build as it was seen, only to that revision; with an id, to whatever it is now."""
        return self._add(operations.ADD_ANSWER, build, request, message, options)

    def get_answer(self, build: Seen | str, number: int, **options: Unpack[CallOptions]) -> Answer:
        """Get an answer of a build. number: its place, counted from 0."""
        return self._read(operations.GET_ANSWER, build, options, number=number)

    def replace_answer(
        self,
        build: Seen,
        number: int,
        request: Answer,
        *,
        message: str | None = None,
        **options: Unpack[CallOptions],
    ) -> Revision:
        """Replace an answer. Raises StaleRevision."""
        return self._change(operations.REPLACE_ANSWER, build, request, message, options, number=number)

    def remove_answer(
        self, build: Seen, number: int, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> Revision:
        """Remove an answer. Raises StaleRevision."""
        return self._change(operations.REMOVE_ANSWER, build, NO_BODY, message, options, number=number)

    def set_fact(
        self,
        build: Seen,
        fact: str,
        request: FactValue,
        *,
        message: str | None = None,
        **options: Unpack[CallOptions],
    ) -> Revision:
        """Set a fact about the trailer; None: it is not known. Raises StaleRevision."""
        return self._change(operations.SET_FACT, build, request, message, options, fact=fact)

    def remove_fact(
        self, build: Seen, fact: str, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> Revision:
        """Remove a fact: it is not known then. Raises StaleRevision."""
        return self._change(operations.REMOVE_FACT, build, NO_BODY, message, options, fact=fact)

    def get_estimate(
        self,
        build: Seen | str,
        *,
        as_of: date | None = None,
        revision: int | None = None,
        **options: Unpack[CallOptions],
    ) -> Estimate:
        """Value a kept build.

        as_of: the valuation date. Default: today. revision: its number. Default: the present one.
        """
        return self._read(operations.GET_ESTIMATE, build, options, as_of=as_of, revision=revision)

    def get_classification(
        self,
        build: Seen | str,
        *,
        as_of: date | None = None,
        revision: int | None = None,
        **options: Unpack[CallOptions],
    ) -> Assessment:
        """Compare the registered class of a kept build with its built use.

        as_of: the valuation date. Default: today. revision: its number. Default: the present one.
        """
        return self._read(operations.GET_CLASSIFICATION, build, options, as_of=as_of, revision=revision)

    def get_settlements(
        self,
        build: Seen | str,
        *,
        as_of: date | None = None,
        revision: int | None = None,
        **options: Unpack[CallOptions],
    ) -> Settlements:
        """Compute what every policy of a kept build pays for every loss.

        as_of: the valuation date. Default: today. revision: its number. Default: the present one.
        """
        return self._read(operations.GET_SETTLEMENTS, build, options, as_of=as_of, revision=revision)

    def get_gap_statement(
        self,
        build: Seen | str,
        *,
        as_of: date | None = None,
        revision: int | None = None,
        **options: Unpack[CallOptions],
    ) -> GapStatement:
        """Compute everything: value, class, settlements, and the questions ranked by the money at stake.

        as_of: the valuation date. Default: today. revision: its number. Default: the present one.
        """
        return self._read(operations.GET_GAP_STATEMENT, build, options, as_of=as_of, revision=revision)

    def get_protection_check(
        self,
        build: Seen | str,
        *,
        as_of: date | None = None,
        revision: int | None = None,
        **options: Unpack[CallOptions],
    ) -> ProtectionReport:
        """Check the protection of a kept build against loss, and its low-voltage circuits.

        as_of: the valuation date. Default: today. revision: its number. Default: the present one.
        """
        return self._read(operations.GET_PROTECTION_CHECK, build, options, as_of=as_of, revision=revision)

    def get_documentation_score(
        self,
        build: Seen | str,
        *,
        as_of: date | None = None,
        revision: int | None = None,
        **options: Unpack[CallOptions],
    ) -> DocumentationScore:
        """Score what of a kept build has a receipt, a photo, a serial number, and list the records to find first.

        as_of: the valuation date. Default: today. revision: its number. Default: the present one.
        """
        return self._read(operations.GET_DOCUMENTATION_SCORE, build, options, as_of=as_of, revision=revision)

    def get_serial_number_register(
        self,
        build: Seen | str,
        *,
        as_of: date | None = None,
        revision: int | None = None,
        **options: Unpack[CallOptions],
    ) -> SerialNumberRegister:
        """List every number of a kept build and of the parts in it, where it is stamped, and which file shows it.

        as_of: the day. Default: today. revision: its number. Default: the present one.
        """
        return self._read(operations.GET_SERIAL_NUMBER_REGISTER, build, options, as_of=as_of, revision=revision)

    def get_value_curve(
        self,
        build: Seen | str,
        *,
        first: date | None = None,
        last: date | None = None,
        months: int = 12,
        limit: Number | None = None,
        basis: ValueBasis = "actual_cash_value",
        revision: int | None = None,
        **options: Unpack[CallOptions],
    ) -> ValueCurve:
        """Value a kept build on a series of dates, and find the days on which a limit begins or ceases to cover it.

        first, last: the first and the last day. Default: today, and ten years later. months: from one date to the next.
        limit: of a policy, in the build's currency. Default: none. basis: the value that the limit has to cover.
        revision: its number. Default: the present one.
        """
        series = {"first": first, "last": last, "months": months, "limit": limit, "basis": basis}
        return self._read(operations.GET_VALUE_CURVE, build, options, **series, revision=revision)

    def get_comparison(
        self,
        build: Seen | str,
        from_: int | date | None = None,
        to: int | date | None = None,
        *,
        as_of: date | None = None,
        **options: Unpack[CallOptions],
    ) -> DocumentComparison:
        """Compare two revisions, or two dates, in words and in money.

        from_, to: numbers of revisions, or dates on which the present one is valued. Default: the last two revisions.
        as_of: the valuation date of revisions. Default: today.
        """
        sides = {"from": from_, "to": to}
        return self._read(operations.GET_COMPARISON, build, options, **sides, as_of=as_of)

    @overload
    def get_conversation_sheet(
        self, build: Seen | str, media_type: TextReport = "text/html", **options: Unpack[KeptReportOptions]
    ) -> str: ...

    @overload
    def get_conversation_sheet(
        self, build: Seen | str, media_type: FileReport, **options: Unpack[KeptReportOptions]
    ) -> bytes: ...

    def get_conversation_sheet(
        self, build: Seen | str, media_type: ReportFormat = "text/html", **options: Unpack[KeptReportOptions]
    ) -> str | bytes:
        """Make the conversation sheet of a kept build: text for HTML and Markdown, bytes for PDF and DOCX."""
        return self._read(operations.GET_CONVERSATION_SHEET[media_type], build, options)

    @overload
    def get_report(
        self,
        build: Seen | str,
        report: ReportName,
        media_type: TextReport = "text/html",
        **options: Unpack[KeptReportOptions],
    ) -> str: ...

    @overload
    def get_report(
        self, build: Seen | str, report: ReportName, media_type: FileReport, **options: Unpack[KeptReportOptions]
    ) -> bytes: ...

    def get_report(
        self,
        build: Seen | str,
        report: ReportName,
        media_type: ReportFormat = "text/html",
        **options: Unpack[KeptReportOptions],
    ) -> str | bytes:
        """Make another report of a kept build, or all of them: text for HTML and Markdown, bytes for PDF and DOCX."""
        return self._read(operations.GET_REPORT[media_type], build, options, report=report)

    @overload
    def get_letter(
        self,
        build: Seen | str,
        letter: LetterName,
        media_type: TextLetter = "text/plain",
        **options: Unpack[KeptReportOptions],
    ) -> str: ...

    @overload
    def get_letter(
        self, build: Seen | str, letter: LetterName, media_type: Docx, **options: Unpack[KeptReportOptions]
    ) -> bytes: ...

    def get_letter(
        self,
        build: Seen | str,
        letter: LetterName,
        media_type: TextLetter | Docx = "text/plain",
        **options: Unpack[KeptReportOptions],
    ) -> str | bytes:
        """Write a letter from what is kept: text for a mail, or bytes of a DOCX."""
        return self._read(operations.GET_LETTER[media_type], build, options, letter=letter)

    def get_claim_pack(
        self,
        build: Seen | str,
        *,
        loss: str | None = None,
        policy: str | None = None,
        as_of: date | None = None,
        revision: int | None = None,
        class_report: bool = False,
        paper: Paper | None = None,
        strip: bool = False,
        allow_missing: bool = False,
        into: Path | None = None,
        **options: Unpack[CallOptions],
    ) -> bytes:
        """Make the claim pack for a loss of a kept build with its evidence, as the bytes of a ZIP file.

        loss, policy: their names. Default: the only one of the build.
        as_of: the day on which it is made. Default: today, where the server is.
        class_report: whether the class report is in it.
        paper: the size of paper. Default: the usual one in the region of the build's locale.
        strip: without the date, the place and the camera that are stored in a photo.
        allow_missing: without files that are missing or altered; they are listed. Default: they raise InvalidInput.
        into: a file to write it to, piece by piece; the bytes are empty then.
        """
        asked: dict[str, object] = {"loss": loss, "policy": policy, "as_of": as_of, "revision": revision}
        how = {"paper": paper, "class_report": class_report, "strip": strip, "allow_missing": allow_missing}
        return self._read(operations.GET_CLAIM_PACK.written_to(into), build, options, **asked, **how)

    def _read(self, operation: Operation[T], build: Seen | str, options: CallOptions, **arguments: object) -> T:
        return self._call(operation, NO_BODY, options, None, build=id_of(build), **arguments)

    def _change(
        self,
        operation: Operation[T],
        build: Seen,
        body: object,
        message: str | None,
        options: CallOptions,
        **arguments: object,
    ) -> T:
        """Change a build as it was seen."""
        return self._call(operation, body, options, if_match(build), build=id_of(build), message=message, **arguments)

    def _add(
        self,
        operation: Operation[T],
        build: Seen | str | None,
        body: object,
        message: str | None,
        options: CallOptions,
    ) -> T:
        """Create something: in a build as it was seen, or in whatever it is now."""
        if build is None:
            return self._call(operation, body, options, message=message)
        headers = None if isinstance(build, str) else if_match(build)
        return self._call(operation, body, options, headers, message=message, build=id_of(build))


def id_of(build: Seen | str) -> str:
    """Return the id of a build."""
    if isinstance(build, str):
        return build
    return build.build if isinstance(build, Revision) else build.id


def document_of(kept: KeptBuild) -> Document:
    """Return the document of a kept build, to change it and to put it back."""
    return Document(**{name: getattr(kept, name) for name in Document.__struct_fields__})


def if_match(seen: Seen) -> dict[str, str]:
    """Return the header by which a change is made to what was seen only."""
    return {"If-Match": f'"{seen.digest}"'}

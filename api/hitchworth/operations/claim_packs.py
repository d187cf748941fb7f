"""Claim packs: everything for one loss under one policy in one ZIP file, laid out by BagIt (RFC 8493).

The docstrings of the functions are the descriptions of the API.
"""

import re
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from importlib.metadata import version
from tempfile import TemporaryFile
from typing import IO, Annotated, TypeAlias

import msgspec
from msgspec import Meta, Struct
from msgspec.structs import replace

from hitchworth import canonical
from hitchworth.documentation.register import serial_number_register
from hitchworth.evidence.pictures import UnacceptableFileError, thumbnail
from hitchworth.evidence.recognition import media_type_of
from hitchworth.evidence.stripping import stripped
from hitchworth.model.evidence import Evidence, EvidenceMediaType
from hitchworth.model.fault import Fault
from hitchworth.model.gap import GapStatement
from hitchworth.model.kept import Revision
from hitchworth.model.loss import Loss
from hitchworth.model.policy import Policy
from hitchworth.model.request import GapRequest
from hitchworth.model.strings import Identifier
from hitchworth.operations.appraisals import create_gap_statement
from hitchworth.operations.claim_tables import evidence_table, inventory_table
from hitchworth.operations.clock import today
from hitchworth.operations.evidence import SUFFIXES, FileContent
from hitchworth.operations.renderings import AS_WORKBOOK, AS_ZIP
from hitchworth.operations.reports import PaperSize, context_of
from hitchworth.operations.result_tables import SERIAL_NUMBERS
from hitchworth.operations.tables import FilledTable, csv_table, filled
from hitchworth.operations.workbooks import inventory_workbook
from hitchworth.reports.bag import Bag
from hitchworth.reports.catalog import make_claim_paper, make_report
from hitchworth.reports.claim import LeftOut, PackedClaim, PackedEvidence, PackedFile
from hitchworth.reports.content import Content
from hitchworth.reports.context import ReportContext
from hitchworth.reports.typesetters import render_docx, render_pdf
from hitchworth.store.blobs import file_errors
from hitchworth.validation import InvalidInputError

MAX_NAME = 40
"""Characters of the name of the loss in the name of the pack."""

_UNSAFE = re.compile(r"[^a-z0-9]+")


class ClaimChoice(Struct, frozen=True, kw_only=True):
    """Which loss under which policy, with which papers."""

    loss: Annotated[
        Identifier | None,
        Meta(description="Name of the loss. Null: the only one of the document.", examples=["theft"]),
    ] = None
    policy: Annotated[
        Identifier | None,
        Meta(
            description="Name of the policy; no other is in the pack. Null: the only one of the document.",
            examples=["agreed value"],
        ),
    ] = None
    class_report: Annotated[
        bool,
        Meta(
            description="Whether the class report is in the pack, which compares the registered class with what the "
            "trailer is built as. Default: false. What it says is settled best before a loss; after one, decide with "
            "advice whether to hand it over."
        ),
    ] = False
    paper: PaperSize = None


class Handover(Struct, frozen=True, kw_only=True):
    """How the files of evidence are handed over."""

    strip: Annotated[
        bool,
        Meta(
            description="Without the date, the place and the camera that are stored in a photo. The list of the "
            "evidence has both hashes then, and the date. Default: false, byte for byte as they were added."
        ),
    ] = False
    allow_missing: Annotated[
        bool,
        Meta(
            description="Whether the pack is made without files that are missing or altered. It lists them then. "
            "Default: false: a problem names each."
        ),
    ] = False


class LeftOutError(Exception):
    """A file of evidence is not at hand; the reason."""

    def __init__(self, reason: LeftOut) -> None:
        super().__init__(reason)
        self.reason: LeftOut = reason


EvidenceOpener: TypeAlias = Callable[[Evidence], IO[bytes]]
"""Opens the file of an entry at its beginning, every byte of it checked; the caller closes it. Raises LeftOutError."""


class PackOrder(Struct, frozen=True, kw_only=True):
    """What a pack is made from."""

    request: GapRequest
    """The whole document; what belongs to other policies and losses is left out of the pack."""
    claim: ClaimChoice
    source: EvidenceOpener | None = None
    """Where the files of evidence are. None: they are not at hand."""
    handover: Handover = Handover()
    kept: Revision | None = None
    """The revision of a kept build that the request is made from."""


class WrittenPack(Struct, frozen=True, kw_only=True):
    """What was written."""

    name: str
    """Of the folder in the ZIP file, and of the file without its ending."""
    digest: str
    """SHA-256 of the last manifest, which covers every byte of the pack."""


class _Revision(Struct, frozen=True, kw_only=True):
    """The revision of a kept build that a pack was made from."""

    build: str
    revision: int
    digest: str


class _LeftOut(Struct, frozen=True, kw_only=True):
    """A file of evidence that is not in a pack."""

    file_name: str | None
    sha256: str
    reason: LeftOut


class _Record(Struct, frozen=True, kw_only=True):
    """The pack for programs: pack.json."""

    build: str
    loss: str
    policy: str
    valued_on: date
    made_on: date
    data_digest: str
    """Of the whole document on that day, as the papers print it."""
    kept: _Revision | None
    evidence: int
    """Entries on record."""
    evidence_in_pack: int
    left_out: tuple[_LeftOut, ...]
    files: tuple[str, ...]
    program: str


def create_claim_pack(request: GapRequest, claim: ClaimChoice) -> FileContent:
    """Make the claim pack for a loss, without files of evidence.

    A ZIP file laid out by BagIt (RFC 8493), which any archive can check: the papers for the insurer as PDF and DOCX,
    the inventory as CSV and as a workbook with formulas, the value on the day of the loss with its workings, what the
    policy is expected to pay, registration and answers, the first day. It lists the evidence of the document and says
    that its files are not in it. Nothing of other policies is in it. The same document on the same day gives the same
    bytes. `as_of` is the day on which it is made.
    """
    return claim_pack_file(PackOrder(request=request, claim=claim))


def claim_pack_file(order: PackOrder) -> FileContent:
    """Return a claim pack as a file on the disk, as `write_claim_pack` writes it. Raises StoreError as well."""
    with file_errors():
        file = TemporaryFile()  # noqa: SIM115  (whoever hands it out closes it)
        try:
            written = write_claim_pack(file, order)
            file.seek(0)
        except BaseException:
            file.close()
            raise
    return FileContent(file=file, media_type=AS_ZIP.media_type, name=f"{written.name}.zip", tag=written.digest)


def write_claim_pack(file: IO[bytes], order: PackOrder) -> WrittenPack:
    """Write a claim pack into a file. Memory does not grow with the evidence: one file at a time is read.

    Raises InvalidInputError for an unknown loss or policy, and for evidence that is missing or altered unless the order
    allows it; what stands in the file then is of no use. Raises OSError.
    """
    request, handover = order.request, order.handover
    made_on = request.as_of or today()
    loss, policy = _chosen(order.claim, request)
    valued_on = _day_of(loss, made_on)
    name = f"claim-pack-{_safe(loss.name)}-{made_on}"
    with Bag(file, name) as bag:
        evidence = _add_evidence(bag, order)
        claim = PackedClaim(
            policy=replace(policy, annual_premium=None),
            loss=replace(loss, annual_probability=None),
            valued_on=valued_on,
            made_on=made_on,
            evidence=evidence,
            has_files=order.source is not None,
            is_stripped=handover.strip,
        )
        pack = _Pack(order, claim)
        pack.add_to(bag)
        digest = bag.finish(tuple(pack.information()))
    return WrittenPack(name=name, digest=digest)


class _Pack:
    """The papers and tables of one claim."""

    def __init__(self, order: PackOrder, claim: PackedClaim) -> None:
        self._claim, self._kept, self._choice = claim, order.kept, order.claim
        self._source = order.source
        self._data_digest = canonical.digest(order.request, claim.valued_on)
        request = _about_one(order.request, claim)
        self._valued_request = replace(
            request, policies=(), losses=(), answers=tuple(each for each in request.answers if each.fact is not None)
        )
        self._valued = self._stated(self._valued_request)
        self._settled = self._stated(request)
        self._about_value = self._context(self._valued_request, self._valued)
        self._about_claim = self._context(request, self._settled)

    def _stated(self, request: GapRequest) -> GapStatement:
        """Return the statement without its questions: they are for the builder."""
        return replace(create_gap_statement(request), digest=self._data_digest, questions=())

    def _context(self, request: GapRequest, statement: GapStatement) -> ReportContext:
        named = tuple(replace(each.entry, file_name=each.path or each.entry.file_name) for each in self._claim.evidence)
        return replace(
            context_of(request, statement),
            kept=self._kept,
            claim=self._claim,
            evidence=named,
            picture_of=None if self._source is None else self._picture,
        )

    def _picture(self, entry: Evidence, side: int) -> bytes | None:
        """Return a picture of a file that is in the pack."""
        packed = next(each for each in self._claim.evidence if each.entry.id == entry.id)
        if self._source is None or packed.path is None:
            return None
        try:
            with self._source(packed.entry) as file:
                return thumbnail(file, side)
        except (LeftOutError, UnacceptableFileError):
            return None

    def add_to(self, bag: Bag) -> None:
        """Add every paper in each of its formats, every table, and the record of the pack."""
        files = []
        for number, (name, title, content) in enumerate(self._papers(), start=2):  # the summary is the first
            files.append(PackedFile(title=title, paths=_add_paper(bag, f"papers/{number}-{name}", content)))
        for name, title, table in self._tables():
            bag.add(f"{name}.csv", csv_table(table, line_end="\r\n").encode())
            files.append(PackedFile(title=title, paths=(f"{name}.csv",)))
        workbook = inventory_workbook(self._valued_request, self._valued)
        bag.add("inventory.xlsx", AS_WORKBOOK[0].render(workbook))
        files.append(PackedFile(title="pack_inventory_workbook", paths=("inventory.xlsx",)))
        files.append(PackedFile(title="pack_record", paths=("pack.json",)))
        claim = replace(self._claim, files=tuple(files))
        summary = make_claim_paper("claim-summary", replace(self._about_value, claim=claim), self._choice.paper)
        summarized = _add_paper(bag, "papers/1-claim-summary", summary)
        bag.add("pack.json", self._record((*summarized, *(path for each in files for path in each.paths))))

    def _papers(self) -> Iterator[tuple[str, str, Content]]:
        """Yield the papers with the name of the file and of the text of the title."""
        value, claim, paper = self._about_value, self._about_claim, self._choice.paper
        yield "inventory", "inventory", make_report("inventory", value, paper)
        yield "valuation", "workings", make_report("workings", value, paper)
        yield "settlement", "expected_settlement", make_claim_paper("settlement", claim, paper)
        yield "registration", "registration", make_claim_paper("registration", claim, paper)
        yield "first-day", "after_loss", make_report("after-loss", claim, paper)
        yield "serial-numbers", "serial_numbers", make_report("serial-numbers", value, paper)
        if self._choice.class_report:
            yield "class-report", "class_report", make_report("class-report", value, paper)

    def _tables(self) -> Iterator[tuple[str, str, FilledTable]]:
        """Yield the tables with the name of the file and of the text that says what is in it."""
        inventory = inventory_table(self._valued_request, self._valued, self._claim.evidence)
        yield "inventory", "pack_inventory_table", inventory
        register = serial_number_register(self._valued_request.build, self._about_value.evidence, self._claim.valued_on)
        yield "serial-numbers", "serial_numbers", filled(SERIAL_NUMBERS[0], register, self._valued_request.locale)
        yield "evidence", "pack_evidence_table", evidence_table(self._valued_request, self._claim.evidence)

    def _record(self, files: Sequence[str]) -> bytes:
        claim, kept, in_pack = self._claim, self._kept, [each.path for each in self._claim.evidence if each.path]
        record = _Record(
            build=self._valued_request.build.name,
            loss=claim.loss.name,
            policy=claim.policy.name,
            valued_on=claim.valued_on,
            made_on=claim.made_on,
            data_digest=self._data_digest,
            kept=None if kept is None else _Revision(build=kept.build, revision=kept.revision, digest=kept.digest),
            evidence=len(claim.evidence),
            evidence_in_pack=len(in_pack),
            left_out=tuple(
                _LeftOut(file_name=each.entry.file_name, sha256=each.entry.sha256, reason=each.left_out)
                for each in claim.evidence
                if each.left_out is not None
            ),
            files=(*files, *in_pack),
            program=f"hitchworth {version('hitchworth')}",
        )
        return msgspec.json.format(msgspec.json.encode(record)) + b"\n"

    def information(self) -> Iterator[tuple[str, str]]:
        """Yield what bag-info.txt says; the labels but the last are reserved by RFC 8493 (2.2.2)."""
        claim, kept = self._claim, self._kept
        described = {"name": self._valued_request.build.name, "loss": claim.loss.name, "policy": claim.policy.name}
        yield "Bagging-Date", claim.made_on.isoformat()
        yield "External-Description", self._about_value.format("pack_description", day=claim.valued_on, **described)
        if claim.loss.claim_number:
            yield "External-Identifier", claim.loss.claim_number
        if kept is not None:
            yield "Internal-Sender-Identifier", f"{kept.build}, revision {kept.revision}, {kept.digest}"
        yield "Bag-Software-Agent", f"hitchworth {version('hitchworth')}"
        yield "Data-Digest", self._data_digest


def _chosen(choice: ClaimChoice, request: GapRequest) -> tuple[Loss, Policy]:
    """Return the loss and the policy. Raises InvalidInputError with what is wrong with either."""
    losses = {each.name: each for each in request.losses}
    policies = {each.name: each for each in request.policies}
    faults = (*_unknown("loss", choice.loss, tuple(losses)), *_unknown("policy", choice.policy, tuple(policies)))
    if faults:
        raise InvalidInputError(faults)
    return (
        losses[choice.loss or request.losses[0].name],
        policies[choice.policy or request.policies[0].name],
    )


def _unknown(what: str, name: str | None, known: Sequence[str]) -> Iterator[Fault]:
    """Yield why none of the names is meant: it is not among them, there are several, or there is none."""
    if name in known or (name is None and len(known) == 1):
        return
    detail = f"There is no such {what}" if name is not None else f"Name the {what}" if known else f"There is no {what}"
    expected = f"one of {', '.join(known)}" if known else f"a document with a {what}"
    yield Fault(pointer=f"/{what}", detail=detail, expected=expected, found=name or "nothing")


def _day_of(loss: Loss, made_on: date) -> date:
    """Return the day on which everything is valued. Raises InvalidInputError for a pack made before the loss."""
    if loss.occurred_on is None or loss.occurred_on <= made_on:
        return loss.occurred_on or made_on
    fault = Fault(
        pointer="/as_of",
        detail=f"The loss {loss.name} has not happened by then",
        expected=f"{loss.occurred_on} or later",
        found=made_on.isoformat(),
    )
    raise InvalidInputError([fault])


def _about_one(request: GapRequest, claim: PackedClaim) -> GapRequest:
    """Return the request on the day of the loss, without what is of another policy or loss, or the builder's alone."""
    return replace(
        request,
        as_of=claim.valued_on,
        policies=(claim.policy,),
        losses=(claim.loss,),
        answers=tuple(
            each
            for each in request.answers
            if each.policy in (None, claim.policy.name)
            and each.loss in (None, claim.loss.name)
            and each.term != "annual_premium"
        ),
        coordination=None,
        travels_to=(),
        evidence=(),
        options=replace(request.options, workings=True),
    )


def _add_paper(bag: Bag, path: str, content: Content) -> tuple[str, ...]:
    """Add a paper as PDF and DOCX; where its tables are too long for a PDF, as DOCX alone. Return the paths."""
    try:
        printed = {".pdf": render_pdf(content)}
    except InvalidInputError:
        printed = {}
    printed[".docx"] = render_docx(content)
    for suffix, file in printed.items():
        bag.add(f"{path}{suffix}", file)
    return tuple(f"{path}{suffix}" for suffix in printed)


def _add_evidence(bag: Bag, order: PackOrder) -> tuple[PackedEvidence, ...]:
    """Add the files of evidence. Raises InvalidInputError that names every one that is not there."""
    entries = enumerate(order.request.evidence, start=1)
    packed = tuple(_add_file(bag, number, entry, order) for number, entry in entries)
    faults = tuple(
        Fault(
            pointer=f"/evidence/{place}",
            detail=_REASONS[each.left_out].format(each.entry.file_name or each.entry.id),
            expected="the file that was added, or allow_missing to make the pack without it",
            found=each.entry.sha256,
        )
        for place, each in enumerate(packed)
        if each.left_out in _REASONS
    )
    if faults and not order.handover.allow_missing:
        raise InvalidInputError(faults)
    return packed


_REASONS: dict[LeftOut | None, str] = {  # each with its file: faults of one text are told as one
    "missing": "The file {} is missing",
    "altered": "The file {} is not the one that was added",
    "other_type": "The file {} is not what the document says",
    "unreadable": "Date and place cannot be removed from the file {}",
}


def _add_file(bag: Bag, number: int, entry: Evidence, order: PackOrder) -> PackedEvidence:
    """Add the file of an entry under its number: a person's name for it might lead anywhere."""
    if order.source is None:
        return PackedEvidence(entry=entry, left_out="not_given")
    try:
        with order.source(entry) as file:
            content, media_type = _handed_over(file, entry, order.handover)
            path = f"evidence/{number:04}{SUFFIXES[media_type]}"
            return PackedEvidence(entry=entry, path=path, sha256=bag.add(path, content))
    except LeftOutError as error:
        return PackedEvidence(entry=entry, left_out=error.reason)


def _handed_over(file: IO[bytes], entry: Evidence, handover: Handover) -> tuple[IO[bytes] | bytes, EvidenceMediaType]:
    """Return what goes into the pack, and what it is. Raises LeftOutError."""
    try:
        if media_type_of(file) != entry.media_type:
            raise LeftOutError("other_type")
    except UnacceptableFileError:
        raise LeftOutError("other_type") from None
    if not handover.strip:
        return file, entry.media_type
    try:
        return stripped(file, entry.media_type)
    except UnacceptableFileError:
        raise LeftOutError("unreadable") from None


def _safe(name: str) -> str:
    """Return a name in letters and digits that every system can hold."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return _UNSAFE.sub("-", plain)[:MAX_NAME].strip("-") or "loss"

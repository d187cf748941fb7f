"""Evidence on paper: each file of a claim pack, what it is and what it proves; and what is not in the pack."""

from collections.abc import Iterable
from datetime import datetime

from hitchworth.localization.localizer import capital
from hitchworth.model.evidence import PROTECTION, Evidence
from hitchworth.reference.protections import measures_by_name
from hitchworth.reports.claim import PackedClaim, PackedEvidence
from hitchworth.reports.content import AnyBlock, Column, Paragraph, Table
from hitchworth.reports.context import ReportContext

HASH_DIGITS = 16
"""Digits of a hash that are printed; the list of the pack has all of them."""


def evidence_tables(context: ReportContext, claim: PackedClaim) -> tuple[AnyBlock, ...]:
    """Return the files of evidence, and those that are not there with the reason; or that there is none."""
    if not claim.evidence:
        return (Paragraph(context.format("pack_no_evidence")),)
    there = [each for each in claim.evidence if each.path is not None]
    absent = [each for each in claim.evidence if each.path is None]
    return (
        *((Paragraph(context.format("pack_without_files")),) if not claim.has_files else ()),
        *((Paragraph(context.format("pack_stripped")),) if claim.is_stripped and there else ()),
        *((_there(context, there),) if there else ()),
        *((_absent(context, absent),) if absent else ()),
    )


def evidence_of(context: ReportContext, evidence: Iterable[PackedEvidence], *subjects: str) -> tuple[AnyBlock, ...]:
    """Return the evidence of these subjects in a table; nothing where there is none."""
    proving = [each for each in evidence if not set(subjects).isdisjoint(each.entry.subjects)]
    return (_there(context, proving),) if proving else ()


def _there(context: ReportContext, evidence: Iterable[PackedEvidence]) -> Table:
    columns = (
        Column(context.format("pack_file"), width=3),
        Column(context.format("pack_kind"), width=2),
        Column(context.format("pack_evidence_of"), width=4),
        Column(context.format("pack_taken"), width=2),
        Column(context.format("pack_hash"), width=3),
    )
    rows = tuple(
        (
            _named(context, each),
            _kind(context, each.entry),
            "; ".join(subject_labels(context, each.entry)),
            _taken(context, each.entry),
            (each.sha256 or each.entry.sha256)[:HASH_DIGITS],
        )
        for each in evidence
    )
    return Table(context.format("pack_evidence_caption"), columns, rows)


def _named(context: ReportContext, each: PackedEvidence) -> str:
    """Return the file, and below it what is to be seen, or the name that it had."""
    below = each.entry.caption or each.entry.file_name
    return "\n".join(filter(None, (each.path or context.format("pack_not_in"), below)))


def _absent(context: ReportContext, evidence: Iterable[PackedEvidence]) -> Table:
    columns = (
        Column(context.format("pack_file"), width=4),
        Column(context.format("pack_evidence_of"), width=4),
        Column(context.format("pack_why"), width=4),
        Column(context.format("pack_hash"), width=3),
    )
    rows = tuple(
        (
            each.entry.file_name or each.entry.id,
            "; ".join(subject_labels(context, each.entry)),
            context.localizer.heading("evidence_left_out", each.left_out or "missing"),
            each.entry.sha256[:HASH_DIGITS],
        )
        for each in evidence
    )
    return Table(context.format("pack_absent_caption"), columns, rows)


def subject_labels(context: ReportContext, entry: Evidence) -> tuple[str, ...]:
    """Return in words what a file is evidence of."""
    build = context.build
    names = {
        **{labor.id: labor.task for labor in build.labor},
        **{part.id: part.description for part in build.components},
    }
    return tuple(capital(names.get(subject) or _label(context, subject)) for subject in entry.subjects)


def _label(context: ReportContext, subject: str) -> str:
    if not subject.startswith(PROTECTION):
        return context.localizer.label("evidence_subject", subject)
    name = subject.removeprefix(PROTECTION)
    measure = measures_by_name().get(name)
    return context.localizer.translate(measure.title) if measure else name


def _kind(context: ReportContext, entry: Evidence) -> str:
    if entry.kind is None:
        return capital(context.format("evidence_not_stated"))
    return context.localizer.heading("evidence_kind", entry.kind)


def _taken(context: ReportContext, entry: Evidence) -> str:
    """Return the day on which a photo was taken, by the clock of its camera."""
    if entry.taken_at is None:
        return ""
    return context.localizer.formats.day(datetime.fromisoformat(entry.taken_at).date())

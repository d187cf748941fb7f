"""The first paper of a claim pack: whose trailer, which loss, under which policy, and what is in the pack."""

from hitchworth.localization.localizer import capital
from hitchworth.reports.claim import PackedClaim
from hitchworth.reports.content import AnyBlock, Column, Fact, Facts, Heading, Paragraph, Table
from hitchworth.reports.context import ReportContext
from hitchworth.reports.conversation import owner_facts, trailer
from hitchworth.reports.evidence_tables import evidence_tables


def claim_summary(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return what the pack is about, its papers, its evidence, and how to check that it is whole."""
    claim = context.claim_of()
    return (
        Heading(context.format("claim_summary")),
        Facts((*owner_facts(context), *trailer(context, with_verdict=False)), columns=2),
        Heading(context.format("loss"), level=2),
        Facts(_loss(context, claim), columns=2),
        _values(context, claim),
        Heading(context.format("pack_contents"), level=2),
        _papers(context, claim),
        Heading(context.format("evidence"), level=2),
        *evidence_tables(context, claim),
        Heading(context.format("pack_check"), level=2),
        Paragraph(context.format("pack_how_to_check")),
    )


def _loss(context: ReportContext, claim: PackedClaim) -> tuple[Fact, ...]:
    loss, localizer, unknown = claim.loss, context.localizer, context.format("not_known")
    told = {
        "loss": capital(loss.name),
        "pack_peril": localizer.heading("peril", loss.peril),
        "pack_extent": localizer.heading("extent", loss.extent),
        "pack_day_of_loss": localizer.formats.day(loss.occurred_on) if loss.occurred_on else unknown,
        "policy": capital(claim.policy.name),
        "loss_claim_number": loss.claim_number or unknown,
        "loss_police_number": loss.police_report_number or unknown,
        "pack_made_on": localizer.formats.day(claim.made_on),
    }
    return tuple(Fact(context.format(label), value) for label, value in told.items())


def _values(context: ReportContext, claim: PackedClaim) -> Table:
    """Return what the trailer cost to replace and was worth on the day of the loss."""
    totals = context.statement.estimate.totals
    rows = tuple(
        (context.format(figure), context.money(getattr(totals, figure)))
        for figure in ("replacement_cost", "depreciation", "actual_cash_value")
    )
    columns = (Column("", width=1), Column(context.format("amount"), align="right"))
    return Table(context.format("pack_values_caption", day=claim.valued_on), columns, rows)


def _papers(context: ReportContext, claim: PackedClaim) -> Table:
    columns = (Column(context.format("pack_file"), width=1), Column(context.format("pack_holds"), width=1))
    rows = tuple(("\n".join(each.paths), context.format(each.title)) for each in claim.files)
    return Table(context.format("pack_files_caption"), columns, rows)

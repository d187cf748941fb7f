"""The texts of a quote: its questions, its notes, the rules of its workings, and the quote in a sentence."""

from collections.abc import Iterable

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.notes import localize_note
from hitchworth.localization.texts import texts
from hitchworth.model.change_order import Contract
from hitchworth.model.progress_bill import ProgressBill
from hitchworth.model.quote import Quote, QuoteQuestion, QuoteWorking
from hitchworth.model.quote_variance import CauseAmount, QuoteVariance


def localize_quote(quote: Quote, localizer: Localizer) -> Quote:
    """Return the quote with its texts, and the locale of the texts."""
    return replace(
        quote,
        locale=localizer.locale.formats,
        lines=tuple(replace(line, workings=_workings(line.workings, localizer)) for line in quote.lines),
        questions=tuple(localize_quote_question(question, localizer) for question in quote.questions),
        notes=tuple(localize_note(note, localizer) for note in quote.notes),
        workings=_workings(quote.workings, localizer),
        statement=_statement(quote, localizer),
    )


def localize_contract(contract: Contract, localizer: Localizer) -> Contract:
    """Return the quote with its change orders and all their texts."""
    return replace(
        contract,
        locale=localizer.locale.formats,
        quote=localize_quote(contract.quote, localizer),
        changes=tuple(
            replace(change, questions=tuple(localize_quote_question(each, localizer) for each in change.questions))
            for change in contract.changes
        ),
        notes=tuple(localize_note(note, localizer) for note in contract.notes),
        statement=_contract_statement(contract, localizer),
    )


def _contract_statement(contract: Contract, localizer: Localizer) -> str:
    told = localizer.format(
        texts().quote["contract_pending" if contract.pending else "contract"],
        name=contract.quote.name,
        quoted=contract.quote.totals.total,
        added=contract.added,
        deducted=contract.deducted,
        total=contract.contract_total,
        count=str(contract.pending),
    )
    return f"{told} {localizer.format(texts().quote['open_tax'])}" if contract.open_tax else told


def localize_quote_variance(variance: QuoteVariance, localizer: Localizer) -> QuoteVariance:
    """Return the variance with the labels of its causes, its notes and its statement."""
    return replace(
        variance,
        causes=_labeled(variance.causes, localizer),
        categories=tuple(replace(each, causes=_labeled(each.causes, localizer)) for each in variance.categories),
        lines=tuple(replace(each, causes=_labeled(each.causes, localizer)) for each in variance.lines),
        notes=tuple(localize_note(note, localizer) for note in variance.notes),
        statement=_variance_statement(variance, localizer),
    )


def _variance_statement(variance: QuoteVariance, localizer: Localizer) -> str:
    told = localizer.format(
        texts().quote["variance"], quoted=variance.quoted, built=variance.built, variance=variance.variance
    )
    if not variance.still_quoted:
        return told
    return f"{told} {localizer.format(texts().quote['still_quoted'], count=str(len(variance.still_quoted)))}"


def localize_progress_bill(bill: ProgressBill, localizer: Localizer) -> ProgressBill:
    """Return the bill with its statement."""
    statement = localizer.format(
        texts().quote["progress_bill"],
        to_pay=bill.to_pay,
        due=bill.due,
        tax=bill.tax,
        credit=bill.deposit_credit,
        earned=bill.earned,
        earlier=bill.earlier_certificates,
    )
    said = {
        "progress_deposit_before": bill.earlier_deposit_credit,
        "progress_deposit_left": bill.deposit_left,
        "progress_deposit_not_paid": bill.deposit_not_paid,
        "progress_payments": bill.deposit + bill.deposit_not_paid,
        "progress_contingency": bill.contingency_not_billed,
        "progress_other": bill.other_not_billed,
        "open_tax": bill.open_tax,
    }
    amounts = {
        "before": bill.earlier_deposit_credit,
        "left": bill.deposit_left,
        "deposit": bill.deposit_not_paid,
        "contingency": bill.contingency_not_billed,
        "other": bill.other_not_billed,
    }
    more = (localizer.format(texts().quote[key], **amounts) for key, is_so in said.items() if is_so)
    return replace(bill, statement=" ".join((statement, *more)))


def _labeled(causes: Iterable[CauseAmount], localizer: Localizer) -> tuple[CauseAmount, ...]:
    return tuple(replace(each, label=localizer.heading("variance_cause", each.cause)) for each in causes)


def localize_quote_question(question: QuoteQuestion, localizer: Localizer) -> QuoteQuestion:
    """Return the question with its text."""
    text = localizer.format(
        texts().quote[f"ask_{question.code}"], about=question.about, kind=question.about, base=question.base
    )
    return replace(question, text=text)


def _workings(workings: Iterable[QuoteWorking], localizer: Localizer) -> tuple[QuoteWorking, ...]:
    rules = texts().quote_workings
    return tuple(replace(working, text=localizer.translate(rules[working.figure])) for working in workings)


def _statement(quote: Quote, localizer: Localizer) -> str:
    totals = quote.totals
    code = "statement"
    if totals.total_at_most != totals.total:
        code = "statement_open" if totals.total_at_most is None else "statement_at_most"
    return localizer.format(
        texts().quote[code],
        name=quote.name,
        total=totals.total,
        quoted_on=quote.quoted_on,
        at_most=totals.total_at_most,
    )

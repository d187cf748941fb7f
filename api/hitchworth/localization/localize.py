"""Fill in the texts of a result: the same record with its sentences, labels, reasons and cautions in a locale."""

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from hitchworth.localization.assessments import localize_assessment
from hitchworth.localization.attention import localize_attention, localize_attention_item
from hitchworth.localization.document_changes import localize_document_comparison
from hitchworth.localization.estimates import localize_estimate
from hitchworth.localization.gap_statements import localize_gap_statement
from hitchworth.localization.localizer import Localizer, localizer_for
from hitchworth.localization.protections import localize_protection
from hitchworth.localization.quotes import (
    localize_contract,
    localize_progress_bill,
    localize_quote,
    localize_quote_variance,
)
from hitchworth.localization.receipt_imports import localize_receipt_import
from hitchworth.localization.serial_numbers import localize_number_search, localize_plate_reading
from hitchworth.localization.settlements import localize_settlements
from hitchworth.localization.valuations import (
    localize_estimate_comparison,
    localize_sales_comparison,
    localize_value_curve,
)
from hitchworth.model.assessment import Assessment
from hitchworth.model.attention import AttentionItem, AttentionList
from hitchworth.model.change_order import Contract
from hitchworth.model.document_changes import DocumentComparison
from hitchworth.model.estimate import Estimate
from hitchworth.model.estimate_comparison import EstimateComparison
from hitchworth.model.gap import GapStatement
from hitchworth.model.plate_reading import PlateReading
from hitchworth.model.progress_bill import ProgressBill
from hitchworth.model.protection import ProtectionReport
from hitchworth.model.quote import Quote
from hitchworth.model.quote_variance import QuoteVariance
from hitchworth.model.receipt_import import ReceiptImport
from hitchworth.model.sales_comparison import SalesComparison
from hitchworth.model.serial_numbers import NumberSearch
from hitchworth.model.settlement import Settlements
from hitchworth.model.value_curve import ValueCurve

LocalizedRecord = TypeVar(
    "LocalizedRecord",
    Estimate,
    EstimateComparison,
    ValueCurve,
    SalesComparison,
    Assessment,
    Settlements,
    GapStatement,
    ProtectionReport,
    DocumentComparison,
    ReceiptImport,
    Quote,
    Contract,
    QuoteVariance,
    ProgressBill,
    AttentionList,
    AttentionItem,
    NumberSearch,
    PlateReading,
)

_LOCALIZE: Mapping[type, Callable[[Any, Localizer], Any]] = {
    Estimate: localize_estimate,
    EstimateComparison: localize_estimate_comparison,
    ValueCurve: localize_value_curve,
    SalesComparison: localize_sales_comparison,
    Assessment: localize_assessment,
    Settlements: localize_settlements,
    GapStatement: localize_gap_statement,
    ProtectionReport: localize_protection,
    DocumentComparison: localize_document_comparison,
    ReceiptImport: localize_receipt_import,
    Quote: localize_quote,
    Contract: localize_contract,
    QuoteVariance: localize_quote_variance,
    ProgressBill: localize_progress_bill,
    AttentionList: localize_attention,
    AttentionItem: localize_attention_item,
    NumberSearch: localize_number_search,
    PlateReading: localize_plate_reading,
}


def localize(record: LocalizedRecord, locale: str, currency: str | None = None) -> LocalizedRecord:
    """Return the record with its texts in the nearest available locale.

    Settlements and protection reports do not name their currency: pass that of the build, or the amounts in their texts
    show none. The other records name it themselves.
    """
    localized: LocalizedRecord = _LOCALIZE[type(record)](record, localizer_for(locale, _currency(record) or currency))
    return localized


def _currency(record: LocalizedRecord) -> str | None:
    match record:
        case GapStatement():
            return record.estimate.currency
        case DocumentComparison():
            return record.estimates.currency if record.estimates else None
        case Assessment() | Settlements() | ProtectionReport() | ReceiptImport() | NumberSearch() | PlateReading():
            return None
        case _:
            return record.currency

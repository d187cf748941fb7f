"""Kept quotes as resources: the address of each operation, and what its caller must be allowed to do."""

from functools import partial

from hitchworth.model.change_order import ChangeOrder
from hitchworth.model.kept_quote import QuoteAcceptance
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.operations import accepted_quotes, builds, costs, kept_appraisals, kept_quotes, result_tables
from hitchworth.operations.kept_quotes import KEPT_QUOTES
from hitchworth.operations.renderings import AS_DOCUMENT, AS_JSON, AS_REPORT, AS_TABLE
from hitchworth.web import kept_documents
from hitchworth.web.kept_documents import Functions, Resource
from hitchworth.web.operation import Links, Operation

_read = partial(kept_documents.read, tag="Kept quotes")
_alter = partial(kept_documents.alter, tag="Kept quotes")
_add = partial(kept_documents.add, tag="Kept quotes")

_QUOTE = KEPT_QUOTES + "/{quote}"
_CHANGE_ORDER = _QUOTE + "/change-orders/{number}"

_SAME = {"quote": "$response.body#/id"}
_OF_QUOTE = {"quote": "$response.body#/quote"}
_ACCEPT = Links(given=_SAME, to=(accepted_quotes.accept_kept_quote, accepted_quotes.get_contract))
_CONTRACT = (accepted_quotes.get_contract, accepted_quotes.get_kept_quote_variance)

OPERATIONS: tuple[Operation, ...] = (
    *Resource(
        tag="Kept quotes",
        path=KEPT_QUOTES,
        parameter="quote",
        document=QuoteDocument,
        functions=Functions(
            create=kept_quotes.create_kept_quote,
            list_all=kept_quotes.list_kept_quotes,
            get=kept_quotes.get_kept_quote,
            replace=kept_quotes.replace_kept_quote,
            patch=kept_quotes.patch_kept_quote,
            trash=kept_quotes.trash_kept_quote,
            recover=kept_quotes.recover_kept_quote,
            list_revisions=kept_quotes.list_quote_revisions,
            get_revision=kept_quotes.get_quote_revision,
            restore_revision=kept_quotes.restore_quote_revision,
            verify=kept_quotes.verify_kept_quote,
        ),
        tables=result_tables.KEPT_QUOTES,
        revision_tables=result_tables.QUOTE_REVISIONS,
        examples=("kept-quote", "quote-patch"),
        onward=(_ACCEPT,),
    ).operations(),
    _add(
        path=_QUOTE + "/accept",
        function=accepted_quotes.accept_kept_quote,
        body=QuoteAcceptance,
        renderings=(AS_DOCUMENT,),
        links=(
            Links(
                given={"build": "$response.body#/id"},
                to=(builds.get_build, builds.patch_build, kept_appraisals.get_estimate),
            ),
            Links(given={"quote": "$request.path.quote"}, to=(*_CONTRACT, accepted_quotes.add_change_order)),
        ),
        example="quote-acceptance",
    ),
    _add(
        path=_QUOTE + "/change-orders",
        function=accepted_quotes.add_change_order,
        body=ChangeOrder,
        links=(
            Links(
                given=_OF_QUOTE | {"number": "$request.body#/number"},
                to=(
                    accepted_quotes.replace_change_order,
                    accepted_quotes.withdraw_change_order,
                    accepted_quotes.accept_change_order,
                ),
            ),
            Links(given=_OF_QUOTE, to=(accepted_quotes.get_contract,)),
        ),
        example="change-order",
    ),
    _alter(
        method="PUT",
        path=_CHANGE_ORDER,
        function=accepted_quotes.replace_change_order,
        body=ChangeOrder,
        links=(
            Links(
                given=_OF_QUOTE | {"number": "$request.path.number"},
                to=(accepted_quotes.withdraw_change_order, accepted_quotes.accept_change_order),
            ),
        ),
        example="change-order-2",
    ),
    _alter(
        method="DELETE",
        path=_CHANGE_ORDER,
        function=accepted_quotes.withdraw_change_order,
        links=(Links(given=_OF_QUOTE, to=(kept_quotes.get_kept_quote, accepted_quotes.get_contract)),),
    ),
    _alter(
        method="POST",
        path=_CHANGE_ORDER + "/accept",
        function=accepted_quotes.accept_change_order,
        body=QuoteAcceptance,
        renderings=(AS_DOCUMENT,),
        links=(Links(given=_SAME, to=(kept_quotes.get_kept_quote, *_CONTRACT)),),
        example="change-order-acceptance",
    ),
    _read(
        path=_QUOTE + "/contract",
        function=accepted_quotes.get_contract,
        cost=costs.unknown,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.CONTRACT,
    ),
    _read(
        path=_QUOTE + "/variance",
        function=accepted_quotes.get_kept_quote_variance,
        cost=costs.unknown,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.QUOTE_VARIANCE,
    ),
    _read(
        path=_QUOTE + "/reports/{report}",
        function=accepted_quotes.get_kept_quote_report,
        renderings=AS_REPORT,
        cost=costs.unknown,
    ),
)

"""Kept quotes as resources: the address of each operation, and what its caller must be allowed to do."""

from functools import partial
from typing import Any

from hitchworth.model.change_order import ChangeOrder
from hitchworth.model.kept import KeptBuild
from hitchworth.model.kept_quote import KeptQuote, QuoteAcceptance, QuoteRevision
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.operations import accepted_quotes, builds, costs, kept_appraisals, kept_quotes, result_tables
from hitchworth.operations.builds import BUILDS
from hitchworth.operations.kept_quotes import KEPT_QUOTES
from hitchworth.operations.renderings import AS_DOCUMENT, AS_JSON, AS_REPORT, AS_TABLE
from hitchworth.web.builds import next_page
from hitchworth.web.operation import MERGE_PATCH, Links, Operation


def _tag(result: KeptQuote | KeptBuild | QuoteRevision) -> str:
    return f'"{result.digest}"'


def _location(result: KeptQuote | KeptBuild | QuoteRevision) -> str:
    """The address of what was made: a quote, a revision of one, or the build that one became."""
    if isinstance(result, QuoteRevision):
        return f"{KEPT_QUOTES}/{result.quote}/revisions/{result.revision}"
    return f"{BUILDS if isinstance(result, KeptBuild) else KEPT_QUOTES}/{result.id}"


_kept = partial(Operation, tag="Kept quotes", waits=True)
_read = partial(_kept, method="GET", scope="read", cache="private")
_alter = partial(_kept, scope="write", headers={"ETag": _tag})
_add = partial(_kept, method="POST", scope="write", status=201, headers={"ETag": _tag, "Location": _location})

_QUOTE = KEPT_QUOTES + "/{quote}"
_CHANGE_ORDER = _QUOTE + "/change-orders/{number}"

_SAME = {"quote": "$response.body#/id"}
_OF_QUOTE = {"quote": "$response.body#/quote"}
_REVISION = _OF_QUOTE | {"revision": "$response.body#/revision"}
_ALTER = Links(
    given=_SAME, to=(kept_quotes.replace_kept_quote, kept_quotes.patch_kept_quote, kept_quotes.trash_kept_quote)
)
_READ_AGAIN = Links(
    given=_SAME, to=(kept_quotes.get_kept_quote, kept_quotes.list_quote_revisions, kept_quotes.verify_kept_quote)
)
_ACCEPT = Links(given=_SAME, to=(accepted_quotes.accept_kept_quote, accepted_quotes.get_contract))
_CONTRACT = (accepted_quotes.get_contract, accepted_quotes.get_kept_quote_variance)

OPERATIONS: tuple[Operation, ...] = (
    _add(
        path=KEPT_QUOTES,
        function=kept_quotes.create_kept_quote,
        body=QuoteDocument,
        renderings=(AS_DOCUMENT,),
        links=(_READ_AGAIN, _ALTER, _ACCEPT),
        example="kept-quote",
    ),
    _read(
        path=KEPT_QUOTES,
        function=kept_quotes.list_kept_quotes,
        headers={"Link": next_page},
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.KEPT_QUOTES,
    ),
    _read(
        path=_QUOTE,
        function=kept_quotes.get_kept_quote,
        renderings=(AS_DOCUMENT,),
        headers={"ETag": _tag},
        links=(_ALTER, _ACCEPT),
    ),
    _alter(
        method="PUT",
        path=_QUOTE,
        function=kept_quotes.replace_kept_quote,
        body=QuoteDocument,
        renderings=(AS_DOCUMENT,),
        links=(_READ_AGAIN, _ALTER),
        example="kept-quote",
    ),
    _alter(
        method="PATCH",
        path=_QUOTE,
        function=kept_quotes.patch_kept_quote,
        body=dict[str, Any],
        media_type=MERGE_PATCH,
        renderings=(AS_DOCUMENT,),
        links=(_READ_AGAIN, _ALTER),
        example="quote-patch",
    ),
    _alter(
        method="DELETE",
        path=_QUOTE,
        function=kept_quotes.trash_kept_quote,
        links=(
            Links(given=_OF_QUOTE, to=(kept_quotes.recover_kept_quote, kept_quotes.get_kept_quote)),
            Links(given=_REVISION, to=(kept_quotes.get_quote_revision,)),
        ),
    ),
    _alter(
        method="POST",
        path=_QUOTE + "/recover",
        function=kept_quotes.recover_kept_quote,
        links=(
            Links(
                given=_OF_QUOTE,
                to=(kept_quotes.get_kept_quote, kept_quotes.patch_kept_quote, kept_quotes.trash_kept_quote),
            ),
        ),
    ),
    _read(path=_QUOTE + "/revisions", function=kept_quotes.list_quote_revisions, headers={"Link": next_page}),
    _read(
        path=_QUOTE + "/revisions/{revision}",
        function=kept_quotes.get_quote_revision,
        renderings=(AS_DOCUMENT,),
        headers={"ETag": _tag},
    ),
    _add(
        path=_QUOTE + "/revisions/{revision}/restore",
        function=kept_quotes.restore_quote_revision,
        links=(
            Links(given=_OF_QUOTE, to=(kept_quotes.get_kept_quote, kept_quotes.patch_kept_quote)),
            Links(given=_REVISION, to=(kept_quotes.get_quote_revision,)),
        ),
    ),
    _read(path=_QUOTE + "/verify", function=kept_quotes.verify_kept_quote),
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

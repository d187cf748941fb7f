"""What kept builds and kept quotes have in common as resources: made, listed, read, changed, trashed and restored."""

from collections.abc import Callable
from functools import partial
from typing import Any, TypeAlias

from msgspec import Struct

from hitchworth.model.document import Document
from hitchworth.model.kept import KeptBuild, Revision
from hitchworth.model.kept_quote import KeptQuote, QuoteRevision
from hitchworth.operations.builds import BUILDS
from hitchworth.operations.kept_quotes import KEPT_QUOTES
from hitchworth.operations.renderings import AS_DOCUMENT, AS_JSON, AS_TABLE
from hitchworth.operations.tables import ResultTable
from hitchworth.web.operation import MERGE_PATCH, Links, Operation

Kept: TypeAlias = KeptBuild | Revision | KeptQuote | QuoteRevision
Function: TypeAlias = Callable[..., Any]


def _tag(result: Kept) -> str:
    return f'"{result.digest}"'


def _location(result: Kept) -> str:
    """The address of what was made: a build, a quote, or a revision of one."""
    match result:
        case Revision():
            return f"{BUILDS}/{result.build}/revisions/{result.revision}"
        case QuoteRevision():
            return f"{KEPT_QUOTES}/{result.quote}/revisions/{result.revision}"
        case KeptBuild():
            return f"{BUILDS}/{result.id}"
        case KeptQuote():
            return f"{KEPT_QUOTES}/{result.id}"


def next_page(page: Any) -> str | None:
    """Return the header Link of a page of a list; None for the last."""
    return None if page.next is None else f'<{page.next}>; rel="next"'


_kept = partial(Operation, waits=True)
read = partial(_kept, method="GET", scope="read", cache="private")
alter = partial(_kept, scope="write", headers={"ETag": _tag})
add = partial(_kept, method="POST", scope="write", status=201, headers={"ETag": _tag, "Location": _location})


class Functions(Struct, frozen=True, kw_only=True):
    """What can be done with one kind of document."""

    create: Function
    list_all: Function
    get: Function
    replace: Function
    patch: Function
    trash: Function
    recover: Function
    list_revisions: Function
    get_revision: Function
    restore_revision: Function
    verify: Function


class Resource(Struct, frozen=True, kw_only=True):
    """One kind of kept document as a resource."""

    tag: str
    path: str
    """The address of their list."""
    parameter: str
    """What the path to one calls it, and the answers that name it."""
    document: type[Document]
    functions: Functions
    tables: tuple[ResultTable, ...]
    """Of their list."""
    revision_tables: tuple[ResultTable, ...]
    examples: tuple[str, str]
    """Of a document, and of a merge patch."""
    onward: tuple[Links, ...]
    """What can follow when a document is there."""

    def operations(self) -> tuple[Operation, ...]:
        """Return the operations on the list, on one document, and on its revisions."""
        run, at = self.functions, f"{self.path}/{{{self.parameter}}}"
        same, named = {self.parameter: "$response.body#/id"}, {self.parameter: f"$response.body#/{self.parameter}"}
        read_again = Links(given=same, to=(run.get, run.list_revisions, run.verify))
        change_it = Links(given=same, to=(run.replace, run.patch, run.trash))
        to_revision = Links(given=named | {"revision": "$response.body#/revision"}, to=(run.get_revision,))
        read_document = partial(read, tag=self.tag, renderings=(AS_DOCUMENT,), headers={"ETag": _tag})
        lists = partial(read, tag=self.tag, headers={"Link": next_page}, renderings=(AS_JSON, *AS_TABLE))
        changed = partial(alter, tag=self.tag, renderings=(AS_DOCUMENT,), links=(read_again, change_it))
        return (
            add(
                tag=self.tag,
                path=self.path,
                function=run.create,
                body=self.document,
                renderings=(AS_DOCUMENT,),
                links=(read_again, change_it, *self.onward),
                example=self.examples[0],
            ),
            lists(path=self.path, function=run.list_all, tables=self.tables),
            read_document(path=at, function=run.get, links=(change_it, *self.onward)),
            changed(method="PUT", path=at, function=run.replace, body=self.document, example=self.examples[0]),
            changed(
                method="PATCH",
                path=at,
                function=run.patch,
                body=dict[str, Any],
                media_type=MERGE_PATCH,
                example=self.examples[1],
            ),
            alter(
                tag=self.tag,
                method="DELETE",
                path=at,
                function=run.trash,
                links=(Links(given=named, to=(run.recover, run.get)), to_revision),
            ),
            alter(
                tag=self.tag,
                method="POST",
                path=f"{at}/recover",
                function=run.recover,
                links=(Links(given=named, to=(run.get, run.patch, run.trash)),),
            ),
            lists(path=f"{at}/revisions", function=run.list_revisions, tables=self.revision_tables),
            read_document(path=f"{at}/revisions/{{revision}}", function=run.get_revision),
            add(
                tag=self.tag,
                path=f"{at}/revisions/{{revision}}/restore",
                function=run.restore_revision,
                links=(Links(given=named, to=(run.get, run.patch)), to_revision),
            ),
            read(tag=self.tag, path=f"{at}/verify", function=run.verify),
        )

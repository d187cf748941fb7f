"""Kept builds as resources: the address of each operation, and what its caller must be allowed to do."""

from functools import partial
from typing import Any

from hitchworth.model.document import Document
from hitchworth.model.kept import KeptBuild, Revision
from hitchworth.operations import builds, result_tables, revisions
from hitchworth.operations.builds import BUILDS
from hitchworth.operations.renderings import AS_DOCUMENT, AS_JSON, AS_TABLE
from hitchworth.web.operation import MERGE_PATCH, Operation


def _tag(result: KeptBuild | Revision) -> str:
    return f'"{result.digest}"'


def _location(result: KeptBuild | Revision) -> str:
    """The address of what was made: a build, or a revision of one."""
    if isinstance(result, Revision):
        return f"{BUILDS}/{result.build}/revisions/{result.revision}"
    return f"{BUILDS}/{result.id}"


def next_page(page: Any) -> str | None:
    """Return the header Link of a page of a list; None for the last."""
    return None if page.next is None else f'<{page.next}>; rel="next"'


_kept = partial(Operation, tag="Kept builds", waits=True)
read = partial(_kept, method="GET", scope="read", cache="private")
alter = partial(_kept, scope="write", headers={"ETag": _tag})
add = partial(_kept, method="POST", scope="write", status=201, headers={"ETag": _tag, "Location": _location})

BUILD = BUILDS + "/{build}"

OPERATIONS: tuple[Operation, ...] = (
    add(path=BUILDS, function=builds.create_build, body=Document, renderings=(AS_DOCUMENT,), example="kept-build"),
    read(
        path=BUILDS,
        function=builds.list_builds,
        headers={"Link": next_page},
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.BUILDS,
    ),
    read(path=BUILD, function=builds.get_build, renderings=(AS_DOCUMENT,), headers={"ETag": _tag}),
    alter(
        method="PUT",
        path=BUILD,
        function=builds.replace_build,
        body=Document,
        renderings=(AS_DOCUMENT,),
        example="kept-build",
    ),
    alter(
        method="PATCH",
        path=BUILD,
        function=builds.patch_build,
        body=dict[str, Any],
        media_type=MERGE_PATCH,
        renderings=(AS_DOCUMENT,),
        example="merge-patch",
    ),
    alter(method="DELETE", path=BUILD, function=builds.trash_build),
    alter(method="POST", path=BUILD + "/recover", function=builds.recover_build),
    read(
        path=BUILD + "/revisions",
        function=revisions.list_revisions,
        headers={"Link": next_page},
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.REVISIONS,
    ),
    read(
        path=BUILD + "/revisions/{revision}",
        function=revisions.get_revision,
        renderings=(AS_DOCUMENT,),
        headers={"ETag": _tag},
    ),
    add(path=BUILD + "/revisions/{revision}/restore", function=revisions.restore_revision),
    read(path=BUILD + "/verify", function=revisions.verify_build),
)

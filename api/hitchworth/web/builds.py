"""Kept builds as resources: the address of each operation, and what its caller must be allowed to do."""

from functools import partial
from typing import Any

from hitchworth.model.document import Document
from hitchworth.model.kept import KeptBuild, Revision
from hitchworth.operations import (
    build_parts,
    builds,
    evidence,
    kept_appraisals,
    kept_reports,
    result_tables,
    revisions,
    shares,
)
from hitchworth.operations.builds import BUILDS
from hitchworth.operations.renderings import AS_DOCUMENT, AS_JSON, AS_TABLE
from hitchworth.web.operation import MERGE_PATCH, Links, Operation


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

OF_BUILD = {"build": "$response.body#/build"}
"""The build, after an operation whose answer names it: a revision of it, or a part."""
_SAME = {"build": "$response.body#/id"}
_REVISION = OF_BUILD | {"revision": "$response.body#/revision"}
_ALTER = Links(given=_SAME, to=(builds.replace_build, builds.patch_build, builds.trash_build))
_READ_AGAIN = Links(given=_SAME, to=(builds.get_build, revisions.list_revisions, revisions.verify_build))
_ADD = Links(
    given=_SAME,
    to=(
        build_parts.add_component,
        build_parts.add_labor,
        build_parts.add_policy,
        build_parts.add_loss,
        build_parts.add_answer,
        build_parts.set_fact,
        evidence.add_evidence,
        shares.create_share,
    ),
)
_COMPUTE = Links(
    given=_SAME,
    to=(
        kept_appraisals.get_estimate,
        kept_appraisals.get_classification,
        kept_appraisals.get_settlements,
        kept_appraisals.get_gap_statement,
        kept_appraisals.get_documentation_score,
        kept_reports.get_conversation_sheet,
    ),
)

OPERATIONS: tuple[Operation, ...] = (
    add(
        path=BUILDS,
        function=builds.create_build,
        body=Document,
        renderings=(AS_DOCUMENT,),
        links=(_READ_AGAIN, _ALTER, _ADD, _COMPUTE),
        example="kept-build",
    ),
    read(
        path=BUILDS,
        function=builds.list_builds,
        headers={"Link": next_page},
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.BUILDS,
    ),
    read(
        path=BUILD,
        function=builds.get_build,
        renderings=(AS_DOCUMENT,),
        headers={"ETag": _tag},
        links=(_ALTER, _ADD, _COMPUTE),
    ),
    alter(
        method="PUT",
        path=BUILD,
        function=builds.replace_build,
        body=Document,
        renderings=(AS_DOCUMENT,),
        links=(_READ_AGAIN, _ALTER),
        example="kept-build",
    ),
    alter(
        method="PATCH",
        path=BUILD,
        function=builds.patch_build,
        body=dict[str, Any],
        media_type=MERGE_PATCH,
        renderings=(AS_DOCUMENT,),
        links=(_READ_AGAIN, _ALTER),
        example="merge-patch",
    ),
    alter(
        method="DELETE",
        path=BUILD,
        function=builds.trash_build,
        links=(
            Links(given=OF_BUILD, to=(builds.recover_build, builds.get_build)),
            Links(given=_REVISION, to=(revisions.get_revision,)),
        ),
    ),
    alter(
        method="POST",
        path=BUILD + "/recover",
        function=builds.recover_build,
        links=(Links(given=OF_BUILD, to=(builds.get_build, builds.patch_build, builds.trash_build)),),
    ),
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
    add(
        path=BUILD + "/revisions/{revision}/restore",
        function=revisions.restore_revision,
        links=(
            Links(given=OF_BUILD, to=(builds.get_build, builds.patch_build)),
            Links(given=_REVISION, to=(revisions.get_revision,)),
        ),
    ),
    read(path=BUILD + "/verify", function=revisions.verify_build),
)

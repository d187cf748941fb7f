"""Kept builds as resources: the address of each operation, and what its caller must be allowed to do."""

from functools import partial

from hitchworth.model.document import Document
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
from hitchworth.web import kept_documents
from hitchworth.web.kept_documents import Functions, Resource
from hitchworth.web.operation import Links, Operation

read = partial(kept_documents.read, tag="Kept builds")
alter = partial(kept_documents.alter, tag="Kept builds")
add = partial(kept_documents.add, tag="Kept builds")

BUILD = BUILDS + "/{build}"

OF_BUILD = {"build": "$response.body#/build"}
"""The build, after an operation whose answer names it: a revision of it, or a part."""
_SAME = {"build": "$response.body#/id"}
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

OPERATIONS: tuple[Operation, ...] = Resource(
    tag="Kept builds",
    path=BUILDS,
    parameter="build",
    document=Document,
    functions=Functions(
        create=builds.create_build,
        list_all=builds.list_builds,
        get=builds.get_build,
        replace=builds.replace_build,
        patch=builds.patch_build,
        trash=builds.trash_build,
        recover=builds.recover_build,
        list_revisions=revisions.list_revisions,
        get_revision=revisions.get_revision,
        restore_revision=revisions.restore_revision,
        verify=revisions.verify_build,
    ),
    tables=result_tables.BUILDS,
    revision_tables=result_tables.REVISIONS,
    examples=("kept-build", "merge-patch"),
    onward=(_ADD, _COMPUTE),
).operations()

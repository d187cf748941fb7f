"""Evidence of kept builds as resources: the files, what is known of them, and their thumbnails."""

from functools import partial
from typing import Any, get_args

from hitchworth.model.evidence import EvidenceMediaType
from hitchworth.model.kept import AddedEvidence
from hitchworth.operations import builds, costs, evidence, plate_readings
from hitchworth.operations.renderings import AS_FILE, AS_THUMBNAIL
from hitchworth.web.builds import BUILD, OF_BUILD, add, alter, read
from hitchworth.web.operation import MERGE_PATCH, Links, Operation
from hitchworth.web.workspace_access import SHARED_BUILD, shared

_EVIDENCE = BUILD + "/evidence"
_ONE = _EVIDENCE + "/{evidence}"
_SHARED = SHARED_BUILD + "/evidence"
_add, _read, _alter = (partial(how, tag="Evidence") for how in (add, read, alter))


def _location(added: AddedEvidence) -> str:
    return f"{_EVIDENCE.format(build=added.build)}/{added.id}"


OPERATIONS: tuple[Operation, ...] = (
    _add(
        path=_EVIDENCE,
        function=evidence.add_evidence,
        files=get_args(EvidenceMediaType),
        example="plate.jpg",
        headers={"ETag": lambda added: f'"{added.digest}"', "Location": _location},
        is_repeated=lambda added: added.duplicate_of is not None,
        links=(
            Links(
                given=OF_BUILD | {"evidence": "$response.body#/id"},
                to=(
                    evidence.get_evidence,
                    evidence.change_evidence,
                    evidence.remove_evidence,
                    evidence.get_evidence_file,
                    evidence.get_evidence_thumbnail,
                    plate_readings.get_plate_reading,
                ),
            ),
            Links(given=OF_BUILD, to=(evidence.list_evidence,)),
        ),
    ),
    _read(path=_EVIDENCE, function=evidence.list_evidence),
    _read(path=_ONE, function=evidence.get_evidence),
    _alter(
        method="PATCH",
        path=_ONE,
        function=evidence.change_evidence,
        body=dict[str, Any],
        media_type=MERGE_PATCH,
        links=(
            Links(
                given=OF_BUILD | {"evidence": "$request.path.evidence"},
                to=(evidence.get_evidence, evidence.remove_evidence),
            ),
        ),
        example="evidence-patch",
    ),
    _alter(
        method="DELETE",
        path=_ONE,
        function=evidence.remove_evidence,
        links=(Links(given=OF_BUILD, to=(evidence.list_evidence, builds.get_build)),),
    ),
    _read(path=_ONE + "/file", function=evidence.get_evidence_file, renderings=AS_FILE),
    _read(path=_ONE + "/thumbnail", function=evidence.get_evidence_thumbnail, renderings=AS_THUMBNAIL),
    _read(path=_ONE + "/reading", function=plate_readings.get_plate_reading, cost=costs.unknown),
    shared(path=_SHARED, function=evidence.list_shared_evidence),
    shared(path=_SHARED + "/{evidence}/file", function=evidence.get_shared_evidence_file, renderings=AS_FILE),
    shared(
        path=_SHARED + "/{evidence}/thumbnail",
        function=evidence.get_shared_evidence_thumbnail,
        renderings=AS_THUMBNAIL,
    ),
)

"""Claim packs of kept builds, with the files of their evidence.

The docstrings of the functions are the descriptions of the API.
"""

from functools import partial
from typing import IO

from hitchworth.model.caller import Caller
from hitchworth.model.evidence import Evidence
from hitchworth.model.request import GapRequest
from hitchworth.operations.builds import BuildParameter
from hitchworth.operations.claim_packs import (
    ClaimChoice,
    Handover,
    LeftOutError,
    PackOrder,
    WrittenPack,
    claim_pack_file,
    write_claim_pack,
)
from hitchworth.operations.documents import read_kept, request_at
from hitchworth.operations.evidence import FileContent
from hitchworth.operations.kept_appraisals import Version
from hitchworth.store import Store
from hitchworth.store.errors import DamagedFileError, LostFileError, NotKeptError


def get_claim_pack(
    store: Store, caller: Caller, build: BuildParameter, *, version: Version, claim: ClaimChoice, handover: Handover
) -> FileContent:
    """Make the claim pack for a loss of a kept build, with its evidence.

    As POST /v1/claim-packs does for its document, and with the files of evidence, each checked against its hash on the
    way. A file that is missing or was altered is a problem that names it, unless `allow_missing` is set. The papers
    name the revision. The same revision on the same day gives the same bytes. Range and If-Range are understood.
    """
    return claim_pack_file(_order(store, caller, build, version=version, claim=claim, handover=handover))


def write_kept_claim_pack(
    file: IO[bytes],
    store: Store,
    caller: Caller,
    build: str,
    *,
    version: Version,
    claim: ClaimChoice,
    handover: Handover,
) -> WrittenPack:
    """Write the claim pack of a kept build into a file, as `write_claim_pack` does. Raises StoreError as well."""
    return write_claim_pack(file, _order(store, caller, build, version=version, claim=claim, handover=handover))


def _order(
    store: Store, caller: Caller, build: str, *, version: Version, claim: ClaimChoice, handover: Handover
) -> PackOrder:
    kept = store.builds.read(caller.workspace, build, version.revision)[1]
    return PackOrder(
        request=request_at(read_kept(kept), GapRequest, version.as_of),
        claim=claim,
        source=partial(_open, store, caller),
        handover=handover,
        kept=kept.revision,
    )


def _open(store: Store, caller: Caller, entry: Evidence) -> IO[bytes]:
    """Open the file of an entry. Raises LeftOutError, and StoreError when the files cannot be reached."""
    try:
        return store.evidence.open(caller.workspace, entry.sha256)
    except (NotKeptError, LostFileError):
        raise LeftOutError("missing") from None
    except DamagedFileError:
        raise LeftOutError("altered") from None

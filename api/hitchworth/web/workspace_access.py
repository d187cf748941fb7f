"""Keys, share links, the log and the workspace as resources, and what is read through a share link."""

from functools import partial
from typing import Any

from hitchworth.model.access import KeyRequest, KeyRotation, NewKey, ShareRequest
from hitchworth.operations import costs, keys, result_tables, shares, workspaces
from hitchworth.operations.renderings import AS_JSON, AS_REPORT, AS_TABLE, AS_ZIP
from hitchworth.operations.workspaces import ACCESS_LOG
from hitchworth.web.builds import BUILD, OF_BUILD
from hitchworth.web.kept_documents import next_page
from hitchworth.web.operation import Links, Operation

_KEYS = "/v1/keys"
_SHARES = BUILD + "/shares"
SHARED_BUILD = f"{shares.SHARED}/{{link}}"


def _location(key: NewKey) -> str:
    return f"{_KEYS}/{key.id}"


def _private(_: Any) -> str:
    """Pages that a share link leads to do not tell others its address."""
    return "no-referrer"


_administer = partial(Operation, tag="Access", scope="admin", waits=True)
_share = partial(Operation, tag="Access", scope="write", waits=True)
shared = partial(Operation, method="GET", tag="Shared builds", waits=True, headers={"Referrer-Policy": _private})

_KEY = Links(given={"key": "$response.body#/id"}, to=(keys.rotate_key, keys.revoke_key))

OPERATIONS: tuple[Operation, ...] = (
    _administer(
        method="POST",
        path=_KEYS,
        function=keys.create_key,
        body=KeyRequest,
        status=201,
        headers={"Location": _location},
        links=(_KEY,),
        example="key",
    ),
    _administer(method="GET", path=_KEYS, function=keys.list_keys),
    _administer(
        method="POST",
        path=_KEYS + "/{key}/rotate",
        function=keys.rotate_key,
        body=KeyRotation,
        status=201,
        headers={"Location": _location},
        further_statuses=(409,),
        links=(_KEY,),
        example="key-rotation",
    ),
    _administer(method="DELETE", path=_KEYS + "/{key}", function=keys.revoke_key),
    _share(
        method="POST",
        path=_SHARES,
        function=shares.create_share,
        body=ShareRequest,
        status=201,
        links=(
            Links(given=OF_BUILD | {"share": "$response.body#/id"}, to=(shares.revoke_share,)),
            Links(given=OF_BUILD, to=(shares.list_shares,)),
        ),
        example="share",
    ),
    _share(method="GET", path=_SHARES, function=shares.list_shares),
    _share(method="DELETE", path=_SHARES + "/{share}", function=shares.revoke_share),
    _administer(
        method="GET",
        path=ACCESS_LOG,
        function=workspaces.list_access,
        headers={"Link": next_page},
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.ACCESS_LOG,
    ),
    _administer(method="GET", path="/v1/workspace", function=workspaces.get_workspace),
    _administer(
        method="GET",
        path="/v1/workspace/export",
        function=workspaces.export_workspace,
        renderings=(AS_ZIP,),
        further_statuses=(507,),
    ),
    _administer(method="DELETE", path="/v1/workspace", function=workspaces.delete_workspace, further_statuses=(409,)),
    shared(path=SHARED_BUILD, function=shares.get_shared_build),
    shared(
        path=SHARED_BUILD + "/estimate",
        function=shares.get_shared_estimate,
        cost=costs.unknown,
        renderings=(AS_JSON, *AS_TABLE),
        tables=result_tables.ESTIMATE,
    ),
    shared(
        path=SHARED_BUILD + "/reports/{report}",
        function=shares.get_shared_report,
        renderings=AS_REPORT,
        cost=costs.unknown,
    ),
)

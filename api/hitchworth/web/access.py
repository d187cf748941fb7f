"""Who asks, and where what is kept lies."""

from hitchworth.model.caller import LOCAL_CALLER, Caller, Scope
from hitchworth.store import Store
from hitchworth.web import problems
from hitchworth.web.http import HTTPRequest
from hitchworth.web.problems import RequestError


def caller_of(_request: HTTPRequest, _scope: Scope | None) -> Caller:
    """Return who asks."""
    return LOCAL_CALLER


def store_of(request: HTTPRequest) -> Store:
    """Return the store of the application. Raises RequestError where it has none."""
    store = request.app.state.get("store")
    if store is None:
        raise RequestError(problems.NO_DATABASE, problems.NO_DATABASE.description)
    assert isinstance(store, Store)
    return store

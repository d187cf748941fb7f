"""JSON Merge Patch (RFC 7396): what a patch names is replaced, what it names as null is removed."""

from collections.abc import Callable
from typing import Any

from hitchworth import validation
from hitchworth.model.fault import Fault


def patch_of(request: bytes) -> Callable[[bytes], bytes]:
    """Return what the patch in a request makes of the JSON of a document. Raises InvalidInputError for no object."""
    patch = validation.read_json(request)
    if not isinstance(patch, dict):
        fault = Fault(pointer="", detail="Expected an object", expected="an object, the patch of the document")
        raise validation.InvalidInputError([fault])
    return lambda body: validation.write_json(merged(validation.read_json(body), patch))


def merged(target: Any, patch: Any) -> Any:
    """Return a JSON value with a patch applied. Neither is altered."""
    if not isinstance(patch, dict):
        return patch
    result = dict(target) if isinstance(target, dict) else {}
    for name, value in patch.items():
        if value is None:
            result.pop(name, None)
        else:
            result[name] = merged(result.get(name), value)
    return result

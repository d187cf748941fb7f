"""JSON Merge Patch (RFC 7396): what a patch names is replaced, what it names as null is removed."""

from typing import Any


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

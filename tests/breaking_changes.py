"""What breaks a caller between two descriptions of the API: of a release, and of now.

Within version 1, operations, parameters that may be left out, fields and codes of answers are added; what is there
stays. A request that was right stays right; what a caller read in an answer, it reads in the next.
"""

from collections.abc import Iterator, Mapping
from typing import Any, Literal

Direction = Literal["request", "answer"]
"""Which way a schema goes: what is widened in a request is narrowed in an answer."""

_METHODS = ("get", "put", "post", "delete", "patch")


def breaking_changes(before: Any, after: Any) -> list[str]:
    """Return a line for each change that breaks a caller, with its place. Empty: every caller goes on."""
    return sorted(set(_operations(before, after)))


def _operations(before: Any, after: Any) -> Iterator[str]:
    for path, item in before["paths"].items():
        for method in (method for method in _METHODS if method in item):
            name = f"{method.upper()} {path}"
            now = after["paths"].get(path, {}).get(method)
            if now is None:
                yield f"{name}: removed"
                continue
            if now["operationId"] != item[method]["operationId"]:
                yield f"{name}: operationId renamed"
            yield from _Comparison(before, after).operation(name, item[method], now)


class _Comparison:
    """Two operations, with the documents to which their references lead."""

    def __init__(self, before: Any, after: Any) -> None:
        self._before = before
        self._after = after
        self._seen: set[tuple[str, str, Direction]] = set()

    def operation(self, name: str, before: Any, after: Any) -> Iterator[str]:
        yield from self._parameters(name, before, after)
        yield from self._body(name, before.get("requestBody"), after.get("requestBody"))
        for status, answer in before["responses"].items():
            if not status.startswith("2"):
                continue
            now = self._now(after["responses"].get(status))
            if now is None:
                yield f"{name} {status}: removed"
                continue
            was = self._was(answer)
            yield from (
                f"{name} {status}: no header {header}"
                for header in was.get("headers", {}).keys() - now.get("headers", {}).keys()
            )
            for kind, media in was.get("content", {}).items():
                if kind not in now.get("content", {}):
                    yield f"{name} {status}: no longer as {kind}"
                else:
                    yield from self.schema(
                        f"{name} {status}", media["schema"], now["content"][kind]["schema"], "answer"
                    )

    def _parameters(self, name: str, before: Any, after: Any) -> Iterator[str]:
        was = {(each["in"], each["name"]): each for each in before.get("parameters", ())}
        now = {(each["in"], each["name"]): each for each in after.get("parameters", ())}
        for place, parameter in was.items():
            where = f"{name} ?{place[1]}"
            if place not in now:
                yield f"{where}: removed"
            elif now[place].get("required") and not parameter.get("required"):
                yield f"{where}: now required"
            elif "schema" in parameter and "schema" in now[place]:
                yield from self.schema(where, parameter["schema"], now[place]["schema"], "request")
        yield from (
            f"{name} ?{place[1]}: new and required"
            for place, each in now.items()
            if place not in was and each.get("required")
        )

    def _body(self, name: str, before: Any, after: Any) -> Iterator[str]:
        if after is None:
            if before is not None:
                yield f"{name} body: no longer taken"
            return
        if before is None:
            if after.get("required"):
                yield f"{name} body: now required"
            return
        for kind, media in before["content"].items():
            if kind not in after["content"]:
                yield f"{name} body: no longer as {kind}"
            else:
                yield from self.schema(f"{name} body", media["schema"], after["content"][kind]["schema"], "request")

    def schema(self, where: str, before: Any, after: Any, direction: Direction) -> Iterator[str]:
        """Yield what is narrower in a request, or missing or wider in an answer."""
        names = (before.get("$ref", ""), after.get("$ref", ""), direction)
        if names[0] and names in self._seen:
            return
        self._seen.add(names)
        before, after = self._was(before), self._now(after)
        if direction == "request":
            yield from self._narrowed(where, before, after)
        else:
            yield from self._narrowed(where, after, before, "may now be")
        yield from self._fields(where, before, after, direction)
        if isinstance(before.get("items"), Mapping) and isinstance(after.get("items"), Mapping):
            yield from self.schema(f"{where}[]", before["items"], after["items"], direction)
        yield from self._members(where, before, after, direction)

    def _fields(self, where: str, before: Any, after: Any, direction: Direction) -> Iterator[str]:
        was, now = before.get("properties", {}), after.get("properties", {})
        if was and not now and "anyOf" not in after:
            yield f"{where}: no longer has fields"
            return
        for field, schema in was.items():
            if field in now:
                yield from self.schema(f"{where}.{field}", schema, now[field], direction)
            elif now:
                yield f"{where}.{field}: removed"
        required, required_now = set(before.get("required", ())), set(after.get("required", ()))
        if direction == "request":
            yield from (f"{where}.{field}: now required" for field in required_now - required)
        elif now:
            yield from (f"{where}.{field}: may now be missing" for field in required - required_now)

    @staticmethod
    def _narrowed(where: str, wide: Any, narrow: Any, says: str = "no longer takes") -> Iterator[str]:
        """Yield the types and values of the first schema that the second does not have."""
        types, fewer = _types(wide), _types(narrow)
        if types and fewer:
            lost = {each for each in types - fewer if not (each == "integer" and "number" in fewer)}
            yield from (f"{where}: {says} {each}" for each in lost)
        if "enum" in narrow and says == "no longer takes":  # new codes in answers are added at any time
            values = wide.get("enum")
            lost_values = [value for value in values if value not in narrow["enum"]] if values else ["any text"]
            yield from (f"{where}: {says} {value}" for value in lost_values)

    def _members(self, where: str, before: Any, after: Any, direction: Direction) -> Iterator[str]:
        """Compare the members of a union: by the name of their record or by their type."""
        was = {_key(each): each for each in before.get("anyOf", ())}
        now = {_key(each): each for each in after.get("anyOf", (after,))}
        if not was:
            return
        for key, member in was.items():
            if key in now:
                yield from self.schema(where, member, now[key], direction)
            elif direction == "request":
                yield f"{where}: no longer takes {key}"
        if direction == "answer":
            yield from (f"{where}: may now be {key}" for key in now.keys() - was.keys())

    def _was(self, part: Any) -> Any:
        return _resolved(part, self._before)

    def _now(self, part: Any) -> Any:
        return _resolved(part, self._after)


def _types(schema: Any) -> set[str]:
    kind = schema.get("type", ())
    return {kind} if isinstance(kind, str) else set(kind)


def _key(schema: Any) -> str:
    return str(schema.get("$ref", "").rpartition("/")[2] or schema.get("type", "any"))


def _resolved(part: Any, document: Any) -> Any:
    while isinstance(part, Mapping) and "$ref" in part:
        found: Any = document
        for step in part["$ref"].split("/")[1:]:
            found = found[step.replace("~1", "/")]
        part = found
    return part

"""The parts of kept builds as resources: added at the address of their list, the rest at their own."""

from collections.abc import Callable
from functools import partial
from typing import Any

from hitchworth.model.answer import Answer
from hitchworth.model.build import FactValue
from hitchworth.model.entry import Component, Labor
from hitchworth.model.loss import Loss
from hitchworth.model.policy import Policy
from hitchworth.operations import build_parts, builds
from hitchworth.operations.parts import Parts
from hitchworth.web.builds import BUILD, OF_BUILD, add, alter, read
from hitchworth.web.operation import Links, Operation

_alter_part = partial(alter, takes_rest=True)
_BUILD = Links(given=OF_BUILD, to=(builds.get_build,))


def _parts(
    parts: Parts,
    parameter: str,
    kind: Any,
    functions: tuple[Callable[..., Any], ...],
    examples: tuple[str, str],
) -> tuple[Operation, ...]:
    """Return the operations on a list: to add to it, and to read, replace and remove one of its items.

    An item without a key has its place for an address, which is not known when it is added: no link leads to it.
    """
    path, (added, got, replaced, removed) = f"{BUILD}/{parts.name}", functions
    item = f"{path}/{{{parameter}}}"
    added_item = OF_BUILD | {parameter: f"$request.body#/{parts.key}"}
    same = OF_BUILD | {parameter: f"$request.path.{parameter}"}
    return (
        add(
            path=path,
            function=added,
            body=kind,
            links=(_BUILD, *([Links(given=added_item, to=(got, replaced, removed))] if parts.key else ())),
            example=examples[0],
        ),
        read(path=item, function=got, takes_rest=True),
        _alter_part(
            method="PUT",
            path=item,
            function=replaced,
            body=kind,
            links=(_BUILD, Links(given=same, to=(got, removed))),
            example=examples[1],
        ),
        _alter_part(method="DELETE", path=item, function=removed, links=(_BUILD, Links(given=OF_BUILD, to=(added,)))),
    )


OPERATIONS: tuple[Operation, ...] = (
    *_parts(
        build_parts.COMPONENTS,
        "component",
        Component,
        (
            build_parts.add_component,
            build_parts.get_component,
            build_parts.replace_component,
            build_parts.remove_component,
        ),
        examples=("component", "stove"),
    ),
    *_parts(
        build_parts.LABOR,
        "entry",
        Labor,
        (build_parts.add_labor, build_parts.get_labor, build_parts.replace_labor, build_parts.remove_labor),
        examples=("labor", "body-work"),
    ),
    *_parts(
        build_parts.POLICIES,
        "policy",
        Policy,
        (build_parts.add_policy, build_parts.get_policy, build_parts.replace_policy, build_parts.remove_policy),
        examples=("policy", "agreed-value"),
    ),
    *_parts(
        build_parts.LOSSES,
        "loss",
        Loss,
        (build_parts.add_loss, build_parts.get_loss, build_parts.replace_loss, build_parts.remove_loss),
        examples=("loss", "hail"),
    ),
    *_parts(
        build_parts.ANSWERS,
        "number",
        Answer,
        (build_parts.add_answer, build_parts.get_answer, build_parts.replace_answer, build_parts.remove_answer),
        examples=("answer", "answer-0"),
    ),
    _alter_part(
        method="PUT",
        path=BUILD + "/facts/{fact}",
        function=build_parts.set_fact,
        body=FactValue,
        links=(_BUILD, Links(given=OF_BUILD | {"fact": "$request.path.fact"}, to=(build_parts.remove_fact,))),
        example="fact",
    ),
    _alter_part(method="DELETE", path=BUILD + "/facts/{fact}", function=build_parts.remove_fact, links=(_BUILD,)),
)

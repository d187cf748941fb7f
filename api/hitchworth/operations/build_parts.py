"""Single parts of a kept build: added, read, replaced and removed, each by its own address, without the whole.

Components and labor entries are addressed by their id, policies and losses by their name, facts by their name, and
answers by their place in the list, which is counted from 0. The docstrings of the functions are the descriptions of the
API.
"""

from typing import Annotated, TypeAlias

from msgspec import Meta

from hitchworth import validation
from hitchworth.model.answer import Answer
from hitchworth.model.caller import Caller
from hitchworth.model.entry import Component, Labor
from hitchworth.model.kept import Revision
from hitchworth.model.loss import Loss
from hitchworth.model.policy import Policy
from hitchworth.operations.builds import BuildParameter
from hitchworth.operations.changes import Addition, Alteration, change, seen_from
from hitchworth.operations.parts import Parts, add_part, get_part, remove_part, replace_part
from hitchworth.store import Store
from hitchworth.store.errors import NotKeptError
from hitchworth.validation.json_pointer import child_pointer

ComponentId: TypeAlias = Annotated[str, Meta(description="Id of the component.", examples=["stove"])]
LaborId: TypeAlias = Annotated[str, Meta(description="Id of the labor entry.", examples=["body-work"])]
PolicyName: TypeAlias = Annotated[str, Meta(description="Name of the policy.", examples=["agreed value"])]
LossName: TypeAlias = Annotated[str, Meta(description="Name of the loss.", examples=["hail"])]
AnswerNumber: TypeAlias = Annotated[
    int, Meta(ge=0, le=499, description="Place of the answer in the list, counted from 0.", examples=[0])
]
FactName: TypeAlias = Annotated[
    str, Meta(description="Name of the fact, as in GET /v1/facts.", examples=["has_cooking"])
]


COMPONENTS = Parts("components", "component", "id", of_build=True)
LABOR = Parts("labor", "labor entry", "id", of_build=True)
POLICIES = Parts("policies", "policy", "name")
LOSSES = Parts("losses", "loss", "name")
ANSWERS = Parts("answers", "answer", None)


def add_component(store: Store, caller: Caller, build: BuildParameter, request: bytes, how: Addition) -> Revision:
    """Add a component to a kept build.

    At the end of its components. Its id must be new, so a component that is sent twice is kept once.
    """
    return add_part(COMPONENTS, store, caller, build, request=request, how=how)


def get_component(store: Store, caller: Caller, build: BuildParameter, component: ComponentId) -> Component:
    """Read a component of a kept build."""
    return get_part(COMPONENTS, store, caller, build, wanted=component, kind=Component)


def replace_component(
    store: Store, caller: Caller, build: BuildParameter, *, component: ComponentId, request: bytes, how: Alteration
) -> Revision:
    """Replace a component of a kept build."""
    return replace_part(COMPONENTS, store, caller, build, wanted=component, request=request, how=how)


def remove_component(
    store: Store, caller: Caller, build: BuildParameter, component: ComponentId, how: Alteration
) -> Revision:
    """Remove a component from a kept build.

    As if it had never been entered; evidence of it stays, without it. A component that was sold or taken out gets a
    `removed_on` instead.
    """
    return remove_part(COMPONENTS, store, caller, build, wanted=component, how=how)


def add_labor(store: Store, caller: Caller, build: BuildParameter, request: bytes, how: Addition) -> Revision:
    """Add a labor entry to a kept build.

    At the end of its labor. Its id must be new, so an entry that is sent twice is kept once.
    """
    return add_part(LABOR, store, caller, build, request=request, how=how)


def get_labor(store: Store, caller: Caller, build: BuildParameter, entry: LaborId) -> Labor:
    """Read a labor entry of a kept build."""
    return get_part(LABOR, store, caller, build, wanted=entry, kind=Labor)


def replace_labor(
    store: Store, caller: Caller, build: BuildParameter, *, entry: LaborId, request: bytes, how: Alteration
) -> Revision:
    """Replace a labor entry of a kept build."""
    return replace_part(LABOR, store, caller, build, wanted=entry, request=request, how=how)


def remove_labor(store: Store, caller: Caller, build: BuildParameter, entry: LaborId, how: Alteration) -> Revision:
    """Remove a labor entry from a kept build."""
    return remove_part(LABOR, store, caller, build, wanted=entry, how=how)


def add_policy(store: Store, caller: Caller, build: BuildParameter, request: bytes, how: Addition) -> Revision:
    """Add a policy to a kept build.

    Its name must be new, so a policy that is sent twice is kept once.
    """
    return add_part(POLICIES, store, caller, build, request=request, how=how)


def get_policy(store: Store, caller: Caller, build: BuildParameter, policy: PolicyName) -> Policy:
    """Read a policy of a kept build."""
    return get_part(POLICIES, store, caller, build, wanted=policy, kind=Policy)


def replace_policy(
    store: Store, caller: Caller, build: BuildParameter, *, policy: PolicyName, request: bytes, how: Alteration
) -> Revision:
    """Replace a policy of a kept build."""
    return replace_part(POLICIES, store, caller, build, wanted=policy, request=request, how=how)


def remove_policy(store: Store, caller: Caller, build: BuildParameter, policy: PolicyName, how: Alteration) -> Revision:
    """Remove a policy from a kept build."""
    return remove_part(POLICIES, store, caller, build, wanted=policy, how=how)


def add_loss(store: Store, caller: Caller, build: BuildParameter, request: bytes, how: Addition) -> Revision:
    """Add a loss to a kept build.

    Its name must be new, so a loss that is sent twice is kept once.
    """
    return add_part(LOSSES, store, caller, build, request=request, how=how)


def get_loss(store: Store, caller: Caller, build: BuildParameter, loss: LossName) -> Loss:
    """Read a loss of a kept build."""
    return get_part(LOSSES, store, caller, build, wanted=loss, kind=Loss)


def replace_loss(
    store: Store, caller: Caller, build: BuildParameter, *, loss: LossName, request: bytes, how: Alteration
) -> Revision:
    """Replace a loss of a kept build."""
    return replace_part(LOSSES, store, caller, build, wanted=loss, request=request, how=how)


def remove_loss(store: Store, caller: Caller, build: BuildParameter, loss: LossName, how: Alteration) -> Revision:
    """Remove a loss from a kept build."""
    return remove_part(LOSSES, store, caller, build, wanted=loss, how=how)


def add_answer(store: Store, caller: Caller, build: BuildParameter, request: bytes, how: Addition) -> Revision:
    """Record an answer in a kept build.

    After the answers that are recorded already; the newest to a question counts.
    """
    return add_part(ANSWERS, store, caller, build, request=request, how=how)


def get_answer(store: Store, caller: Caller, build: BuildParameter, number: AnswerNumber) -> Answer:
    """Read an answer of a kept build."""
    return get_part(ANSWERS, store, caller, build, wanted=number, kind=Answer)


def replace_answer(
    store: Store, caller: Caller, build: BuildParameter, *, number: AnswerNumber, request: bytes, how: Alteration
) -> Revision:
    """Replace an answer of a kept build."""
    return replace_part(ANSWERS, store, caller, build, wanted=number, request=request, how=how)


def remove_answer(
    store: Store, caller: Caller, build: BuildParameter, number: AnswerNumber, how: Alteration
) -> Revision:
    """Remove an answer from a kept build.

    The answers after it move up a place.
    """
    return remove_part(ANSWERS, store, caller, build, wanted=number, how=how)


def set_fact(
    store: Store, caller: Caller, build: BuildParameter, *, fact: FactName, request: bytes, how: Alteration
) -> Revision:
    """Set a fact of a kept build.

    The body is its value: true, 2.4, {"value": 8, "unit": "ft"}, or null for a fact that is not known.
    """
    value = validation.read_json(request)

    def edit(body: bytes) -> bytes:
        document = validation.read_json(body)
        document["build"].setdefault("facts", {})[fact] = value
        return validation.write_json(document)

    with seen_from(child_pointer("/build/facts", fact)):
        return change(store, caller, build, how, edit)


def remove_fact(store: Store, caller: Caller, build: BuildParameter, fact: FactName, how: Alteration) -> Revision:
    """Remove a fact from a kept build.

    It is not known then, as one that is null.
    """

    def edit(body: bytes) -> bytes:
        document = validation.read_json(body)
        if fact not in document["build"].get("facts", {}):
            raise NotKeptError(f"The build has no fact {fact!r}.")
        del document["build"]["facts"][fact]
        return validation.write_json(document)

    return change(store, caller, build, how, edit)

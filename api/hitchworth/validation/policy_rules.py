"""Rules for policies and losses."""

from collections.abc import Iterator
from typing import TypeAlias

from hitchworth.model.build import Build, Component, Labor
from hitchworth.model.fault import Fault
from hitchworth.model.policy import Damage, Policy
from hitchworth.model.request import GapRequest, ProtectionRequest, SettlementRequest
from hitchworth.reference.category_groups import known_categories
from hitchworth.reference.perils import peril_key
from hitchworth.validation.duplicates import duplicates
from hitchworth.validation.fault_texts import with_suggestions

PolicyRequest: TypeAlias = SettlementRequest | GapRequest | ProtectionRequest
LossRequest: TypeAlias = SettlementRequest | GapRequest

MAX_SETTLEMENTS = 400
"""Of one request. Each policy is settled for each loss, several times where terms are not known."""


def duplicate_policy_names(request: PolicyRequest) -> Iterator[Fault]:
    """Each policy has a name of its own."""
    return duplicates("name", {"/policies/{}/name": (policy.name for policy in request.policies)})


def duplicate_loss_names(request: LossRequest) -> Iterator[Fault]:
    """Each loss has a name of its own."""
    return duplicates("name", {"/losses/{}/name": (loss.name for loss in request.losses)})


def duplicate_policy_terms(request: PolicyRequest) -> Iterator[Fault]:
    """A policy takes each step once, and has one sublimit per category, deductible per peril, allowance per kind."""
    for index, policy in enumerate(request.policies):
        at = f"/policies/{index}"
        yield from duplicates("step", {f"{at}/order/{{}}": policy.order})
        categories = (sublimit.category for sublimit in policy.sublimits)
        yield from duplicates("category", {f"{at}/sublimits/{{}}/category": categories})
        perils = (deductible.peril for deductible in policy.peril_deductibles)
        yield from duplicates("peril", {f"{at}/peril_deductibles/{{}}/peril": perils}, key=peril_key)
        kinds = (allowance.kind for allowance in policy.allowances)
        yield from duplicates("kind", {f"{at}/allowances/{{}}/kind": kinds})


def too_many_settlements(request: LossRequest) -> Iterator[Fault]:
    """The number of policies times the number of losses is limited."""
    policies, losses = len(request.policies), len(request.losses)
    if policies * losses > MAX_SETTLEMENTS:
        yield Fault(
            pointer="/losses",
            detail="Too many settlements in one request",
            expected=f"at most {MAX_SETTLEMENTS}, policies times losses",
            found=f"{policies} x {losses} = {policies * losses:,}",
        )


def unknown_categories(request: LossRequest) -> Iterator[Fault]:
    """A category of a policy is one of the build or of the published schedules, or a category group."""
    known = known_categories() | {line.category for line in _lines(request.build)}
    for index, policy in enumerate(request.policies):
        named = [(f"sublimits/{place}/category", limit.category) for place, limit in enumerate(policy.sublimits)]
        named += [(f"betterment_categories/{place}", name) for place, name in enumerate(policy.betterment_categories)]
        for field, name in named:
            if name not in known:
                expected = "a category of the build or of GET /v1/schedules, or a category group"
                yield Fault(
                    pointer=f"/policies/{index}/{field}",
                    detail="Unknown category",
                    expected=with_suggestions(name, known, expected),
                    found=name,
                )


def invalid_damage(request: LossRequest) -> Iterator[Fault]:
    """A partial loss has damage, and each entry names one line, or one category, of the build."""
    lines = _lines(request.build)
    known = {"id": {line.id for line in lines}, "category": {line.category for line in lines}}
    for index, loss in enumerate(request.losses):
        at = f"/losses/{index}/damage"
        if loss.extent == "partial" and not loss.damage:
            yield Fault(pointer=at, detail="A partial loss needs damage", expected="at least one entry", found="none")
        for place, damage in enumerate(loss.damage):
            yield from _damage_faults(damage, known, f"{at}/{place}")


def _damage_faults(damage: Damage, known: dict[str, set[str]], at: str) -> Iterator[Fault]:
    given = {"id": damage.id, "category": damage.category}
    named = {field: name for field, name in given.items() if name is not None}
    if len(named) != 1:
        yield Fault(
            pointer=at,
            detail="Damage needs one id or one category",
            expected="either id or category",
            found="both" if named else "neither",
        )
    for field, name in named.items():
        if name not in known[field]:
            yield Fault(
                pointer=f"{at}/{field}",
                detail=f"No component or labor entry has this {field}",
                expected=with_suggestions(name, known[field], f"the {field} of a component or labor entry"),
                found=name,
            )


def duplicate_damage(request: LossRequest) -> Iterator[Fault]:
    """A loss names each line and each category once."""
    for index, loss in enumerate(request.losses):
        for field in ("id", "category"):
            names = (getattr(entry, field) for entry in loss.damage)
            yield from duplicates(field, {f"/losses/{index}/damage/{{}}/{field}": names})


def invalid_coordination(request: LossRequest) -> Iterator[Fault]:
    """Coordination names policies of the request, each once."""
    known = {policy.name for policy in request.policies}
    named = request.coordination.policies if request.coordination is not None else ()
    for index, name in enumerate(named):
        if name not in known:
            yield unknown_policy(name, known, f"/coordination/policies/{index}")
    known_names = (name if name in known else None for name in named)
    yield from duplicates("name", {"/coordination/policies/{}": known_names})


def unknown_discount_policies(request: PolicyRequest) -> Iterator[Fault]:
    """The policy that grants a discount is in the request, if the request has any policy."""
    known = {policy.name for policy in request.policies}
    for index, protection in enumerate(request.build.protections):
        if known and protection.policy is not None and protection.policy not in known:
            yield unknown_policy(protection.policy, known, f"/build/protections/{index}/policy", " or null")


def unknown_policy(name: str, known: set[str], pointer: str, alternative: str = "") -> Fault:
    """Return the fault of a name that no policy of the request has."""
    return Fault(
        pointer=pointer,
        detail="No policy has this name",
        expected=with_suggestions(name, known, f"the name of a policy in the request{alternative}"),
        found=name,
    )


def missing_amounts(request: SettlementRequest) -> Iterator[Fault]:
    """Each policy has the amounts that its terms need."""
    for index, policy in enumerate(request.policies):
        yield from missing_policy_amounts(policy, f"/policies/{index}")


def missing_policy_amounts(policy: Policy, pointer: str) -> Iterator[Fault]:
    """An agreed value or stated amount needs the amount; a deductible that is a share of the limit needs a limit."""
    if policy.amount is not None:
        return
    if policy.basis in ("agreed_value", "stated_amount"):
        yield Fault(
            pointer=f"{pointer}/amount",
            detail=f"Basis {policy.basis} needs an amount",
            expected="the agreed value or stated amount",
            found="nothing",
        )
    for index, deductible in enumerate(policy.peril_deductibles):
        if policy.limit is None and deductible.applies_to == "limit" and deductible.rate:
            yield Fault(
                pointer=f"{pointer}/peril_deductibles/{index}/applies_to",
                detail="The policy has no limit for this deductible",
                expected="a policy with a limit or an amount, or a share of the loss or the value",
                found="limit",
            )


def _lines(build: Build) -> tuple[Component | Labor, ...]:
    return (*build.components, *build.labor)

"""Rules for policies and losses."""

from collections.abc import Iterator

from hitchworth.model.build import Build
from hitchworth.model.document import Document
from hitchworth.model.entry import Component, Labor
from hitchworth.model.fault import Fault
from hitchworth.model.loss import Damage
from hitchworth.reference.category_groups import CONTENTS, CUSTOM_EQUIPMENT, known_categories
from hitchworth.reference.perils import canonical_peril
from hitchworth.validation.fault_texts import NEEDS_DAMAGE
from hitchworth.validation.json_pointer import child_pointer
from hitchworth.validation.names import duplicates, unknown_name
from hitchworth.validation.settling_work import settling_work

_TERM_OF_GROUP = {CONTENTS: "contents_limit", CUSTOM_EQUIPMENT: "custom_equipment_limit"}

MAX_SETTLEMENTS = 400
"""Of one request. Each policy is settled for each loss, several times where terms are not known."""

MAX_SETTLING_WORK = 900_000
"""In lines valued: at most half of the time that an answer may take, where a line takes 60 microseconds."""

MAX_LOSS_LINES = 100_000
"""Lines times days of losses: a few seconds of computation."""


def duplicate_policy_names(request: Document) -> Iterator[Fault]:
    """Each policy has a name of its own."""
    return duplicates("name", {"/policies/{}/name": (policy.name for policy in request.policies)})


def duplicate_loss_names(request: Document) -> Iterator[Fault]:
    """Each loss has a name of its own."""
    return duplicates("name", {"/losses/{}/name": (loss.name for loss in request.losses)})


def duplicate_policy_terms(request: Document) -> Iterator[Fault]:
    """A policy takes each step once, and says one thing of a peril, a category and a kind of expense."""
    for index, policy in enumerate(request.policies):
        at = f"/policies/{index}"
        yield from duplicates("step", {f"{at}/order/{{}}": policy.order or ()})
        yield from duplicates("term", {f"{at}/without/{{}}": policy.without})
        categories = (sublimit.category for sublimit in policy.sublimits or ())
        yield from duplicates("category", {f"{at}/sublimits/{{}}/category": categories})
        perils = (deductible.peril for deductible in policy.peril_deductibles or ())
        yield from duplicates("peril", {f"{at}/peril_deductibles/{{}}/peril": perils}, key=canonical_peril)
        places = {
            _pattern(child_pointer(f"{at}/covers_perils", peril)): (peril,) for peril in policy.covers_perils or {}
        }
        yield from duplicates("peril", places, key=canonical_peril)
        kinds = (allowance.kind for allowance in policy.allowances or ())
        yield from duplicates("kind", {f"{at}/allowances/{{}}/kind": kinds})


def _pattern(pointer: str) -> str:
    """Return the pointer as a pattern with nothing to fill in."""
    return pointer.replace("{", "{{").replace("}", "}}")


def too_many_settlements(request: Document) -> Iterator[Fault]:
    """The number of policies times the number of losses is limited."""
    policies, losses = len(request.policies), len(request.losses)
    if policies * losses > MAX_SETTLEMENTS:
        yield Fault(
            pointer="/losses",
            detail="Too many settlements in one request",
            expected=f"at most {MAX_SETTLEMENTS}, policies times losses",
            found=f"{policies} x {losses} = {policies * losses:,}",
        )


def too_much_to_settle(request: Document) -> Iterator[Fault]:
    """Policies of which little is known are settled for fewer losses, the more so the more categories a build has."""
    count = len(request.policies) * len(request.losses)
    if 0 < count <= MAX_SETTLEMENTS and (work := settling_work(request)) > MAX_SETTLING_WORK:
        yield Fault(
            pointer="/losses",
            detail="Too many settlements in one request",
            expected=f"at most {int(count * MAX_SETTLING_WORK / work)}, policies times losses, "
            "with so many open terms and categories; or more terms stated",
            found=f"{len(request.policies)} x {len(request.losses)} = {count:,}",
        )


def too_many_days_of_loss(request: Document) -> Iterator[Fault]:
    """A large build is valued on fewer days of losses, each twice."""
    days = len({loss.occurred_on for loss in request.losses})
    lines = len(request.build.components) + len(request.build.labor)
    if lines * days > MAX_LOSS_LINES:
        yield Fault(
            pointer="/losses",
            detail="Losses on too many days for a build of this size",
            expected=f"at most {MAX_LOSS_LINES // lines} days for {lines:,} lines",
            found=str(days),
        )


def unknown_categories(request: Document) -> Iterator[Fault]:
    """A category of a policy is one of the build or of the published schedules; groups have terms of their own."""
    known = known_categories() - _TERM_OF_GROUP.keys() | {line.category for line in _lines(request.build)}
    for index, policy in enumerate(request.policies):
        limits, betterment = policy.sublimits or (), policy.betterment_categories or ()
        named = [(f"sublimits/{place}/category", limit.category) for place, limit in enumerate(limits)]
        named += [(f"betterment_categories/{place}", name) for place, name in enumerate(betterment)]
        for field, name in named:
            yield from _unknown_category(name, known, f"/policies/{index}/{field}")


def _unknown_category(name: str, known: frozenset[str], pointer: str) -> Iterator[Fault]:
    if name in _TERM_OF_GROUP and name not in known:
        yield Fault(
            pointer=pointer,
            detail="This group has a term of its own",
            expected=f"the term {_TERM_OF_GROUP[name]} of the policy",
            found=name,
        )
    else:
        expected = "a category of the build or of GET /v1/schedules"
        yield from unknown_name(name, known, pointer, "Unknown category", expected)


def contradictory_terms(request: Document) -> Iterator[Fault]:
    """A term that the policy is said not to have is not stated as well."""
    for index, policy in enumerate(request.policies):
        for place, term in enumerate(policy.without):
            if getattr(policy, term) is not None:
                yield Fault(
                    pointer=f"/policies/{index}/without/{place}",
                    detail="The policy states this term",
                    expected="a term that is left out, or null",
                    found=term,
                )


def deductibles_without_limit(request: Document) -> Iterator[Fault]:
    """A deductible that is a share of the limit needs a limit, or an amount."""
    for index, policy in enumerate(request.policies):
        for place, deductible in enumerate(policy.peril_deductibles or ()):
            has_none = "limit" in policy.without and policy.amount is None
            if has_none and deductible.applies_to == "limit" and deductible.rate:
                yield Fault(
                    pointer=f"/policies/{index}/peril_deductibles/{place}/applies_to",
                    detail="The policy has no limit for this deductible",
                    expected="a policy with a limit or an amount, or a share of the loss or the value",
                    found="limit",
                )


def invalid_damage(request: Document) -> Iterator[Fault]:
    """A partial loss has damage, and each entry names one line, or one category, of the build."""
    lines = _lines(request.build)
    known = {"id": {line.id for line in lines}, "category": {line.category for line in lines}}
    for index, loss in enumerate(request.losses):
        at = f"/losses/{index}/damage"
        if loss.extent == "partial" and not loss.damage:
            yield Fault(pointer=at, detail=NEEDS_DAMAGE, expected="at least one entry", found="none")
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
        detail, expected = f"No component or labor entry has this {field}", f"the {field} of a component or labor entry"
        yield from unknown_name(name, known[field], f"{at}/{field}", detail, expected)


def duplicate_damage(request: Document) -> Iterator[Fault]:
    """A loss names each line and each category once."""
    for index, loss in enumerate(request.losses):
        for field in ("id", "category"):
            names = (getattr(entry, field) for entry in loss.damage)
            yield from duplicates(field, {f"/losses/{index}/damage/{{}}/{field}": names})


def invalid_coordination(request: Document) -> Iterator[Fault]:
    """Coordination names policies of the request, each once."""
    known = {policy.name for policy in request.policies}
    named = request.coordination.policies if request.coordination is not None else ()
    for index, name in enumerate(named):
        yield from unknown_policy(name, known, f"/coordination/policies/{index}")
    known_names = (name if name in known else None for name in named)
    yield from duplicates("name", {"/coordination/policies/{}": known_names})


def unknown_discount_policies(request: Document) -> Iterator[Fault]:
    """The policy that grants a discount is in the request, if the request has any policy."""
    known = {policy.name for policy in request.policies}
    for index, protection in enumerate(request.build.protections or ()):
        if known and protection.policy is not None:
            yield from unknown_policy(protection.policy, known, f"/build/protections/{index}/policy", " or null")


def unknown_policy(name: str, known: set[str], pointer: str, alternative: str = "") -> Iterator[Fault]:
    """Yield a fault when no policy of the request has a name."""
    expected = f"the name of a policy in the request{alternative}"
    return unknown_name(name, known, pointer, "No policy has this name", expected)


def _lines(build: Build) -> tuple[Component | Labor, ...]:
    return (*build.components, *build.labor)

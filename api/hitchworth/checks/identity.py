"""Names by which records refer to each other: each stands for one thing only."""

from collections.abc import Iterable, Iterator

from hitchworth.checks.pointer import step
from hitchworth.model.build import Build
from hitchworth.model.fault import Fault
from hitchworth.model.policy import Loss, Policy


def ids_given_twice(build: Build) -> Iterator[Fault]:
    """Components and labor entries share one set of ids."""
    components = ((part.id, f"/components/{index}/id") for index, part in enumerate(build.components))
    labor = ((entry.id, f"/labor/{index}/id") for index, entry in enumerate(build.labor))
    return _twice((*components, *labor))


def circuits_given_twice(build: Build) -> Iterator[Fault]:
    """Circuits are told apart by name."""
    return _twice((circuit.name, f"/circuits/{index}/name") for index, circuit in enumerate(build.circuits))


def names_given_twice(policies: tuple[Policy, ...], losses: tuple[Loss, ...]) -> Iterator[Fault]:
    """Policies are told apart by name, and so are losses; a policy has one sublimit a category."""
    yield from _twice((policy.name, f"/policies/{index}/name") for index, policy in enumerate(policies))
    yield from _twice((loss.name, f"/losses/{index}/name") for index, loss in enumerate(losses))
    for index, policy in enumerate(policies):
        at = f"/policies/{index}/sublimits"
        yield from _twice((limit.category, f"{at}/{place}/category") for place, limit in enumerate(policy.sublimits))


def steps_given_twice(policies: tuple[Policy, ...]) -> Iterator[Fault]:
    """A step of the settlement is taken once."""
    for index, policy in enumerate(policies):
        yield from _twice((name, step(f"/policies/{index}/order", place)) for place, name in enumerate(policy.order))


def _twice(places: Iterable[tuple[str, str]]) -> Iterator[Fault]:
    first: dict[str, str] = {}
    for name, pointer in places:
        if name in first:
            yield Fault(
                pointer=pointer,
                detail=f"Given twice, first at {first[name]}",
                expected="a name of its own",
                found=name,
            )
        first.setdefault(name, pointer)

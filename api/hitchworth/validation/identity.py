"""Names by which records refer to each other: each stands for one thing only."""

from collections.abc import Callable, Iterable, Iterator
from itertools import chain

from hitchworth.model.build import Build
from hitchworth.model.fault import Fault
from hitchworth.model.policy import Loss, Policy
from hitchworth.model.request import SalesComparisonRequest
from hitchworth.reference.perils import peril_key


def ids_given_twice(build: Build) -> Iterator[Fault]:
    """Components and labor entries share one set of ids."""
    components = ((part.id, "/components/{}/id", index) for index, part in enumerate(build.components))
    labor = ((entry.id, "/labor/{}/id", index) for index, entry in enumerate(build.labor))
    return _twice(chain(components, labor))


def circuits_given_twice(build: Build) -> Iterator[Fault]:
    """Circuits are told apart by name."""
    return _twice((circuit.name, "/circuits/{}/name", index) for index, circuit in enumerate(build.circuits))


def names_given_twice(policies: tuple[Policy, ...], losses: tuple[Loss, ...]) -> Iterator[Fault]:
    """Policies are told apart by name, and so are losses."""
    yield from _twice((policy.name, "/policies/{}/name", index) for index, policy in enumerate(policies))
    yield from _twice((loss.name, "/losses/{}/name", index) for index, loss in enumerate(losses))


def terms_given_twice(policies: tuple[Policy, ...]) -> Iterator[Fault]:
    """A policy has one sublimit a category, one deductible a peril, one allowance a kind; a step is taken once."""
    for index, policy in enumerate(policies):
        for where, names in (
            ("order/{}", policy.order or ()),
            ("sublimits/{}/category", tuple(limit.category for limit in policy.sublimits or ())),
            ("peril_deductibles/{}/peril", tuple(deductible.peril for deductible in policy.peril_deductibles or ())),
            ("allowances/{}/kind", tuple(allowance.kind for allowance in policy.allowances or ())),
        ):
            named = ((name, f"/policies/{index}/{where}", place) for place, name in enumerate(names))
            yield from _twice(named, peril_key if where == "peril_deductibles/{}/peril" else str)


def damage_given_twice(losses: tuple[Loss, ...]) -> Iterator[Fault]:
    """What a loss does to a line, or to a category, is said once."""
    for index, loss in enumerate(losses):
        for field in ("id", "category"):
            named = ((getattr(damage, field), place) for place, damage in enumerate(loss.damage))
            where = f"/losses/{index}/damage/{{}}/{field}"
            yield from _twice((name, where, place) for name, place in named if name is not None)


def borders_given_twice(travels_to: tuple[str, ...]) -> Iterator[Fault]:
    """A place across the border is named once."""
    return _twice((code, "/travels_to/{}", index) for index, code in enumerate(travels_to))


def compared_twice(request: SalesComparisonRequest) -> Iterator[Fault]:
    """Comparables are told apart by description; a piece of equipment has one value, and is listed once a trailer."""
    sales = request.comparables
    yield from _twice((sale.description, "/comparables/{}/description", place) for place, sale in enumerate(sales))
    terms = enumerate(request.adjustments.equipment)
    yield from _twice((value.item, "/adjustments/equipment/{}/item", place) for place, value in terms)
    listed = [("/subject", request.subject.equipment)]
    listed += [(f"/comparables/{index}", sale.equipment) for index, sale in enumerate(sales)]
    for at, items in listed:
        yield from _twice((item, f"{at}/equipment/{{}}", place) for place, item in enumerate(items or ()))


def _twice(places: Iterable[tuple[str, str, int]], key: Callable[[str], str] = str) -> Iterator[Fault]:
    """Names that come again, or whose keys do. A place is a name, a pointer with a gap, and the index that fills it."""
    first: dict[str, tuple[str, int]] = {}
    for name, where, index in places:
        before = first.setdefault(key(name), (where, index))
        if before != (where, index):
            yield Fault(
                pointer=where.format(index),
                detail=f"Given twice, first at {before[0].format(before[1])}",
                expected="a name of its own",
                found=name,
            )

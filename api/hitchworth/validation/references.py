"""References from one record to another: what is named is there."""

from collections.abc import Iterator

from hitchworth.model.build import Build, Component, Labor
from hitchworth.model.fault import Fault
from hitchworth.model.policy import Loss, Policy
from hitchworth.reference.category_groups import known_categories
from hitchworth.validation.suggestions import with_suggestions


def unknown_components(build: Build) -> Iterator[Fault]:
    """Labor serves a component of the build."""
    ids = {part.id for part in build.components}
    for index, entry in enumerate(build.labor):
        if entry.component_id is not None and entry.component_id not in ids:
            yield Fault(
                pointer=f"/labor/{index}/component_id",
                detail="No component has this id",
                expected="the id of a component of the build",
                found=entry.component_id,
            )


def sublimits_of_nothing(build: Build, policies: tuple[Policy, ...]) -> Iterator[Fault]:
    """A sublimit, or a part paid by its wear, is of a category of the build or the library, or of a group."""
    lines: tuple[Component | Labor, ...] = (*build.components, *build.labor)
    known = known_categories() | {line.category for line in lines}
    for index, policy in enumerate(policies):
        named = [(f"sublimits/{place}/category", each.category) for place, each in enumerate(policy.sublimits or ())]
        named += [
            (f"betterment_categories/{place}", name) for place, name in enumerate(policy.betterment_categories or ())
        ]
        for where, name in named:
            if name not in known:
                yield Fault(
                    pointer=f"/policies/{index}/{where}",
                    detail="No such category in the build or the library, and no group",
                    expected=with_suggestions(
                        name, known, "a category of the build or of GET /v1/schedules, or a group"
                    ),
                    found=name,
                )


def damage_without_object(build: Build, losses: tuple[Loss, ...]) -> Iterator[Fault]:
    """Damage names one line, or one category, that the build has; a partial loss has damage."""
    lines: tuple[Component | Labor, ...] = (*build.components, *build.labor)
    named = {"id": {line.id for line in lines}, "category": {line.category for line in lines}}
    for index, loss in enumerate(losses):
        at = f"/losses/{index}/damage"
        if loss.extent == "partial" and not loss.damage:
            yield Fault(pointer=at, detail="A partial loss has damage", expected="at least one entry", found="none")
        for place, damage in enumerate(loss.damage):
            given = {"id": damage.id, "category": damage.category}
            yield from _damage_faults(given, named, f"{at}/{place}")


def _damage_faults(given: dict[str, str | None], named: dict[str, set[str]], at: str) -> Iterator[Fault]:
    if len([name for name in given.values() if name is not None]) != 1:
        found = "neither" if not any(given.values()) else "both"
        yield Fault(pointer=at, detail="Damage names its object", expected="either id or category", found=found)
    for field, name in given.items():
        if name is not None and name not in named[field]:
            yield Fault(
                pointer=f"{at}/{field}",
                detail=f"No line of the build has this {field}",
                expected=with_suggestions(name, named[field], f"the {field} of a component or labor entry"),
                found=name,
            )

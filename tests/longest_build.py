"""A build that is as long as a workshop's gets, with the longest names: whatever fits this, fits the pages."""

from datetime import date
from functools import cache

from msgspec.structs import replace

from hitchworth.demo import demo_request
from hitchworth.model.answer import Answer
from hitchworth.model.build import Build, Owner
from hitchworth.model.entry import Component, Labor
from hitchworth.model.loss import Loss
from hitchworth.model.policy import Policy
from hitchworth.model.request import GapRequest
from hitchworth.operations.reports import Printing, create_conversation_sheet, create_report
from hitchworth.reports.catalog import CONVERSATION_SHEET
from hitchworth.reports.content import Content, Paper

COPIES = 3
"""How often each part of the demo's inventory is in it: 255 components and 72 tasks."""

OWNER = Owner(
    name="Marguerite-Alexandra Featherstonehaugh-Wolkenstein and Bartholomew Oyelaran-Quigley",
    address="Workshop of the Association of Trailer Builders\nUnit 17B, 12045 Old Birch Mill Road\nNorthmark 00000",
    telephone="+1 (555) 010-0134 ext. 27",
    email="marguerite-alexandra.featherstonehaugh-wolkenstein@workshop.example.com",
)


def longest_request(locale: str = "en-US") -> GapRequest:
    """Return the demo's request, with three of each part, five policies, seven losses and answers on record."""
    demo = demo_request()
    build = replace(
        demo.build,
        name="Standing-height birch camper on a tandem flatbed, second series, with awning",
        owner=OWNER,
        make="Northmark Trailer and Body Works, assembled from a kit by the owner",
        model_year=2025,
        components=tuple(_part(part, copy) for copy in range(COPIES) for part in demo.build.components),
        labor=tuple(_task(labor, copy) for copy in range(COPIES) for labor in demo.build.labor),
    )
    return replace(demo, build=build, policies=_policies(demo), losses=_losses(demo), answers=_answers(), locale=locale)


def _part(part: Component, copy: int) -> Component:
    described = f"{part.description}, fitted to bay number {copy + 1} as in the drawing of the workshop"
    serial = f"{part.serial_number}-{copy}" if part.serial_number else None
    return replace(part, id=f"{part.id}-{copy}", description=described, serial_number=serial)


def _task(labor: Labor, copy: int) -> Labor:
    serves = f"{labor.component_id}-{copy}" if labor.component_id else None
    return replace(labor, id=f"{labor.id}-{copy}", component_id=serves)


def _policies(demo: GapRequest) -> tuple[Policy, ...]:
    """Return five policies: those of the demo, and two of the same kinds of which little is known."""
    names = (
        "Extension of the tow vehicle's policy, offer by mail",
        "Recreational vehicle policy at actual cash value, second year",
        "Recreational vehicle policy at agreed value, third offer of the agent",
        "Recreational vehicle policy of the association of trailer builders",
        "Floater on the homeowners policy, with the workshop as a second insured",
    )
    unknown = (Policy(name="a", kind="recreational_vehicle"), Policy(name="b", kind="homeowners"))
    known = zip(names, (*demo.policies, *unknown), strict=True)
    return tuple(replace(policy, name=name) for name, policy in known)


def _losses(demo: GapRequest) -> tuple[Loss, ...]:
    theft, fire, water, hail = demo.losses
    on_copies = tuple(
        replace(each, damage=tuple(replace(part, id=f"{part.id}-0") if part.id else part for part in each.damage))
        for each in (water, hail)
    )
    return (
        replace(theft, name="theft from the yard of the workshop during the winter"),
        replace(fire, name="fire in the galley that spreads to the roof and both walls"),
        replace(on_copies[0], name="water ingress at the roof seam that was found in spring"),
        replace(on_copies[1], name="hail on the way, with the awning extended"),
        Loss(name="collision on the highway with another vehicle", peril="collision", extent="total"),
        Loss(name="flood of the river beside the campsite", peril="flood", extent="total"),
        Loss(name="vandalism while it was parked on the street", peril="vandalism", extent="total"),
    )


def _answers() -> tuple[Answer, ...]:
    policy = "Recreational vehicle policy at actual cash value, second year"
    said = {"said_by": "the agent's assistant, on the telephone", "reference": "call 2026-10-20, file 88-2041-7734-A"}
    day = date(2026, 10, 20)
    return (
        Answer(policy=policy, term="depreciates_labor", value=False, said_on=day, **said),
        Answer(policy=policy, term="counts_own_labor", value=True, said_on=day, **said),
        Answer(policy=policy, term="total_loss_tax_rate", value="0.092", said_on=day, **said),
        Answer(fact="has_toilet", value=True, said_on=day),
    )


def as_build(request: GapRequest, components: int) -> Build:
    """Return the build with so many components: its own, again and again, each with another id."""
    own = request.build.components
    rounds = range(-(-components // len(own)))
    repeated = tuple(replace(part, id=f"{part.id}-{again}") for again in rounds for part in own)
    return replace(request.build, components=repeated[:components], labor=())


@cache
def longest_content(locale: str, paper: Paper | None = None, report: str = "all") -> Content:
    """Return a report on the longest build."""
    request = longest_request(locale)
    if report == CONVERSATION_SHEET:
        return create_conversation_sheet(request, Printing(paper=paper))
    return create_report(request, report, Printing(paper=paper))  # type: ignore[arg-type]

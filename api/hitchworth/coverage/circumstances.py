"""What one loss meets: the build on that day, what of it is destroyed, and the class trailer it may be measured by."""

from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.coverage.damage import Destroyed, PlainTrailer, Round, Valued, destroyed, plain_trailer
from hitchworth.model.assessment import Verdict
from hitchworth.model.build import Build
from hitchworth.model.policy import Loss
from hitchworth.reference.schedules import base_categories

ZERO = Decimal(0)


class LossContext(Struct, frozen=True):
    """What a settlement needs beside the policy."""

    build: Build
    loss: Loss
    verdict: Verdict
    rounded: Round
    lost: tuple[Destroyed, ...]
    """Line by line; likewise what there was."""
    whole: tuple[Destroyed, ...]
    plain_trailer: PlainTrailer
    age_years: Decimal

    @property
    def under_construction(self) -> bool:
        """The loss falls before the day on which the trailer was finished."""
        done = self.build.completed_on
        return done is not None and self.loss.occurred_on < done


def loss_context(build: Build, loss: Loss, valued: Valued, verdict: Verdict, rounded: Round) -> LossContext:
    """The circumstances of a loss; `valued` is the build on the day of the loss."""
    return LossContext(
        build=build,
        loss=loss,
        verdict=verdict,
        rounded=rounded,
        lost=destroyed(loss, valued, rounded),
        whole=destroyed(replace(loss, extent="total", damage=()), valued, rounded),
        plain_trailer=plain_trailer(build.base, valued, rounded),
        age_years=_age(valued),
    )


def by_category(lines: tuple[Destroyed, ...]) -> tuple[Destroyed, ...]:
    """The lines of a category as one; every line has been rounded, so nothing changes in the sums."""
    sums: dict[str, Destroyed] = {}
    for line in lines:
        before = sums.get(line.category)
        sums[line.category] = line if before is None else _sum(before, line)
    return tuple(sums.values())


def _sum(one: Destroyed, other: Destroyed) -> Destroyed:
    return Destroyed(
        one.category,
        one.replacement_cost + other.replacement_cost,
        one.depreciation + other.depreciation,
        one.labor_depreciation + other.labor_depreciation,
        one.of_base,
    )


def _age(valued: Valued) -> Decimal:
    """The trailer is as old as its oldest base component; without one, as its oldest line."""
    lines = valued.labor_kept.lines
    base = [line.age_years for line in lines if line.category in base_categories() and line.kind == "component"]
    return max(base or [line.age_years for line in lines], default=ZERO)

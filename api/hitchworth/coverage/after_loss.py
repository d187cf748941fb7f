"""After a loss: what the record of the build gives for the first days, and the time limits where it is registered."""

from collections.abc import Sequence
from datetime import date, timedelta

from msgspec import Struct

from hitchworth.model.after_loss import AfterLoss, ChecklistItem, ClaimStep, Deadline, SerialNumber, TimeLimit
from hitchworth.model.build import Build
from hitchworth.model.entry import Component
from hitchworth.model.loss import Loss
from hitchworth.model.timeline import is_installed_on
from hitchworth.model.vin import VinCheck
from hitchworth.reference.claims import ClaimDuty, ClaimTimeLimit, RecordedItem, claims, time_limits_for
from hitchworth.reference.perils import canonical_peril

OWN_DUTIES: tuple[ClaimStep, ...] = ("notice", "proof_of_loss")
"""The steps of a claim that are up to the insured."""


def after_loss(build: Build, losses: Sequence[Loss], as_of: date, vin_check: VinCheck | None = None) -> AfterLoss:
    """The checklist for these losses, and the time limits of the build's jurisdiction, with the last days
    for what is up to the insured.

    Only components that are in the trailer on the day of a loss count: bought by then, and not yet removed.
    The check of the VIN matters only where it is a suggestion for a build without a VIN.
    """
    perils = tuple({canonical_peril(loss.peril): loss.peril for loss in reversed(losses)}.values())[::-1]
    fitted = tuple(
        part for part in build.components if any(is_installed_on(part, loss.occurred_on or as_of) for loss in losses)
    )
    record = _Record(
        build=build,
        fitted=fitted,
        is_unfinished=_is_unfinished(build, losses, as_of),
        suggested_vin=vin_check.number if vin_check and vin_check.suggested_from else "",
    )
    return AfterLoss(
        perils=perils,
        vin=build.vin,
        serial_numbers=tuple(map(_serial_number, record.numbered)),
        without_serial_number=len(fitted) - len(record.numbered),
        without_receipt=record.unproven,
        protections=None if build.protections is None else tuple(each.name for each in build.protections),
        checklist=_checklist(record, perils),
        time_limits=_time_limits(build.jurisdiction, losses, as_of),
    )


class _Record(Struct, frozen=True, kw_only=True):
    """What is on record about the build, with the components that were in the trailer."""

    build: Build
    fitted: tuple[Component, ...]
    is_unfinished: bool
    suggested_vin: str

    @property
    def numbered(self) -> tuple[Component, ...]:
        """The components with a serial number."""
        return tuple(part for part in self.fitted if part.serial_number)

    @property
    def unproven(self) -> tuple[str, ...]:
        """The components without a receipt, by id."""
        return tuple(part.id for part in self.fitted if part.evidence_grade != "receipt")

    @property
    def holds(self) -> dict[RecordedItem, bool]:
        """Whether each item is on record."""
        return {
            "vin": bool(self.build.vin),
            "suggested_vin": bool(self.suggested_vin),
            "serial_numbers": bool(self.numbered),
            "unproven": bool(self.unproven),
            "protections": bool(self.build.protections),
            "no_protections": self.build.protections == (),
            "unfinished": self.is_unfinished,
        }

    @property
    def parameters(self) -> dict[str, str]:
        """The values that a text may name."""
        return {
            "vin": self.build.vin or "",
            "suggested_vin": self.suggested_vin,
            "serials": str(len(self.numbered)),
            "unproven": str(len(self.unproven)),
            "measures": str(len(self.build.protections or ())),
        }


def _is_unfinished(build: Build, losses: Sequence[Loss], as_of: date) -> bool:
    """Return whether a loss falls before the day of completion."""
    done = build.completed_on
    return done is not None and any((loss.occurred_on or as_of) < done for loss in losses)


def _checklist(record: _Record, perils: Sequence[str]) -> tuple[ChecklistItem, ...]:
    holds, parameters = record.holds, record.parameters
    return tuple(
        _item(duty, perils, parameters)
        for duty in claims().checklist
        if _concerns(duty.perils, perils)
        and all(holds[item] for item in duty.if_recorded)
        and not any(holds[item] for item in duty.if_not_recorded)
    )


def _serial_number(part: Component) -> SerialNumber:
    return SerialNumber(
        component=part.id,
        description=part.description,
        serial_number=part.serial_number or "",
        model_number=part.model_number,
    )


def _concerns(named: Sequence[str], perils: Sequence[str]) -> bool:
    """Whether something is for any peril, or for one of these."""
    return not named or not set(named).isdisjoint(map(canonical_peril, perils))


def _item(duty: ClaimDuty, perils: Sequence[str], parameters: dict[str, str]) -> ChecklistItem:
    concerned = tuple(peril for peril in perils if _concerns(duty.perils, (peril,)))
    used = {name: value for name, value in parameters.items() if f"{{{name}}}" in duty.text}
    return ChecklistItem(id=duty.id, when=duty.when, perils=concerned, parameters=used)


def _time_limits(jurisdiction: str | None, losses: Sequence[Loss], as_of: date) -> tuple[TimeLimit, ...]:
    return tuple(
        TimeLimit(
            id=limit.id,
            jurisdiction=limit.jurisdiction,
            step=limit.step,
            within=limit.within,
            counted_in=limit.counted_in,
            duty_of="insured" if limit.step in OWN_DUTIES else "insurer",
            runs_from=limit.begins_with,
            authority=limit.authority,
            under=limit.under,
            source=limit.source,
            provenance=limit.provenance,
            deadlines=_last_days(limit, concerned, as_of),
        )
        for limit in time_limits_for(jurisdiction)
        if (concerned := [loss for loss in losses if _concerns(limit.perils, (loss.peril,))])
    )


def _last_days(limit: ClaimTimeLimit, losses: Sequence[Loss], as_of: date) -> tuple[Deadline, ...]:
    """Return the last days for a duty of the insured after a loss that has happened.

    A loss that is only supposed has no last day. The insurer's time begins with what the insured does, so none either.
    """
    if limit.step not in OWN_DUTIES:
        return ()
    happened = ((loss.name, loss.occurred_on) for loss in losses if loss.occurred_on and loss.occurred_on <= as_of)
    ends = ((name, _last_day(limit, lost_on)) for name, lost_on in happened)
    return tuple(Deadline(loss=name, day=day) for name, day in ends if day is not None)


def _last_day(limit: ClaimTimeLimit, lost_on: date) -> date | None:
    """The day of the loss is not counted; none where there is no number, and none past the end of the calendar.

    Business and working days are left to the reader, because holidays differ.
    """
    if limit.within is None or limit.counted_in != "calendar_days":
        return None
    return lost_on + timedelta(days=limit.within) if limit.within <= (date.max - lost_on).days else None

"""After a loss: what the record of the build gives for the first days, and the time limits that run where it is."""

from collections.abc import Sequence
from datetime import date

from hitchworth.model.after_loss import AfterLoss, ChecklistItem, SerialNumber, TimeLimit
from hitchworth.model.build import Build, Component
from hitchworth.reference.claims import ClaimDuty, claims, time_limits_for


def after_loss(build: Build, perils: Sequence[str], as_of: date) -> AfterLoss:
    """The checklist for losses by these perils on the date, and the time limits of the build's jurisdiction.

    Only components that are in the trailer on the date count: bought by then, and not yet removed.
    """
    fitted = tuple(part for part in build.components if _is_fitted(part, as_of))
    serial_numbers = tuple(_serial_number(part) for part in fitted if part.serial_number)
    unproven = tuple(part.id for part in fitted if part.evidence_grade != "receipt")
    record = {
        "vin": bool(build.vin),
        "serial_numbers": bool(serial_numbers),
        "unproven": bool(unproven),
        "protections": bool(build.protections),
        "unfinished": build.completed_on is not None and as_of < build.completed_on,
    }
    particulars = {
        "vin": build.vin or "",
        "serials": str(len(serial_numbers)),
        "unproven": str(len(unproven)),
        "measures": str(len(build.protections)),
    }
    return AfterLoss(
        perils=tuple(perils),
        identification_number=build.vin,
        serial_numbers=serial_numbers,
        without_serial_number=len(fitted) - len(serial_numbers),
        without_receipt=unproven,
        protections=tuple(protection.name for protection in build.protections),
        checklist=tuple(
            _item(duty, perils, particulars)
            for duty in claims().checklist
            if _concerns(duty.perils, perils)
            and all(record[thing] for thing in duty.given)
            and not any(record[thing] for thing in duty.lacking)
        ),
        time_limits=_time_limits(build.jurisdiction, perils),
    )


def _is_fitted(part: Component, as_of: date) -> bool:
    return part.acquired_on <= as_of and (part.removed_on is None or part.removed_on > as_of)


def _serial_number(part: Component) -> SerialNumber:
    return SerialNumber(
        component=part.id,
        description=part.description,
        serial_number=part.serial_number or "",
        model_number=part.model_number,
    )


def _concerns(named: Sequence[str], perils: Sequence[str]) -> bool:
    """Whether something is for any peril, or for one of these."""
    return not named or not set(named).isdisjoint(perils)


def _item(duty: ClaimDuty, perils: Sequence[str], particulars: dict[str, str]) -> ChecklistItem:
    concerned = tuple(peril for peril in perils if not duty.perils or peril in duty.perils)
    used = {name: value for name, value in particulars.items() if f"{{{name}}}" in duty.text}
    return ChecklistItem(id=duty.id, when=duty.when, perils=concerned, particulars=used)


def _time_limits(jurisdiction: str | None, perils: Sequence[str]) -> tuple[TimeLimit, ...]:
    return tuple(
        TimeLimit(
            id=limit.id,
            jurisdiction=limit.jurisdiction,
            step=limit.step,
            within=limit.within,
            counted_in=limit.counted_in,
            source=limit.source,
            mark=limit.mark,
        )
        for limit in time_limits_for(jurisdiction)
        if _concerns(limit.perils, perils)
    )

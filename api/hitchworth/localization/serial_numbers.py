"""The sentences of a number that was looked up, or read off a plate."""

from msgspec.structs import replace

from hitchworth.localization.assessments import localize_vin_check
from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.plate_reading import PlateReading
from hitchworth.model.serial_numbers import FoundNumber, NumberSearch


def localize_number_search(search: NumberSearch, localizer: Localizer) -> NumberSearch:
    """Return what was found with the sentence of each number, the caution, and the locale of the texts."""
    return replace(
        search,
        locale=localizer.locale.formats,
        items=tuple(replace(item, text=_sentence(item, localizer)) for item in search.items),
        caution=localizer.translate(texts().serial_numbers["caution"]),
    )


def localize_plate_reading(reading: PlateReading, localizer: Localizer) -> PlateReading:
    """Return the reading with its caution, the notes on identification numbers, and the locale of the texts."""
    return replace(
        reading,
        locale=localizer.locale.formats,
        proposals=tuple(
            replace(each, vin_check=localize_vin_check(each.vin_check, localizer)) for each in reading.proposals
        ),
        caution=localizer.translate(texts().serial_numbers["reading_caution"]),
    )


def _sentence(item: FoundNumber, localizer: Localizer) -> str:
    forgiven = ", ".join(localizer.label("forgiven", difference) for difference in item.forgiven)
    named = {"description": item.description, "kind": item.kind, "number": item.number}
    said = [localizer.format(texts().serial_numbers[item.match], forgiven=forgiven, **named)]
    if item.removed_on is not None:
        said.append(localizer.format(texts().serial_numbers["removed"], day=item.removed_on))
    if item.trashed_at is not None:
        said.append(localizer.translate(texts().serial_numbers["trashed"]))
    return " ".join(said)

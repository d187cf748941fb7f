"""The words of the checklist and the time limits after a loss."""

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.after_loss import AfterLoss, TimeLimit
from hitchworth.reference.claims import claims


def localize_after_loss(after: AfterLoss, localizer: Localizer) -> AfterLoss:
    """The record with what to do and what runs in sentences."""
    duties = {duty.id: duty.text for duty in claims().checklist}
    own_words = {limit.id: limit.text for limit in claims().time_limits}
    return replace(
        after,
        checklist=tuple(
            replace(item, text=localizer.format(duties[item.id], **item.parameters)) for item in after.checklist
        ),
        time_limits=tuple(_time_limit(limit, own_words[limit.id], localizer) for limit in after.time_limits),
    )


def _time_limit(limit: TimeLimit, own_words: str, localizer: Localizer) -> TimeLimit:
    """The rule's own words where it has some, else those of its step."""
    text = own_words or texts().claim_steps[limit.step]
    return replace(
        limit,
        text=localizer.format(text, within=str(limit.within), counted_in=limit.counted_in),
        source=localizer.translate(limit.source),
    )

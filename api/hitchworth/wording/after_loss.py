"""The words of the checklist and the time limits after a loss."""

from msgspec.structs import replace

from hitchworth.model.after_loss import AfterLoss, TimeLimit
from hitchworth.reference.claims import claims
from hitchworth.wording.texts import texts
from hitchworth.wording.voice import Voice


def worded_after_loss(after: AfterLoss, voice: Voice) -> AfterLoss:
    """The record with what to do and what runs in sentences."""
    duties = {duty.id: duty.text for duty in claims().checklist}
    own_words = {limit.id: limit.text for limit in claims().time_limits}
    return replace(
        after,
        checklist=tuple(replace(item, text=voice.say(duties[item.id], **item.particulars)) for item in after.checklist),
        time_limits=tuple(_time_limit(limit, own_words[limit.id], voice) for limit in after.time_limits),
    )


def _time_limit(limit: TimeLimit, own_words: str, voice: Voice) -> TimeLimit:
    """The rule's own words where it has some, else those of its step."""
    text = own_words or texts().claim_steps[limit.step]
    return replace(
        limit,
        text=voice.say(text, within=str(limit.within), counted_in=limit.counted_in),
        source=voice.translated(limit.source),
    )

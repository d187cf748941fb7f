"""The sentences of what needs attention."""

from msgspec.structs import replace

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.attention import AttentionItem, AttentionList


def localize_attention(found: AttentionList, localizer: Localizer) -> AttentionList:
    """Return the list with the sentence of each item, and the locale of the texts."""
    items = tuple(localize_attention_item(item, localizer) for item in found.items)
    return replace(found, locale=localizer.locale.formats, items=items)


def localize_attention_item(item: AttentionItem, localizer: Localizer) -> AttentionItem:
    """Return the item with its sentence."""
    return replace(item, text=localizer.format(texts().attention[_text(item)], **item.parameters))


def _text(item: AttentionItem) -> str:
    match item.code:
        case "limit_exceeded":
            return "limit_exceeded_since" if item.since else "limit_exceeded"
        case "limit_outgrown":
            return "limit_outgrown" if item.parameters["prices"] == "known" else "limit_outgrown_by_trend"
        case "gap":
            whose = "gap" if item.policy else "gap_combined"
            return f"{whose}_at_most" if "unknown" in item.parameters else whose
        case "answer_old":
            return "answer_old" if item.parameters["subject"] else "answer_old_on_build"
        case "unreadable":
            return "unreadable"
        case "quote_expires":
            when = "expired" if item.parameters["days"].startswith("-") else "expires"
            return f"quote_{when}" if item.amount is None else f"quote_{when}_total"

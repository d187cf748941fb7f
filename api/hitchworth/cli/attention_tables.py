"""What needs attention as a table for a terminal of at least 80 columns."""

from rich.console import RenderableType
from rich.styled import Styled

from hitchworth.cli.layout import add_amount_columns, bullet_list, sheet_text, stacked, titled_table
from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.attention import AttentionItem, AttentionList


def attention_report(found: AttentionList, localizer: Localizer) -> RenderableType:
    """Lay out what needs attention: what, of which policy and loss, from when on, the money, and the sentence below."""
    if not found.items:
        return Styled(localizer.format(texts().attention["nothing"]), "bold")
    table = titled_table(localizer.format(texts().attention["title"]), "")
    table.add_column(sheet_text(localizer, "policy"))
    table.add_column(sheet_text(localizer, "loss"))
    table.add_column(localizer.format(texts().attention["since"]))
    add_amount_columns(table, sheet_text(localizer, "amount"))
    for item in found.items:
        table.add_row(*_cells(item, localizer))
    return stacked(table, bullet_list("", (item.text for item in found.items)))


def _cells(item: AttentionItem, localizer: Localizer) -> tuple[str, ...]:
    since = "–" if item.since is None else localizer.formats.day(item.since)
    amount = "–" if item.amount is None else localizer.money(item.amount)
    return localizer.heading("attention", item.code), item.policy or "–", item.loss or "–", since, amount

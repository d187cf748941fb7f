"""What a sheet is about, and the voice that it speaks with."""

from decimal import Decimal

from msgspec import Struct

from hitchworth.localization.localizer import Localizer, ParameterValue
from hitchworth.localization.texts import texts
from hitchworth.model.build import Build
from hitchworth.model.gap import GapStatement
from hitchworth.model.policy import Policy


class ReportContext(Struct, frozen=True):
    """A build, the policies on the table and the worded statement of their gaps."""

    build: Build
    policies: tuple[Policy, ...]
    statement: GapStatement
    localizer: Localizer

    def format(self, text: str, /, **parameters: ParameterValue) -> str:
        """A text of the sheets (texts/sheet.yaml) by its name."""
        return self.localizer.format(texts().sheet[text], **parameters)

    def money(self, amount: Decimal) -> str:
        """An amount in the build's currency."""
        return self.localizer.money(amount)

    def amount(self, amount: Decimal) -> str:
        """An amount in a table: a dash for none, as accounts have it."""
        return self.money(amount) if amount else "–"

    def percent(self, share: Decimal) -> str:
        """A share in percent, one place, so that columns stand in line."""
        return self.localizer.formats.percent(share, 1, 1)

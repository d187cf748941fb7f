"""What a sheet is about, and the voice that it speaks with."""

from decimal import Decimal

from msgspec import Struct

from hitchworth.model.build import Build
from hitchworth.model.gap import GapStatement
from hitchworth.model.policy import Policy
from hitchworth.wording.texts import texts
from hitchworth.wording.voice import Particular, Voice


class Subject(Struct, frozen=True):
    """A build, the policies on the table and the worded statement of their gaps."""

    build: Build
    policies: tuple[Policy, ...]
    statement: GapStatement
    voice: Voice

    def say(self, text: str, /, **particulars: Particular) -> str:
        """A text of the sheets (texts/sheet.yaml) by its name."""
        return self.voice.say(texts().sheet[text], **particulars)

    def money(self, amount: Decimal) -> str:
        """An amount in the build's currency."""
        return self.voice.money(amount)

    def amount(self, amount: Decimal) -> str:
        """An amount in a table: a dash for none, as accounts have it."""
        return self.money(amount) if amount else "–"

    def percent(self, share: Decimal) -> str:
        """A share in percent, one place, so that columns stand in line."""
        return self.voice.formats.percent(share, 1, 1)

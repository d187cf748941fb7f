"""What a report is about, and the locale that it is written in."""

from decimal import Decimal

from msgspec import Struct

from hitchworth.localization.localizer import Localizer, ParameterValue
from hitchworth.localization.texts import texts
from hitchworth.model.assessment import Provenance
from hitchworth.model.build import Build
from hitchworth.model.gap import GapStatement
from hitchworth.model.kept import Revision
from hitchworth.model.policy import Policy
from hitchworth.reference.jurisdictions import jurisdictions

MINUS = "\u2212"
UNVERIFIED = "\u2020"
"""The mark of what was not compared with the published text; a report that has it explains it once, at its end."""


class ReportContext(Struct, frozen=True):
    """A build, its policies, the localized gap statement, and the localizer for all other texts."""

    build: Build
    policies: tuple[Policy, ...]
    statement: GapStatement
    localizer: Localizer
    photo: bytes | None = None
    """A picture of the trailer in JPEG."""
    kept: Revision | None = None
    """The revision of a kept build that the data is from."""

    def format(self, text: str, /, **parameters: ParameterValue) -> str:
        """Return the text of this name from texts/sheet.yaml, with its parameters filled in."""
        return self.localizer.format(texts().sheet[text], **parameters)

    def money(self, amount: Decimal) -> str:
        """Return an amount in the build's currency, with a real minus sign."""
        return self.localizer.money(amount).replace("-", MINUS)

    def amount(self, amount: Decimal) -> str:
        """Return an amount for a table: a dash for zero, as in accounting."""
        return self.money(amount) if amount else "–"

    def percent(self, share: Decimal) -> str:
        """Return a share in percent with one decimal place, so that the figures of a column align."""
        return self.localizer.formats.percent(share, 1, 1)

    def cite(self, source: str, *, verified: bool) -> str:
        """Return a citation, with a mark where its text was not compared with the published one."""
        return source if verified or not source else f"{source} {UNVERIFIED}"

    def source(self, source: str, provenance: Provenance) -> str:
        """Return a source with what it is: marked where it was not verified, named where it is common practice."""
        if provenance == "common_practice" and source:
            return self.format("marked", source=source, provenance=provenance)
        return self.cite(source, verified=provenance != "unverified")

    def jurisdiction_label(self, code: str) -> str:
        """Return the name and code of a jurisdiction; the code alone where it is not in the reference data."""
        entry = jurisdictions().get(code)
        return f"{self.localizer.translate(entry.name)} ({code})" if entry else code

"""What a report is about, and the locale that it is written in."""

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from typing import TypeAlias, TypeVar

import msgspec
from msgspec import Struct

from hitchworth.localization.localizer import Localizer, ParameterValue
from hitchworth.localization.texts import texts
from hitchworth.model.after_loss import TimeLimit
from hitchworth.model.assessment import ClassChangeEffect
from hitchworth.model.build import Build
from hitchworth.model.definition import DefinitionResult
from hitchworth.model.estimate import LaborDepreciationRule
from hitchworth.model.evidence import Evidence
from hitchworth.model.gap import GapStatement
from hitchworth.model.kept import Revision
from hitchworth.model.policy import Policy
from hitchworth.model.provenance import Provenance
from hitchworth.model.towing_rule import TowingRuleResult
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reports.claim import PackedClaim
from hitchworth.reports.content import AnyBlock, Paragraph

MINUS = "\u2212"
UNVERIFIED = "\u2020"
"""The mark of what was not compared with the published text; a report that has it explains it once, at its start."""


Sourced: TypeAlias = DefinitionResult | ClassChangeEffect | TowingRuleResult | LaborDepreciationRule | TimeLimit
"""An entry with a source that was compared with its text, or was not."""

PictureOf: TypeAlias = Callable[[Evidence, int], bytes | None]
"""Returns a picture of evidence as an upright JPEG without date and place, its longer side at most so many pixels.

None where there is no such file, or it is not as it was.
"""

T = TypeVar("T", bound=Sourced)


def was_read(entry: Sourced) -> bool:
    """Return whether its published text was read, or whether it is common practice and has none."""
    if isinstance(entry, TimeLimit | LaborDepreciationRule):
        return entry.provenance != "unverified"
    return entry.verified


class Figures:
    """How figures are written in a report: mixed into what the report is about."""

    __slots__ = ()
    localizer: Localizer

    def money(self, amount: Decimal) -> str:
        """Return an amount in the currency of the report, with a real minus sign."""
        return self.localizer.money(amount).replace("-", MINUS)

    def amount(self, amount: Decimal) -> str:
        """Return an amount for a table: a dash for zero, as in accounting."""
        return self.money(amount) if amount else "–"

    def percent(self, share: Decimal) -> str:
        """Return a share in percent with one decimal place, so that the figures of a column align."""
        return self.localizer.formats.percent(share, 1, 1).replace("-", MINUS)

    def cite(self, source: str, *, verified: bool) -> str:
        """Return a citation, with a mark where its text was not compared with the published one."""
        return source if verified or not source else f"{source} {UNVERIFIED}"

    def footnote(self, blocks: tuple[AnyBlock, ...]) -> tuple[AnyBlock, ...]:
        """Return what the mark means, once, where one of the blocks has it."""
        if not any(UNVERIFIED in text for text in _texts(msgspec.to_builtins(blocks, builtin_types=(bytes,)))):
            return ()
        return (Paragraph(self.localizer.format(texts().sheet["unverified"], mark=UNVERIFIED), small=True),)


def _texts(value: object) -> Iterator[str]:
    """Yield every text in plain values, however deep."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for part in value.values():
            yield from _texts(part)
    elif isinstance(value, (list, tuple)):
        for part in value:
            yield from _texts(part)


class ReportContext(Figures, Struct, frozen=True):
    """A build, its policies, the localized gap statement, and the localizer for all other texts."""

    build: Build
    policies: tuple[Policy, ...]
    statement: GapStatement
    localizer: Localizer
    photo: bytes | None = None
    """A picture of the trailer in JPEG."""
    kept: Revision | None = None
    """The revision of a kept build that the data is from."""
    include_unverified: bool = False
    """Whether what was not compared with the published text is printed, with a mark."""
    claim: PackedClaim | None = None
    """The claim that the report is a paper of."""

    def claim_of(self) -> PackedClaim:
        """Return the claim, of a paper that is always of one."""
        assert self.claim is not None
        return self.claim

    evidence: tuple[Evidence, ...] = ()
    picture_of: PictureOf | None = None
    """What returns the pictures of kept evidence. None: the files are not here, and no picture is printed."""

    def format(self, text: str, /, **parameters: ParameterValue) -> str:
        """Return the text of this name from texts/sheet.yaml, with its parameters filled in."""
        return self.localizer.format(texts().sheet[text], **parameters)

    def source(self, source: str, provenance: Provenance) -> str:
        """Return a source with what it is: marked where it was not verified, named where it is common practice."""
        if provenance == "common_practice" and source:
            return self.format("marked", source=source, provenance=provenance)
        return self.cite(source, verified=provenance != "unverified")

    def shown(self, entries: Iterable[T]) -> tuple[T, ...]:
        """Return the entries that are printed: those that were read, or all where the reader asks for the rest."""
        return tuple(entry for entry in entries if self.include_unverified or was_read(entry))

    def jurisdiction_label(self, code: str) -> str:
        """Return the name and code of a jurisdiction; the code alone where it is not in the reference data."""
        entry = jurisdictions().get(code)
        return f"{self.localizer.translate(entry.name)} ({code})" if entry else code

"""What a report of a quote is about, and what every such report begins and ends with."""

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal

from msgspec import Struct

from hitchworth.localization.localizer import Localizer, ParameterValue
from hitchworth.localization.texts import texts
from hitchworth.model.build import Build
from hitchworth.model.pricing import QuotePricing
from hitchworth.model.quote import Quote, QuoteLine
from hitchworth.reports.content import AnyBlock, Caution, Fact, Facts, Group, Heading, Listing, Logo, Photo
from hitchworth.reports.context import Figures


class QuoteContext(Figures, Struct, frozen=True):
    """A build, how it is priced, the localized quote, and the localizer for all other texts."""

    build: Build
    pricing: QuotePricing
    quote: Quote
    localizer: Localizer
    logo: bytes | None = None
    """The workshop's logo in JPEG."""

    def format(self, text: str, /, **parameters: ParameterValue) -> str:
        """Return the text of this name from texts/quote.yaml, with its parameters filled in."""
        return self.localizer.format(texts().quote[text], **parameters)

    def sheet(self, text: str, /, **parameters: ParameterValue) -> str:
        """Return a text that the other reports have too, from texts/sheet.yaml, with its parameters filled in."""
        return self.localizer.format(texts().sheet[text], **parameters)


def letterhead(context: QuoteContext, *, with_days: bool = False) -> tuple[AnyBlock, ...]:
    """Return the logo, workshop, customer and trailer, as far as they are given.

    `with_days`: until when the quote is valid, and when the work is to be finished, too. A report on what came after
    the quote has days of its own.
    """
    workshop, quote = context.pricing.workshop, context.quote
    of_workshop: Mapping[str, str | None] = {}
    if workshop is not None:
        of_workshop = {
            context.format("workshop"): workshop.name,
            context.sheet("address"): _one_line(workshop.address),
            context.sheet("telephone"): workshop.telephone,
            context.sheet("email"): workshop.email,
            context.format("registration"): workshop.registration,
        }
    days = {"valid_until": quote.valid_until, "completion_on": quote.completion_on} if with_days else {}
    formats = context.localizer.formats
    of_quote = {context.format(name): formats.day(day) if day else None for name, day in days.items()}
    return (
        *_logo(context),
        *_facts(of_workshop),
        *_facts({**_customer(context), context.format("trailer"): context.build.name, **of_quote}),
    )


def _logo(context: QuoteContext) -> tuple[AnyBlock, ...]:
    if context.logo is None or context.pricing.workshop is None:
        return ()
    return (Logo(Photo(context.logo, context.format("logo_of", name=context.pricing.workshop.name))),)


def _customer(context: QuoteContext) -> Mapping[str, str | None]:
    owner = context.build.owner
    if owner is None:
        return {}
    return {context.format("customer"): owner.name, context.sheet("address"): _one_line(owner.address)}


def _facts(given: Mapping[str, str | None]) -> tuple[AnyBlock, ...]:
    rows = tuple(Fact(label, value) for label, value in given.items() if value)
    return (Facts(rows, columns=2),) if rows else ()


def _one_line(address: str) -> str:
    return ", ".join(line.strip() for line in address.splitlines() if line.strip())


def by_category(
    context: QuoteContext,
    row: Callable[[QuoteLine], tuple[str, ...]],
    subtotals: Callable[[Sequence[QuoteLine]], tuple[str, ...]],
) -> tuple[Group, ...]:
    """Return the lines of the quote in groups by category, in the order in which each category first comes."""
    lines = context.quote.lines
    groups: dict[str, list[QuoteLine]] = {}
    for line in lines:
        groups.setdefault(line.category, []).append(line)
    return tuple(
        Group(
            context.localizer.heading("category", category),
            tuple(map(row, of_category)),
            subtotals(of_category) if len(of_category) > 1 else (),
        )
        for category, of_category in groups.items()
    )


def quantity(context: QuoteContext, amount: Decimal | None, unit: str) -> str:
    """Return a quantity with its unit; empty where there is none."""
    if amount is None:
        return ""
    number = context.localizer.formats.number(amount, 3)
    return number if unit == "piece" else f"{number} {unit}"


def cautions(context: QuoteContext) -> Caution:
    """Return what to keep in mind before relying on a quote: the law, then the work that belongs to licensed people."""
    of_work = context.localizer.translate(texts().cautions[-1])
    return Caution(context.sheet("cautions"), (context.format("caution_law"), of_work))


def questions(context: QuoteContext) -> tuple[AnyBlock, ...]:
    """Return what is to be settled before the quote is final, with the money that hangs on it."""
    asked = context.quote.questions
    if not asked:
        return ()
    items = tuple(
        f"{each.text} {context.format('at_stake', amount=each.at_stake)}" if each.at_stake else each.text
        for each in asked
    )
    return (Heading(context.format("to_settle")), Listing(items))

"""The payments of a quote: shares, amounts and what is left, so that they add up to the total to the cent."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import lcm

from hitchworth.model.fault import Fault
from hitchworth.model.pricing import Payment, QuotePricing, Retainage
from hitchworth.model.quote import QuotedPayment
from hitchworth.money import Money, split

ZERO = Fraction(0)


def quoted_payments(pricing: QuotePricing, total: int, money: Money) -> tuple[QuotedPayment, ...]:
    """Return the payments of a total in whole minor units, split by largest remainder. Raises no error if checked."""
    exact = _exact(pricing.payments, total, money)
    scale = lcm(1, *(each.denominator for each in exact))
    names = [f"{index:03}" for index in range(len(exact))]
    amounts = split(total, [int(each * scale) for each in exact], names)
    return tuple(
        quoted_payment(payment, amount, pricing.retainage if index else None, money)
        for index, (payment, amount) in enumerate(zip(pricing.payments, amounts, strict=True))
    )


def quoted_payment(payment: Payment, amount: int, retainage: Retainage | None, money: Money) -> QuotedPayment:
    """Return a payment of an amount, less what is held back of it."""
    rate = payment.retainage_rate
    if rate is None:
        rate = retainage.rate if retainage is not None else None
    retained = 0 if rate is None else money.multiply(amount, Fraction(rate))
    return QuotedPayment(
        milestone=payment.milestone,
        share=payment.share,
        amount=money.from_minor_units(amount),
        retained=money.from_minor_units(retained),
        due=money.from_minor_units(amount - retained),
        due_on=payment.due_on,
        paid_on=payment.paid_on,
    )


def payment_faults(pricing: QuotePricing, total: int, money: Money) -> Iterator[Fault]:
    """Yield a fault where the payments do not add up to the total, or leave less than nothing for the last one."""
    if not pricing.payments:
        return
    left = total - sum(_exact(pricing.payments, total, money), ZERO)
    has_balance = any(_is_balance(payment) for payment in pricing.payments)
    given = sum((_given(payment, total, money) for payment in pricing.payments), ZERO)
    if left or (has_balance and given > total):
        yield Fault(
            pointer="/pricing/payments",
            detail="The payments do not add up to the total",
            expected=f"{money.from_minor_units(total)} together, with tax; or one payment without share and amount",
            found=f"{money.rounded(given / 10**money.exponent)}",
        )


def _exact(payments: Sequence[Payment], total: int, money: Money) -> list[Fraction]:
    """Return each payment in minor units before rounding; the balance is what the others leave, at least nothing."""
    rest = max(total - sum((_given(payment, total, money) for payment in payments), ZERO), ZERO)
    return [rest if _is_balance(payment) else _given(payment, total, money) for payment in payments]


def _given(payment: Payment, total: int, money: Money) -> Fraction:
    if payment.amount is not None:
        return Fraction(money.to_minor_units(payment.amount))
    return total * Fraction(payment.share or 0)


def _is_balance(payment: Payment) -> bool:
    return payment.amount is None and payment.share is None

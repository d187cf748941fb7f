"""The payments of a quote: shares, amounts and what is left, so that they add up to the total to the cent."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from math import lcm

from msgspec.structs import replace

from hitchworth.model.change_order import ChangeOrder
from hitchworth.model.fault import Fault
from hitchworth.model.pricing import Payment, QuotePricing
from hitchworth.model.quote import QuotedPayment
from hitchworth.money import Money, split

ZERO = Fraction(0)


def quoted_payments(pricing: QuotePricing, total: int, money: Money) -> tuple[QuotedPayment, ...]:
    """Return the payments of a total in whole minor units, split by largest remainder; none where none are stated."""
    if not pricing.payments:
        return ()
    exact = _exact(pricing.payments, total, money)
    scale = lcm(1, *(each.denominator for each in exact))
    names = [f"{index:03}" for index in range(len(exact))]
    amounts = split(total, [int(each * scale) for each in exact], names)
    return tuple(
        quoted_payment(payment, amount, retainage_rate(pricing, index), money)
        for index, (payment, amount) in enumerate(zip(pricing.payments, amounts, strict=True))
    )


def deposit_of(payments: Sequence[QuotedPayment]) -> QuotedPayment | None:
    """Return the deposit: the first of several payments; a single payment is none."""
    return payments[0] if len(payments) > 1 else None


def retainage_rate(pricing: QuotePricing, index: int) -> Decimal | None:
    """Return what is held back of a payment of the quote, as a share: its own; else, but of the first, that of all."""
    payment = pricing.payments[index]
    if payment.retainage_rate is not None:
        return payment.retainage_rate
    return pricing.retainage.rate if index and pricing.retainage is not None else None


def quoted_payment(payment: Payment, amount: int, rate: Decimal | None, money: Money) -> QuotedPayment:
    """Return a payment of an amount, less the share of it that is held back."""
    retained = 0 if rate is None or amount < 0 else money.multiply(amount, Fraction(rate))
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


def changed_payments(
    pricing: QuotePricing, payments: Sequence[QuotedPayment], change: int, order: ChangeOrder, money: Money
) -> tuple[QuotedPayment, ...]:
    """Return the payments with a change of the total: on the payment that the order names, or on all not yet paid.

    What they cannot carry is a payment of its own, negative where money goes back.
    """
    if not payments or not change:
        return tuple(payments)
    amounts = [money.to_minor_units(payment.amount) for payment in payments]
    unpaid = [index for index, payment in enumerate(payments) if payment.paid_on is None]
    if order.milestone is None:
        targets = [index for index in unpaid if amounts[index] > 0]
    else:
        targets = [index for index in unpaid if amounts[index] >= 0 and payments[index].milestone == order.milestone]
    carried = [amounts[index] for index in targets]
    if not targets or sum(carried) + change < 0:
        own = Payment(milestone=order.number)
        return (*payments, quoted_payment(own, change, None, money))
    weights = carried if any(carried) else [1] * len(targets)
    parts = split(abs(change), weights, [f"{index:03}" for index in targets])
    for index, part in zip(targets, parts, strict=True):
        amounts[index] += part if change > 0 else -part
    return tuple(
        _with_amount(pricing, payment, index, amount, money)
        for index, (payment, amount) in enumerate(zip(payments, amounts, strict=True))
    )


def _with_amount(pricing: QuotePricing, payment: QuotedPayment, index: int, amount: int, money: Money) -> QuotedPayment:
    """Return a payment of another amount; one that did not change as it is, with what was held back of it."""
    if money.from_minor_units(amount) == payment.amount:
        return payment
    is_quoted = index < len(pricing.payments)
    given = pricing.payments[index] if is_quoted else Payment(milestone=payment.milestone)
    rate = retainage_rate(pricing, index) if is_quoted else None
    return replace(quoted_payment(given, amount, rate, money), share=None)

"""Find what needs attention for the webhooks, and send the messages of the outbox. Several processes may do so at once.

A message is sent at least once: when the process ends between sending it and noting that, it is sent again, under the
same id. Each message and each webhook is taken by one process at a time.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta
from logging import getLogger
from math import ceil
from random import random
from typing import Any, Literal, TypeAlias

from hitchworth.model.attention import AttentionItem
from hitchworth.model.webhook import MessageBody
from hitchworth.operations.kept_attention import kept_attention, quote_attention
from hitchworth.operations.settings import Settings
from hitchworth.store import Store
from hitchworth.store.builds import BuildQuery, Entry, KeptRecords
from hitchworth.store.webhooks import Due, Outgoing
from hitchworth.webhooks.address import AddressRules, read_networks
from hitchworth.webhooks.retry import wait_after
from hitchworth.webhooks.sender import DeliveryOutcome, Sender
from hitchworth.webhooks.signature import signed_headers

Result: TypeAlias = Literal["delivered", "failed", "dead"]
"""What came of one attempt.

delivered: the receiver has taken the message
failed: it is sent again later
dead: it was given up
"""

BATCH = 20
AT_ONCE = 4
_SPARE = timedelta(minutes=5)
"""What a batch may take beside waiting for its receivers: to find their addresses and to write what came of it."""

_BUILDS_AT_A_TIME = 100

_log = getLogger("hitchworth.webhooks")


def sender_of(settings: Settings) -> Sender:
    """Return what sends messages by the settings. Raises ValueError that names a network that is none."""
    rules = AddressRules(networks=read_networks(settings.webhook_networks), http=settings.webhook_http)
    return Sender(rules, settings.webhook_seconds)


def deliver_due(store: Store, sender: Sender) -> Counter[Result]:
    """Look through the builds for every webhook that is due, send every message that is due, and count the results."""
    evaluate_due(store)
    counts: Counter[Result] = Counter()
    with ThreadPoolExecutor(AT_ONCE, thread_name_prefix="hitchworth-webhook") as threads:
        while claimed := store.webhooks.claim(BATCH, lease(sender, BATCH)):
            counts.update(threads.map(lambda message: _deliver(store, sender, message), claimed))
    return counts


def deliver_message(store: Store, sender: Sender, message: str) -> None:
    """Send one message now, if it is due and no other process is sending it."""
    for claimed in store.webhooks.claim(1, lease(sender, 1), only=message):
        _deliver(store, sender, claimed)


def lease(sender: Sender, messages: int) -> timedelta:
    """Return longer than so many messages can take, so that no other process sends one of them meanwhile."""
    return ceil(messages / AT_ONCE) * timedelta(seconds=sender.seconds) + _SPARE


def evaluate_due(store: Store) -> int:
    """Look through the builds for each webhook that is due, and return how many messages were put into the outbox."""
    count = 0
    while (due := store.webhooks.take_due()) is not None:
        count += _evaluate(store, due)
    return count


def _evaluate(store: Store, due: Due) -> int:
    """Tell a webhook what has begun to need attention since it was told last, and return how many messages that is."""
    webhook, at = due.webhook, store.clock()
    how: Any = {"as_of": at.date(), "thresholds": webhook.thresholds, "locale": webhook.locale}
    count, seen = 0, []
    if any(event.startswith("attention.") for event in webhook.events):
        for build in _all(store.builds, due.workspace):
            seen.append(build.id)
            count += _hold(store, due, build.id, kept_attention(store, due.workspace, build, **how), at)
        for quote in _all(store.quotes, due.workspace):
            seen.append(quote.id)
            count += _hold(store, due, quote.id, quote_attention(store, due.workspace, quote, **how), at)
    store.webhooks.evaluated(webhook.id, _next_day(at), seen)
    return count


def _hold(store: Store, due: Due, kept: str, items: Sequence[AttentionItem], at: datetime) -> int:
    told = {item.condition: _body(item, at) for item in items if _event(item) in due.webhook.events}
    complete = all(item.code != "unreadable" for item in items)
    return store.webhooks.hold(due.workspace, due.webhook.id, kept, told, complete=complete)


def _all(records: KeptRecords[Entry], workspace: str) -> Iterator[Entry]:
    """Yield every build or quote that is not in the trash, the first that was made first."""
    after: tuple[datetime, str] | None = None
    while True:
        found = records.list(workspace, BuildQuery(sort="created_at", limit=_BUILDS_AT_A_TIME, after=after))
        yield from found[:_BUILDS_AT_A_TIME]
        if len(found) <= _BUILDS_AT_A_TIME:
            return
        last = found[_BUILDS_AT_A_TIME - 1]
        after = last.created_at, last.id


def _event(item: AttentionItem) -> str:
    return f"attention.{item.code}"


def _body(item: AttentionItem, at: datetime) -> MessageBody:
    return MessageBody(type=_event(item), timestamp=at, data=item)


def _next_day(at: datetime) -> datetime:
    """Return the beginning of the next day in UTC: whoever comes first then looks for what the new day brings."""
    return at.replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)


def _deliver(store: Store, sender: Sender, message: Outgoing) -> Result:
    headers = {
        "content-type": "application/json",
        "user-agent": "Hitchworth",
        **signed_headers(message.id, int(store.clock().timestamp()), message.body, message.secrets),
    }
    return _noted(store, message, sender.send(message.url, headers, message.body))


def _noted(store: Store, message: Outgoing, outcome: DeliveryOutcome) -> Result:
    """Note what came of an attempt, and return it. A receiver that is gone is sent nothing more."""
    wait = None if outcome.error is None or outcome.is_gone else wait_after(message.attempt, random())
    result: Result = "delivered" if outcome.error is None else "dead" if wait is None else "failed"
    state = "pending" if result == "failed" else result
    store.webhooks.finish(message, state, status=outcome.status, error=outcome.error, wait=wait)
    if outcome.is_gone:
        store.webhooks.disable(message.webhook, "the receiver answered 410: it wants no more messages")
    if result != "delivered":
        _log.warning("message %s to webhook %s, attempt %d: %s", message.id, message.webhook, message.attempt, result)
    return result

"""Webhooks: made, listed, rotated, tried and deleted by who administers a workspace, and the messages to them.

The docstrings of the functions are the descriptions of the API.
"""

from datetime import timedelta
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth import validation
from hitchworth.model.access import Instant
from hitchworth.model.caller import Caller
from hitchworth.model.fault import Fault
from hitchworth.model.listing import Items
from hitchworth.model.webhook import (
    TEST_EVENT,
    MessageBody,
    MessageId,
    MessagePage,
    MessageState,
    NewWebhook,
    SecretRotation,
    WebhookId,
    WebhookMessage,
    WebhookRecord,
    WebhookRequest,
)
from hitchworth.operations.changes import SecretCreation, claim_of
from hitchworth.operations.paging import Page, cut, next_page, place_of
from hitchworth.operations.webhook_delivery import deliver_message
from hitchworth.store import Store
from hitchworth.webhooks.address import UnsafeAddressError, require_safe_url
from hitchworth.webhooks.sender import Sender

WEBHOOKS = "/v1/webhooks"

Webhook = Annotated[WebhookId, Meta(examples=["0000000000000001"])]
Message = Annotated[MessageId, Meta(examples=["msg_0000000000000002"])]


class MessageFilter(Struct, frozen=True, kw_only=True):
    """Which messages a list has."""

    state: Annotated[
        MessageState | None, Meta(description="Only messages that have come so far: dead lists those given up.")
    ] = None


def create_webhook(store: Store, caller: Caller, sender: Sender, request: bytes, how: SecretCreation) -> NewWebhook:
    """Make a webhook.

    The address is sent a message, signed by the Standard Webhooks specification, when one of the events happens in this
    workspace. What needs attention is looked for once a day; what needs it already is told at once. The answer is the
    only one that has the secret to verify the messages with.
    """
    wanted = validation.read(request, WebhookRequest)
    _require_safe(wanted.url, sender)
    claim = claim_of(caller, how, b"webhooks\n" + request)
    secret = store.new_webhook_secret()
    return _shown(
        store.webhooks.create(caller.workspace, wanted, secret=secret, actor=caller.actor, claim=claim), secret
    )


def list_webhooks(store: Store, caller: Caller) -> Items[WebhookRecord]:
    """List the webhooks of this workspace.

    The oldest first, without their secrets.
    """
    return Items(items=store.webhooks.list(caller.workspace))


def get_webhook(store: Store, caller: Caller, webhook: Webhook) -> WebhookRecord:
    """Read a webhook, without its secret."""
    return store.webhooks.read(caller.workspace, webhook)


def delete_webhook(store: Store, caller: Caller, webhook: Webhook) -> WebhookRecord:
    """Delete a webhook.

    With its messages; nothing more is sent to it.
    """
    return store.webhooks.delete(caller.workspace, webhook)


def rotate_webhook_secret(store: Store, caller: Caller, webhook: Webhook, request: bytes) -> NewWebhook:
    """Replace the secret of a webhook by a new one.

    For the seconds of grace each message is signed with both, so the receiver can change over without missing one. The
    answer is the only one that has the new secret.
    """
    grace = timedelta(seconds=validation.read(request, SecretRotation).grace_seconds)
    secret = store.new_webhook_secret()
    return _shown(store.webhooks.rotate(caller.workspace, webhook, secret=secret, grace=grace), secret)


def enable_webhook(store: Store, caller: Caller, webhook: Webhook) -> WebhookRecord:
    """Let a webhook work again.

    One is disabled when its receiver answers 410. Messages that were given up meanwhile are not sent by themselves.
    Where it works, nothing happens.
    """
    return store.webhooks.enable(caller.workspace, webhook)


def try_webhook(store: Store, caller: Caller, sender: Sender, webhook: Webhook) -> WebhookMessage:
    """Send a message to try a webhook.

    Of the type webhook.test, sent at once: the answer says what came of it. If it fails, it is sent again as any other.
    """
    body = MessageBody(type=TEST_EVENT, timestamp=store.clock(), data={})
    message = store.webhooks.put(caller.workspace, webhook, body)
    deliver_message(store, sender, message)
    return store.webhooks.message(caller.workspace, webhook, message)


def list_webhook_messages(
    store: Store, caller: Caller, webhook: Webhook, which: MessageFilter, page: Page
) -> MessagePage:
    """List the messages to a webhook.

    The latest first, in pages, with what came of each. Those that were delivered are kept for 30 days, those that were
    given up for 90.
    """
    place = place_of(page.cursor, tuple[Instant, MessageId])
    found = store.webhooks.messages(caller.workspace, webhook, which.state, place, page.limit)
    items, last = cut(found, page.limit)
    following = None
    if last is not None:
        given = {"state": which.state}
        following = next_page(f"{WEBHOOKS}/{webhook}/messages", given, page.limit, (last.created_at, last.id))
    return MessagePage(items=items, next=following)


def get_webhook_message(store: Store, caller: Caller, webhook: Webhook, message: Message) -> WebhookMessage:
    """Read a message to a webhook."""
    return store.webhooks.message(caller.workspace, webhook, message)


def resend_webhook_message(
    store: Store,
    caller: Caller,
    webhook: Webhook,
    message: Annotated[MessageId, Meta(examples=["msg_0000000000000003"])],
) -> WebhookMessage:
    """Send a message to a webhook again.

    One that was delivered or given up, under the id that it had, as often as a new one. The answer is the message as it
    waits to be sent.
    """
    return store.webhooks.resend(caller.workspace, webhook, message)


def _require_safe(url: str, sender: Sender) -> None:
    try:
        require_safe_url(url, sender.rules)
    except UnsafeAddressError as error:
        detail = f"Nothing is sent there: {error}"
        expected = "an https address outside the network of the server"
        raise validation.InvalidInputError(
            [Fault(pointer="/url", detail=detail, expected=expected, found=url[:200])]
        ) from None


def _shown(record: WebhookRecord, secret: str) -> NewWebhook:
    return NewWebhook(**{name: getattr(record, name) for name in record.__struct_fields__}, secret=secret)

"""The methods of a client for webhooks and the messages to them."""

from collections.abc import Iterator, Sequence
from typing import Unpack

from hitchworth_sdk import _operations as operations
from hitchworth_sdk._calls import Caller, CallOptions
from hitchworth_sdk._exchange import NO_BODY
from hitchworth_sdk._types import (
    AttentionThresholds,
    EventType,
    MessageState,
    NewWebhook,
    SecretRotation,
    WebhookMessage,
    WebhookRecord,
    WebhookRequest,
)


class Webhooks(Caller):
    """The methods of a client for webhooks. The server must have been started with a database."""

    def create_webhook(
        self,
        url: str,
        events: Sequence[EventType],
        *,
        description: str | None = None,
        thresholds: AttentionThresholds | None = None,
        locale: str = "en-US",
        **options: Unpack[CallOptions],
    ) -> NewWebhook:
        """Make a webhook. The answer is the only one that has the secret to verify its messages with, in `secret`.

        Sent again when no answer came, it is made once; see create_key.
        """
        wanted = WebhookRequest(
            url=url,
            events=tuple(events),
            description=description,
            thresholds=thresholds or AttentionThresholds(),
            locale=locale,
        )
        return self._call(operations.CREATE_WEBHOOK, wanted, options)

    def list_webhooks(self, **options: Unpack[CallOptions]) -> tuple[WebhookRecord, ...]:
        """List the webhooks of this workspace, without their secrets."""
        return self._call(operations.LIST_WEBHOOKS, NO_BODY, options)

    def get_webhook(self, webhook: str, **options: Unpack[CallOptions]) -> WebhookRecord:
        """Get a webhook by its id, without its secret."""
        return self._call(operations.GET_WEBHOOK, NO_BODY, options, webhook=webhook)

    def delete_webhook(self, webhook: str, **options: Unpack[CallOptions]) -> WebhookRecord:
        """Delete a webhook with its messages."""
        return self._call(operations.DELETE_WEBHOOK, NO_BODY, options, webhook=webhook)

    def rotate_webhook_secret(
        self, webhook: str, *, grace_seconds: int = 86_400, **options: Unpack[CallOptions]
    ) -> NewWebhook:
        """Replace the secret of a webhook. grace_seconds: how long messages are signed with the old one as well."""
        wanted = SecretRotation(grace_seconds=grace_seconds)
        return self._call(operations.ROTATE_WEBHOOK_SECRET, wanted, options, webhook=webhook)

    def enable_webhook(self, webhook: str, **options: Unpack[CallOptions]) -> WebhookRecord:
        """Let a webhook work again that was disabled because its receiver answered 410."""
        return self._call(operations.ENABLE_WEBHOOK, NO_BODY, options, webhook=webhook)

    def try_webhook(self, webhook: str, **options: Unpack[CallOptions]) -> WebhookMessage:
        """Send a message to try a webhook. Its `state` and `error` say what came of it."""
        return self._call(operations.TRY_WEBHOOK, NO_BODY, options, webhook=webhook)

    def list_webhook_messages(
        self, webhook: str, *, state: MessageState | None = None, limit: int = 50, **options: Unpack[CallOptions]
    ) -> Iterator[WebhookMessage]:
        """Iterate over the messages to a webhook, the latest first. Pages are fetched as they are needed.

        state: dead for those that were given up. limit: how many to fetch at a time.
        """
        which = {"webhook": webhook, "state": state, "limit": limit}
        return self._items(operations.LIST_WEBHOOK_MESSAGES, options, **which)

    def get_webhook_message(self, webhook: str, message: str, **options: Unpack[CallOptions]) -> WebhookMessage:
        """Get a message to a webhook by its id."""
        return self._call(operations.GET_WEBHOOK_MESSAGE, NO_BODY, options, webhook=webhook, message=message)

    def resend_webhook_message(self, webhook: str, message: str, **options: Unpack[CallOptions]) -> WebhookMessage:
        """Have a message that was delivered or given up sent again, under the same id."""
        return self._call(operations.RESEND_WEBHOOK_MESSAGE, NO_BODY, options, webhook=webhook, message=message)

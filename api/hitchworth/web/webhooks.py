"""Webhooks as resources."""

from functools import partial

from hitchworth.model.webhook import NewWebhook, SecretRotation, WebhookRequest
from hitchworth.operations import webhooks
from hitchworth.operations.webhooks import WEBHOOKS
from hitchworth.web.kept_documents import next_page
from hitchworth.web.operation import Links, Operation

_WEBHOOK = WEBHOOKS + "/{webhook}"
_MESSAGE = _WEBHOOK + "/messages/{message}"


def _location(webhook: NewWebhook) -> str:
    return f"{WEBHOOKS}/{webhook.id}"


_administer = partial(Operation, tag="Webhooks", scope="admin", waits=True)

_SAME = Links(
    given={"webhook": "$response.body#/id"},
    to=(
        webhooks.get_webhook,
        webhooks.delete_webhook,
        webhooks.rotate_webhook_secret,
        webhooks.enable_webhook,
        webhooks.try_webhook,
        webhooks.list_webhook_messages,
    ),
)
_SENT = {"webhook": "$response.body#/webhook", "message": "$response.body#/id"}

OPERATIONS: tuple[Operation, ...] = (
    _administer(
        method="POST",
        path=WEBHOOKS,
        function=webhooks.create_webhook,
        body=WebhookRequest,
        status=201,
        headers={"Location": _location},
        links=(_SAME,),
        example="webhook",
    ),
    _administer(method="GET", path=WEBHOOKS, function=webhooks.list_webhooks),
    _administer(method="GET", path=_WEBHOOK, function=webhooks.get_webhook),
    _administer(method="DELETE", path=_WEBHOOK, function=webhooks.delete_webhook),
    _administer(
        method="POST",
        path=_WEBHOOK + "/rotate",
        function=webhooks.rotate_webhook_secret,
        body=SecretRotation,
        links=(Links(given={"webhook": "$response.body#/id"}, to=(webhooks.get_webhook, webhooks.delete_webhook)),),
        example="webhook-rotation",
    ),
    _administer(method="POST", path=_WEBHOOK + "/enable", function=webhooks.enable_webhook),
    _administer(
        method="POST",
        path=_WEBHOOK + "/test",
        function=webhooks.try_webhook,
        further_statuses=(409,),
        links=(Links(given=_SENT, to=(webhooks.get_webhook_message, webhooks.resend_webhook_message)),),
    ),
    _administer(
        method="GET",
        path=_WEBHOOK + "/messages",
        function=webhooks.list_webhook_messages,
        headers={"Link": next_page},
    ),
    _administer(method="GET", path=_MESSAGE, function=webhooks.get_webhook_message),
    _administer(
        method="POST",
        path=_MESSAGE + "/resend",
        function=webhooks.resend_webhook_message,
        further_statuses=(409,),
        links=(Links(given=_SENT, to=(webhooks.get_webhook_message,)),),
    ),
)

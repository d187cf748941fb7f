"""Webhooks: addresses that are told what happens in a workspace, and the messages to them."""

from datetime import datetime
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.access import CreatedAt, CreatedBy
from hitchworth.model.attention import AttentionItem, AttentionThresholds
from hitchworth.model.document import Locale
from hitchworth.model.kept import Revision
from hitchworth.model.listing import NextPage
from hitchworth.model.strings import ShortText

EventType: TypeAlias = Literal[
    "build.changed",
    "attention.limit_exceeded",
    "attention.limit_outgrown",
    "attention.gap",
    "attention.answer_old",
    "attention.quote_expires",
    "attention.unreadable",
]
"""What a webhook is told of.

build.changed: a revision of a build was made
attention.limit_exceeded: a limit no longer covers the value
attention.limit_outgrown: a limit will soon not cover the value
attention.gap: a gap is above the threshold
attention.answer_old: an answer has become old
attention.quote_expires: a quote expires soon
attention.unreadable: what is kept of a build cannot be valued
"""

TEST_EVENT = "webhook.test"
"""The type of a message that was only sent to try the webhook."""

MessageState: TypeAlias = Literal["pending", "delivered", "dead"]
"""How far a message has come.

pending: it is still to be sent, or to be sent again
delivered: the receiver has answered with a status of success
dead: it was given up; it can be sent again
"""

WebhookId = Annotated[str, Meta(pattern="^[0-9a-z]{1,40}$", description="The id of the webhook, made by the server.")]
MessageId = Annotated[
    str,
    Meta(
        pattern="^msg_[0-9a-z]{1,40}$",
        description="The id of the message, the same each time that it is sent: the header webhook-id.",
    ),
]
Url = Annotated[
    str,
    Meta(
        pattern="^https?://[!-~]+$",
        max_length=2000,
        description="Where messages are sent, by POST: an https address outside the network of the server, unless its "
        "operator allows others; without spaces, and a name with other letters than ASCII in its xn-- form.",
    ),
]
Events = Annotated[
    tuple[EventType, ...], Meta(min_length=1, max_length=20, description="What it is told of, without repetition.")
]
Thresholds = Annotated[
    AttentionThresholds, Meta(description="From when on something needs attention, for the events of attention.")
]


class WebhookRequest(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A webhook to make."""

    url: Url
    events: Events
    description: Annotated[ShortText | None, Meta(description="What it is for. Null: nothing was said.")] = None
    thresholds: Thresholds = AttentionThresholds()
    locale: Annotated[Locale, Meta(description="Locale of the sentences in the messages.")] = "en-US"


class SecretRotation(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How the secret of a webhook is replaced by a new one."""

    grace_seconds: Annotated[
        int,
        Meta(
            ge=0,
            le=2_592_000,
            description="How long messages are signed with the old secret as well as with the new one; at most "
            "30 days. Default: a day.",
        ),
    ] = 86_400


class WebhookRecord(Struct, frozen=True, kw_only=True):
    """A webhook, without its secret."""

    id: WebhookId
    url: Annotated[str, Meta(description="Where messages are sent.")]
    events: Annotated[tuple[EventType, ...], Meta(description="What it is told of.")]
    description: Annotated[str | None, Meta(description="What it is for. Null: nothing was said.")]
    thresholds: Thresholds
    locale: Annotated[str, Meta(description="Locale of the sentences in the messages.")]
    created_at: CreatedAt
    created_by: CreatedBy
    old_secret_until: Annotated[
        datetime | None,
        Meta(description="Until when messages are signed with the old secret too, in UTC. Null: there is none."),
    ]
    disabled_at: Annotated[
        datetime | None, Meta(description="When it was disabled, in UTC; nothing is sent since. Null: it works.")
    ]
    disabled_because: Annotated[str | None, Meta(description="Why it was disabled. Null: it works.")]


class NewWebhook(WebhookRecord, frozen=True, kw_only=True):
    """A webhook that was just made, or has a new secret: the only answer that shows it."""

    secret: Annotated[
        str, Meta(description="The secret to verify messages with: whsec_ and 32 bytes in base64. Shown this once.")
    ]


class WebhookMessage(Struct, frozen=True, kw_only=True):
    """A message to a webhook."""

    id: MessageId
    webhook: Annotated[str, Meta(description="The webhook that it is for.")]
    event: Annotated[str, Meta(description="What it tells: one of the events, or webhook.test.")]
    state: Annotated[MessageState, Meta(description="How far it has come.")]
    created_at: CreatedAt
    attempts: Annotated[int, Meta(description="How often it was sent.")]
    next_at: Annotated[
        datetime | None, Meta(description="When it is sent next, in UTC. Null: it is delivered or was given up.")
    ]
    status: Annotated[int | None, Meta(description="The status that the receiver answered last. Null: no answer.")]
    error: Annotated[str | None, Meta(description="Why the last attempt failed. Null: it did not, or there was none.")]
    finished_at: Annotated[
        datetime | None, Meta(description="When it was delivered or given up, in UTC. Null: neither yet.")
    ]
    body: Annotated[str, Meta(description="What is sent, as JSON.")]


class MessagePage(Struct, frozen=True, kw_only=True):
    """One page of the messages to a webhook, the latest first."""

    items: Annotated[tuple[WebhookMessage, ...], Meta(description="The messages of this page.")]
    next: NextPage


class BuildChange(Struct, frozen=True, kw_only=True):
    """What a message of the event build.changed says, in `data`."""

    name: Annotated[str, Meta(description="Name of the build.")]
    revision: Annotated[Revision, Meta(description="The revision that was made.")]
    path: Annotated[str, Meta(description="Where the build is on this server.")]


class MessageBody(Struct, frozen=True, kw_only=True):
    """The body of a message, in the form of the Standard Webhooks specification."""

    type: Annotated[str, Meta(description="What happened: one of the events, or webhook.test.")]
    timestamp: Annotated[datetime, Meta(description="When it happened, in UTC.")]
    data: Annotated[
        BuildChange | AttentionItem | dict[str, str],
        Meta(description="The change of a build, an item of attention, or nothing in a test."),
    ]

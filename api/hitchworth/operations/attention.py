"""What needs attention in a document. The docstring of the function is the description of the API."""

from hitchworth.attention import attention
from hitchworth.localization.localize import localize
from hitchworth.model.attention import AttentionList, AttentionRequest
from hitchworth.operations.clock import today


def create_attention(request: AttentionRequest) -> AttentionList:
    """List what needs attention in a document.

    A limit that does not cover the value, or soon will not; a gap above a threshold; an answer that is old; a quote
    that expires. The value that a limit has to cover is the replacement cost where the policy pays replacement cost or
    an agreed value, else the actual cash value. Prices to come are the known months of the indexes; after them each
    index goes on as in its last twelve known months, and the item says so. Without an index that has a trend, only what
    is bought, removed or quoted later changes the value.
    """
    return localize(attention(request, request.as_of or today()), request.locale)

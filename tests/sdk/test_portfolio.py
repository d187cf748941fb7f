"""The client's method for all kept builds together, against a real server."""

from datetime import date
from decimal import Decimal

import msgspec
import pytest

from hitchworth.store import open_store
from hitchworth.store.database import IN_MEMORY
from hitchworth.web.server import running
from hitchworth_sdk import Client, Document, InvalidParameter
from portfolio_documents import camper

DAY = date(2026, 11, 28)


def test_all_kept_builds_are_revalued() -> None:
    with running(store=open_store(IN_MEMORY)) as address, Client(address) as client:
        kept = client.create_build(msgspec.convert(camper("A"), Document, strict=False))
        found = client.get_portfolio(as_of=DAY, since=date(2026, 1, 1))
        assert [build.id for build in found.builds] == [kept.id]
        assert found.summary.sums[0].replacement_cost == Decimal("1000.00")
        assert found.builds[0].limits[0].since == date(2027, 3, 1)
        assert [change.kind for change in found.changed] == ["added"]
        assert not client.get_portfolio(as_of=DAY, horizon_days=30).builds[0].limits
        with pytest.raises(InvalidParameter):
            client.get_portfolio(horizon_days=-1)

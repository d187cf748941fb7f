"""Kept quotes over HTTP: kept, accepted into a build, changed by change orders, and compared with what was built.

The figures are worked by hand. Materials bear 10 percent overhead and 10 percent profit, side by side, and 5 percent
tax; the shop rate of 60.00 includes both and is not taxed:

    chassis   1 x 2,000.00   +200.00 +200.00 = 2,400.00   tax 120.00
    plywood  10 x    80.00    +80.00  +80.00 =   960.00   tax  48.00
    body     50 h x  60.00                   = 3,000.00
                                               6,360.00   tax 168.00   total 6,528.00

Change order 1 adds two panels: 378.00 + 37.80 + 37.80 = 453.60, tax 22.68: 476.28.
Change order 2 needs two sheets less: 8 x 80.00 = 640.00, with both 768.00, so 192.00 go back, and 9.60 of tax: -201.60.
The contract is 6,528.00 + 476.28 - 201.60 = 6,802.68.
"""

import json
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest

from hitchworth.model.access import KeyRequest
from hitchworth.operations.keys import new_key
from hitchworth.store import Store
from web_server import JSON, assert_problem, client

DAY = "2026-06-01"
CUSTOMER = {"accepted_by": "A. Customer", "accepted_on": "2026-06-10"}
QUOTES = "/v1/kept-quotes"
PATCH = {"content-type": "application/merge-patch+json"}
CHASSIS = {
    "id": "chassis",
    "description": "Chassis",
    "category": "chassis",
    "quantity": 1,
    "unit_cost": "2000.00",
    "acquired_on": DAY,
    "price_includes": "nothing",
}
PLYWOOD = CHASSIS | {"id": "plywood", "description": "Plywood", "category": "body", "quantity": 10, "unit_cost": "80"}
BODY = {"id": "body", "task": "Body", "category": "joinery", "hours": 50, "rate": 0, "performed_on": DAY}
QUOTE: dict[str, Any] = {
    "build": {"name": "Camper", "currency": "USD", "components": [CHASSIS, PLYWOOD], "labor": [BODY]},
    "pricing": {
        "number": "2026-20",
        "quoted_on": DAY,
        "valid_until": "2026-06-30",
        "completion_on": "2026-09-01",
        "shop_rates": [{"rate": "60.00"}],
        "markup": {"overhead_rate": "0.10", "profit_rate": "0.10"},
        "tax": {
            "rate": "0.05",
            "basis": "line",
            "treatments": [{"kind": "materials", "taxed": True}, {"kind": "fabrication", "taxed": False}],
        },
        "labor_kinds": [{"id": "body", "kind": "fabrication"}],
        "payments": [{"milestone": "Deposit", "share": "0.30"}, {"milestone": "Handover"}],
    },
}
PANEL = CHASSIS | {"id": "panel", "description": "Panel", "category": "solar", "quantity": 2, "unit_cost": "189"}
FIRST = {"number": "1", "dated": "2026-07-01", "reason": "Two panels", "components": [PANEL]}
SECOND = {
    "number": "2",
    "dated": "2026-07-10",
    "reason": "Two sheets less",
    "components": [PLYWOOD | {"quantity": 8}],
    "credits_overhead_and_profit": True,
    "days": 2,
}


class Workshop:
    """A caller that keeps quotes."""

    def __init__(self, api: Any) -> None:
        self.api = api

    def keep(self, body: Any = QUOTE) -> str:
        sent = self.post(QUOTES, body)
        assert sent.status_code == 201, sent.text
        return str(sent.headers["location"])

    def post(self, path: str, body: Any = None, **headers: str) -> Any:
        return self.api.post(path, content=json.dumps(body), headers=JSON | headers)

    def put(self, path: str, body: Any, owner: str) -> Any:
        return self.api.put(path, content=json.dumps(body), headers=JSON | {"if-match": self.tag(owner)})

    def patch(self, quote: str, body: Any) -> Any:
        return self.api.patch(quote, content=json.dumps(body), headers=PATCH | {"if-match": self.tag(quote)})

    def tag(self, path: str) -> str:
        return str(self.api.get(path).headers["etag"])

    def get(self, path: str, **query: Any) -> Any:
        answer = self.api.get(path, params=query or None)
        assert answer.status_code == 200, answer.text
        return answer.json()

    def accepted(self, body: Any = QUOTE) -> tuple[str, str]:
        """Keep a quote and accept it; return the addresses of the quote and of its build."""
        quote = self.keep(body)
        sent = self.post(f"{quote}/accept", CUSTOMER)
        assert sent.status_code == 201, sent.text
        return quote, str(sent.headers["location"])

    def change_order(self, quote: str, order: dict[str, Any], day: str) -> None:
        sent = self.post(f"{quote}/change-orders", order)
        assert sent.status_code == 201, sent.text
        accepted = {"accepted_by": "A. Customer", "accepted_on": day}
        sent = self.post(f"{quote}/change-orders/{order['number']}/accept", accepted)
        assert sent.status_code == 200, sent.text


@pytest.fixture
def shop(store: Store) -> Iterator[Workshop]:
    """A workshop whose quotes are kept in SQLite, and then in PostgreSQL."""
    with client(store) as api:
        yield Workshop(api)


def test_a_quote_over_two_change_orders_to_a_build_and_what_it_cost(shop: Workshop) -> None:
    quote, build = shop.accepted()
    kept = shop.get(build)
    assert kept["quote"] == quote.rpartition("/")[2]
    assert shop.get(quote)["made_build"] == kept["id"]
    assert {each["evidence_grade"] for each in kept["build"]["components"]} == {"written_quote"}
    assert worth(shop, build) == "6528.00"
    shop.change_order(quote, FIRST, "2026-07-02")
    assert worth(shop, build) == "7004.28"
    shop.change_order(quote, SECOND, "2026-07-11")
    assert worth(shop, build) == "6802.68"
    contract = shop.get(f"{quote}/contract")
    assert contract["quote"]["totals"]["total"] == "6528.00"
    assert [each["total_change"] for each in contract["changes"]] == ["476.28", "-201.60"]
    assert [each["contract_total"] for each in contract["changes"]] == ["7004.28", "6802.68"]
    assert contract["contract_total"] == "6802.68"
    assert (contract["added"], contract["deducted"], contract["pending"]) == ("476.28", "201.60", 0)
    assert contract["completion_on"] == "2026-09-03"
    assert sum(Decimal(each["amount"]) for each in contract["payments"]) == Decimal("6802.68")
    record_what_was_built(shop, build)
    variance = shop.get(f"{quote}/variance")
    # Quoted 2,000.00 + 640.00 + 378.00 + 3,000.00. Built: 2,100.00 and 360.00 as paid, 56 h at 60.00 = 3,360.00, and
    # the plywood as quoted.
    assert (variance["quoted"], variance["built"], variance["variance"]) == ("6018.00", "6460.00", "442.00")
    causes = {each["cause"]: each["amount"] for each in variance["causes"]}
    assert causes == {"price": "82.00", "labor_hours": "360.00"}  # 100.00 - 18.00; 6 h at 60.00
    assert {each["id"]: each["variance"] for each in variance["lines"]} == {
        "chassis": "100.00",
        "panel": "-18.00",
        "body": "360.00",
    }
    assert variance["still_quoted"] == ["plywood"]
    (hours,) = variance["hours"]
    assert (hours["quoted_hours"], hours["built_hours"], hours["likely"], hours["low"]) == ("50", "56", "1.1200", None)


def worth(shop: Workshop, build: str) -> Any:
    return shop.get(f"{build}/estimate", as_of="2026-11-01")["totals"]["replacement_cost"]


def record_what_was_built(shop: Workshop, build: str) -> None:
    """Put receipts and hours in the place of what was quoted, line by line."""
    bought = {"evidence_grade": "receipt", "acquired_on": "2026-07-15"}
    for part in (CHASSIS | {"unit_cost": "2100.00"}, PANEL | {"unit_cost": "180.00"}):
        assert shop.put(f"{build}/components/{part['id']}", part | bought, build).status_code == 200
    worked = BODY | {"hours": 56, "rate": "24.00", "evidence_grade": "receipt", "performed_on": "2026-08-20"}
    assert shop.put(f"{build}/labor/body", worked, build).status_code == 200


def test_the_log_says_which_quote_it_was_about(shop: Workshop) -> None:
    quote, build = shop.accepted()
    quote_id, build_id = (path.rpartition("/")[2] for path in (quote, build))
    shop.get(build)
    shop.get(quote)
    of_quote = shop.get("/v1/access-log", quote=quote_id)["items"]
    assert {(each["quote"], each["build"]) for each in of_quote} == {(quote_id, None)}
    assert "accept_kept_quote" in {each["operation"] for each in of_quote}
    of_build = shop.get("/v1/access-log", build=build_id)["items"]
    assert [(each["operation"], each["quote"], each["build"]) for each in of_build] == [("get_build", None, build_id)]
    page = shop.get("/v1/access-log", quote=quote_id, limit=1)
    assert len(shop.get(page["next"])["items"]) == 1
    assert f"quote={quote_id}" in page["next"]


def test_hours_teach_with_a_range_and_only_where_they_were_recorded(shop: Workshop) -> None:
    tasks = [BODY | {"id": name, "task": name, "hours": 10} for name in ("a", "b", "c")]
    pricing = QUOTE["pricing"] | {"labor_kinds": [{"id": name, "kind": "fabrication"} for name in "abc"]}
    quote, build = shop.accepted({"build": QUOTE["build"] | {"labor": tasks}, "pricing": pricing})
    for name, hours in (("a", 9), ("b", 14)):
        entry = shop.get(f"{build}/labor/{name}")
        # Only the hours are recorded: at the price that the owner pays for one, the work would look dearer than it was.
        done = entry | {"hours": hours, "evidence_grade": "receipt"}
        assert shop.put(f"{build}/labor/{name}", done, build).status_code == 200
    variance = shop.get(f"{quote}/variance")
    (learned,) = variance["hours"]
    assert learned["tasks"] == 2
    assert (learned["quoted_hours"], learned["built_hours"]) == ("20", "23")
    assert (learned["low"], learned["likely"], learned["high"]) == ("0.9000", "1.1500", "1.4000")
    assert {each["cause"]: each["amount"] for each in variance["causes"]} == {"labor_hours": "180.00"}
    assert variance["still_quoted"] == ["c", "chassis", "plywood"]


def test_a_line_with_a_receipt_stays_when_a_change_order_touches_it(shop: Workshop) -> None:
    quote, build = shop.accepted()
    receipt = PLYWOOD | {"unit_cost": "75.00", "evidence_grade": "receipt"}
    assert shop.put(f"{build}/components/plywood", receipt, build).status_code == 200
    shop.change_order(quote, SECOND, "2026-07-11")
    dropped = {"number": "3", "dated": "2026-07-12", "reason": "Own chassis", "drop": ["chassis", "plywood"]}
    shop.change_order(quote, dropped, "2026-07-12")
    (plywood,) = shop.get(build)["build"]["components"]
    assert (plywood["id"], plywood["unit_cost"], plywood["quantity"]) == ("plywood", "75.00", "10")
    assert shop.get(build)["revision"] == 4


def test_the_histories_of_quote_and_build_say_who_when_and_why(shop: Workshop) -> None:
    quote, build = shop.accepted()
    shop.change_order(quote, FIRST, "2026-07-02")
    history = shop.get(f"{quote}/revisions")["items"]
    assert [(each["revision"], each["message"]) for each in history] == [
        (4, "Change order 1 accepted by A. Customer"),
        (3, None),
        (2, "Accepted by A. Customer"),
        (1, None),
    ]
    assert [each["previous"] for each in history[:-1]] == [each["digest"] for each in history[1:]]
    assert "build" not in history[0]
    assert shop.get(f"{quote}/verify") == {
        "quote": quote.rpartition("/")[2],
        "revisions": 4,
        "intact": True,
        "first_unfit": None,
        "digest": history[0]["digest"],
    }
    assert [each["message"] for each in shop.get(f"{build}/revisions")["items"]] == [
        "Change order 1 accepted by A. Customer",
        f"Quote {quote.rpartition('/')[2]} accepted",
    ]
    first = shop.get(f"{quote}/revisions/1")
    assert "acceptance" not in first["pricing"]
    assert first["revision"] == 1
    page = shop.get(f"{quote}/revisions", limit=3)
    assert [each["revision"] for each in shop.get(page["next"])["items"]] == [1]
    table = shop.api.get(f"{quote}/revisions?format=csv").text.splitlines()
    assert table[0].split(",")[0] == "revision"
    assert [line.split(",")[0] for line in table[1:]] == ["4", "3", "2", "1"]


def test_a_quote_is_accepted_once(shop: Workshop) -> None:
    quote, build = shop.accepted()
    again = shop.post(f"{quote}/accept", CUSTOMER)
    assert_problem(again, 409, "quote-stage")
    assert "accepted by A. Customer on 2026-06-10" in again.json()["detail"]
    assert build.rpartition("/")[2] in again.json()["detail"]
    assert len(shop.get("/v1/builds")["items"]) == 1


def test_the_same_acceptance_sent_again_is_answered_as_the_first_time(shop: Workshop) -> None:
    quote = shop.keep()
    answers = [shop.post(f"{quote}/accept", CUSTOMER, **{"idempotency-key": "k"}) for _ in range(2)]
    assert [each.status_code for each in answers] == [201, 201]
    assert answers[0].content == answers[1].content
    for _ in range(2):
        sent = shop.post(f"{quote}/change-orders", FIRST, **{"idempotency-key": "o"})
        assert (sent.status_code, sent.json()["revision"]) == (201, 3)
    accepted = [
        shop.post(
            f"{quote}/change-orders/1/accept", CUSTOMER | {"accepted_on": "2026-07-02"}, **{"idempotency-key": "a"}
        )
        for _ in range(2)
    ]
    assert [each.json()["revision"] for each in accepted] == [4, 4]


@pytest.mark.parametrize(
    ("acceptance", "pointer", "expected"),
    [
        ({"accepted_by": "A", "accepted_on": "2026-07-01"}, "/accepted_on", "from 2026-06-01 to 2026-06-30"),
        ({"accepted_by": "A", "accepted_on": "2026-05-31"}, "/accepted_on", "from 2026-06-01 to 2026-06-30"),
        ({"accepted_by": "A"}, "/accepted_on", "from 2026-06-01 to 2026-06-30"),  # today, which is later
        ({"accepted_by": "A", "accepted_on": "2999-01-01"}, "/accepted_on", "or before"),
        ({"accepted_on": "2026-06-10"}, "/accepted_by", ""),
    ],
)
def test_an_expired_quote_is_not_accepted(
    shop: Workshop, acceptance: dict[str, str], pointer: str, expected: str
) -> None:
    quote = shop.keep()
    sent = shop.post(f"{quote}/accept", acceptance)
    assert_problem(sent, 422, "invalid-input")
    (fault,) = sent.json()["errors"]
    assert fault["pointer"] == pointer
    assert expected in fault["expected"]
    assert shop.get(quote)["revision"] == 1
    assert shop.get("/v1/builds")["items"] == []


def test_a_price_with_an_open_choice_is_not_accepted(shop: Workshop) -> None:
    heater = {"name": "Heater", "required": True, "alternatives": [{"name": "Diesel", "price": "900"}]}
    quote = shop.keep({**QUOTE, "pricing": QUOTE["pricing"] | {"option_groups": [heater]}})
    refused = shop.post(f"{quote}/accept", CUSTOMER)
    (fault,) = refused.json()["errors"]
    assert (fault["pointer"], fault["expected"]) == ("/pricing/option_groups/0/chosen", "one of Diesel")
    assert shop.patch(quote, {"pricing": {"option_groups": [heater | {"chosen": "Diesel"}]}}).status_code == 200
    assert shop.post(f"{quote}/accept", CUSTOMER).status_code == 201


def test_a_change_order_needs_an_accepted_quote(shop: Workshop) -> None:
    quote = shop.keep()
    for sent in (
        shop.post(f"{quote}/change-orders", FIRST),
        shop.post(f"{quote}/change-orders/1/accept", CUSTOMER),
        shop.api.get(f"{quote}/variance"),
    ):
        if sent.status_code == 404:
            continue
        assert_problem(sent, 409, "quote-stage")
        assert "/accept" in sent.json()["detail"]
    assert_problem(shop.post(f"{quote}/change-orders/1/accept", CUSTOMER), 404, "not-found")


def test_change_orders_are_accepted_in_their_turn_and_once(shop: Workshop) -> None:
    quote, _ = shop.accepted()
    for order in (FIRST, SECOND):
        assert shop.post(f"{quote}/change-orders", order).status_code == 201
    accepted = CUSTOMER | {"accepted_on": "2026-07-11"}
    early = shop.post(f"{quote}/change-orders/2/accept", accepted)
    assert_problem(early, 409, "quote-stage")
    assert "Change order 1 comes before it" in early.json()["detail"]
    headers = {"if-match": shop.tag(quote)}
    assert shop.api.delete(f"{quote}/change-orders/1", headers=headers).status_code == 200
    assert shop.post(f"{quote}/change-orders/2/accept", accepted).status_code == 200
    twice = shop.post(f"{quote}/change-orders/2/accept", accepted)
    assert_problem(twice, 409, "quote-stage")
    assert "once" in twice.json()["detail"]
    headers = {"if-match": shop.tag(quote)}
    assert_problem(shop.api.delete(f"{quote}/change-orders/2", headers=headers), 409, "quote-stage")
    assert_problem(shop.put(f"{quote}/change-orders/2", SECOND, quote), 409, "quote-stage")
    assert shop.get(f"{quote}/contract")["contract_total"] == "6326.40"  # 6,528.00 - 201.60
    too_early = CUSTOMER | {"accepted_on": "2026-07-09"}
    assert shop.post(f"{quote}/change-orders", FIRST | {"dated": "2026-07-10"}).status_code == 201
    refused = shop.post(f"{quote}/change-orders/1/accept", too_early)
    assert [each["pointer"] for each in refused.json()["errors"]] == ["/accepted_on"]


def test_faults_of_a_change_order_are_told_where_they_were_sent(shop: Workshop) -> None:
    quote, _ = shop.accepted()
    sent = shop.post(f"{quote}/change-orders", FIRST | {"drop": ["nothing"], "accepted_by": "A. Customer"})
    assert {each["pointer"] for each in sent.json()["errors"]} >= {"/drop/0", "/accepted_on"}
    sent = shop.post(f"{quote}/change-orders", FIRST | {"accepted_by": "A", "accepted_on": "2026-07-01"})
    assert [each["pointer"] for each in sent.json()["errors"]] == ["/accepted_by"]
    assert shop.get(quote)["revision"] == 2


@pytest.mark.parametrize(
    ("patch", "pointers"),
    [
        ({"build": {"components": [CHASSIS]}}, ["/build"]),
        ({"options": {"rounding": "half_even"}}, ["/options"]),
        ({"pricing": {"discount": {"reason": "x", "rate": "0.5"}, "acceptance": None}}, ["/pricing/acceptance"]),
        ({"pricing": {"markup": None, "exclusions": ["Delivery"]}}, ["/pricing/exclusions", "/pricing/markup"]),
        ({"changes": []}, ["/changes/0"]),
        (
            {"changes": [FIRST | {"reason": "Other", "accepted_by": "A. Customer", "accepted_on": "2026-07-02"}]},
            ["/changes/0"],
        ),
    ],
)
def test_what_was_accepted_stays(shop: Workshop, patch: dict[str, Any], pointers: list[str]) -> None:
    quote, _ = shop.accepted()
    shop.change_order(quote, FIRST, "2026-07-02")
    sent = shop.patch(quote, patch)
    assert_problem(sent, 422, "invalid-input")
    assert {each["pointer"] for each in sent.json()["errors"]} >= set(pointers)
    headers = {"if-match": shop.tag(quote)}
    assert shop.api.post(f"{quote}/revisions/1/restore", headers=headers).status_code == 422
    assert shop.get(quote)["revision"] == 4


def test_payments_draws_and_certificates_are_still_written_after_the_acceptance(shop: Workshop) -> None:
    body = {**QUOTE, "pricing": QUOTE["pricing"] | {"contingency": {"amount": "500"}}}
    quote, _ = shop.accepted(body)
    pricing = {
        "payments": [{"milestone": "Deposit", "share": "0.30", "paid_on": "2026-06-11"}, {"milestone": "Handover"}],
        "contingency": {"draws": [{"event": "Bent axle", "amount": "120", "drawn_on": "2026-07-01"}]},
        "certifications": [{"subject": "Welds", "certified_by": "A. Welder"}],
    }
    sent = shop.patch(quote, {"pricing": pricing, "locale": "de-DE"})
    assert sent.status_code == 200, sent.text
    contract = shop.get(f"{quote}/contract")
    assert contract["contingency"]["remaining"] == "380.00"
    over = {"draws": [{"event": "Bent axle", "amount": "501", "drawn_on": "2026-07-01"}]}
    refused = shop.patch(quote, {"pricing": {"contingency": over}})
    assert refused.status_code == 422, "a draw that takes more than there is"
    assert refused.json()["errors"][0]["pointer"] == "/pricing/contingency/draws/0/amount"


@pytest.mark.parametrize(
    ("pricing", "pointer"),
    [
        ({"acceptance": CUSTOMER}, "/pricing/acceptance"),
        ({"markup": {"profit_rate": 1, "profit_basis": "margin"}}, "/pricing/markup/profit_rate"),
        ({"payments": [{"milestone": "a", "share": "0.3"}, {"milestone": "b", "share": "0.6"}]}, "/pricing/payments"),
        ({"payments": [{"milestone": "a", "amount": "1"}]}, "/pricing/payments"),
        (
            {"option_groups": [{"name": "o", "alternatives": [{"name": "a"}]}]},
            "/pricing/option_groups/0/alternatives/0/price",
        ),
    ],
)
def test_a_quote_with_faults_is_not_kept(shop: Workshop, pricing: dict[str, Any], pointer: str) -> None:
    sent = shop.post(QUOTES, {**QUOTE, "pricing": QUOTE["pricing"] | pricing})
    assert_problem(sent, 422, "invalid-input")
    assert [each["pointer"] for each in sent.json()["errors"]] == [pointer]
    assert shop.get(QUOTES)["items"] == []
    sent = shop.post(QUOTES, {**QUOTE, "changes": [FIRST]})
    assert [each["pointer"] for each in sent.json()["errors"]] == ["/changes"]


def test_a_kept_quote_costs_the_same_tomorrow(shop: Workshop) -> None:
    """Without a day of its own, it is quoted on the day on which it is kept, and whenever it is changed."""
    pricing = {name: value for name, value in QUOTE["pricing"].items() if not name.endswith(("_on", "_until"))}
    quote = shop.keep({**QUOTE, "pricing": pricing})
    assert shop.get(quote)["pricing"]["quoted_on"] == shop.get(quote)["created_at"][:10]
    assert shop.patch(quote, {"pricing": {"quoted_on": None}}).status_code == 200
    assert shop.get(quote)["pricing"]["quoted_on"]


def test_a_kept_quote_as_it_is_answered_is_a_quote_again(shop: Workshop) -> None:
    quote, _ = shop.accepted()
    answered = shop.get(quote)
    assert shop.put(quote, answered, quote).status_code == 200
    assert shop.get(quote)["revision"] == 2
    assert shop.post("/v1/contracts", answered).json()["contract_total"] == "6528.00"


def test_quotes_are_listed_apart_from_builds(shop: Workshop) -> None:
    first, second = shop.keep(), shop.keep()
    assert shop.get("/v1/builds")["items"] == []
    shop.post(f"{second}/accept", CUSTOMER)
    listed = {each["id"]: each for each in shop.get(QUOTES)["items"]}
    assert set(listed) == {first.rpartition("/")[2], second.rpartition("/")[2]}
    entry = listed[second.rpartition("/")[2]]
    assert (entry["number"], entry["valid_until"], entry["accepted_on"]) == ("2026-20", "2026-06-30", "2026-06-10")
    (build,) = shop.get("/v1/builds")["items"]
    assert (entry["made_build"], build["quote"]) == (build["id"], entry["id"])
    assert [each["id"] for each in shop.get(QUOTES, accepted="true")["items"]] == [entry["id"]]
    assert [each["id"] for each in shop.get(QUOTES, accepted="false")["items"]] == [first.rpartition("/")[2]]
    page = shop.get(QUOTES, accepted="false", limit=1, sort="name")
    assert page["next"] is None
    page = shop.get(QUOTES, limit=1)
    assert [each["id"] for each in shop.get(page["next"])["items"]] == [first.rpartition("/")[2]]
    # The id of a quote is none of a build, and the other way round.
    assert shop.api.get(f"/v1/builds/{entry['id']}").status_code == 404
    assert shop.api.get(f"{QUOTES}/{build['id']}").status_code == 404
    held = shop.get("/v1/workspace")
    assert (held["builds"], held["quotes"]) == (1, 2)


def test_a_quote_without_change_orders_has_none_to_withdraw_or_replace(shop: Workshop) -> None:
    quote = shop.keep()
    withdrawn = shop.api.delete(f"{quote}/change-orders/1", headers={"if-match": shop.tag(quote)})
    for refused in (withdrawn, shop.put(f"{quote}/change-orders/1", FIRST, quote)):
        assert_problem(refused, 404, "not-found")
        assert refused.json()["detail"] == "The quote has no change order '1'."


def test_the_body_is_about_what_the_address_names(shop: Workshop) -> None:
    quote, other = shop.keep(), shop.keep()
    refused = shop.put(quote, shop.get(other), quote)
    assert_problem(refused, 422, "invalid-input")
    (fault,) = refused.json()["errors"]
    assert (fault["pointer"], fault["expected"]) == ("/id", quote.rpartition("/")[2])
    again = shop.put(quote, shop.get(quote), quote)
    assert (again.status_code, again.json()["revision"]) == (200, 1)
    accepted, _ = shop.accepted()
    assert shop.post(f"{accepted}/change-orders", SECOND).status_code == 201
    refused = shop.put(f"{accepted}/change-orders/2", SECOND | {"number": "3"}, accepted)
    assert_problem(refused, 422, "invalid-input")
    assert [(fault["pointer"], fault["expected"]) for fault in refused.json()["errors"]] == [("/number", "2")]


def test_a_stale_change_and_one_in_the_trash_are_refused(shop: Workshop) -> None:
    quote = shop.keep()
    old = shop.tag(quote)
    assert shop.patch(quote, {"pricing": {"terms": "Half now."}}).status_code == 200
    stale = shop.api.put(quote, content=json.dumps(QUOTE), headers=JSON | {"if-match": old})
    assert_problem(stale, 412, "precondition-failed")
    assert stale.json()["detail"].startswith("The quote is at revision 2")
    assert_problem(shop.post(f"{quote}/accept", CUSTOMER, **{"if-match": old}), 412, "precondition-failed")
    assert_problem(shop.api.put(quote, content=json.dumps(QUOTE), headers=JSON), 428, "precondition-required")
    assert shop.api.delete(quote, headers={"if-match": shop.tag(quote)}).json()["action"] == "trashed"
    refused = shop.post(f"{quote}/accept", CUSTOMER)
    assert_problem(refused, 409, "in-trash")
    assert refused.json()["detail"].startswith("The quote is in the trash")
    assert shop.get(QUOTES)["items"] == []
    assert shop.api.post(f"{quote}/recover", headers={"if-match": shop.tag(quote)}).status_code == 200
    assert shop.post(f"{quote}/accept", CUSTOMER).status_code == 201


def test_a_change_order_waits_for_a_build_in_the_trash(shop: Workshop) -> None:
    quote, build = shop.accepted()
    shop.post(f"{quote}/change-orders", FIRST)
    shop.api.delete(build, headers={"if-match": shop.tag(build)})
    refused = shop.post(f"{quote}/change-orders/1/accept", CUSTOMER | {"accepted_on": "2026-07-02"})
    assert_problem(refused, 409, "in-trash")
    assert refused.json()["detail"].startswith("The build is in the trash")
    assert shop.get(f"{quote}/contract")["pending"] == 1


def test_reports_of_a_kept_quote_are_about_what_it_became(shop: Workshop) -> None:
    quote, build = shop.accepted()
    serial = CHASSIS | {"unit_cost": "2100.00", "serial_number": "SN-4711", "evidence_grade": "receipt"}
    assert shop.put(f"{build}/components/chassis", serial, build).status_code == 200
    pages = {
        name: shop.api.get(f"{quote}/reports/{name}", params={"format": "markdown"}).text
        for name in ("customer-quote", "workshop-quote", "change-orders", "handover")
    }
    assert "SN-4711" in pages["handover"]
    assert "SN-4711" not in pages["customer-quote"]
    assert "Overhead" in pages["workshop-quote"]
    assert "verhead" not in pages["customer-quote"]
    assert "6,528.00" in pages["customer-quote"]


def test_a_key_that_only_reads_does_not_accept(store: Store, shop: Workshop) -> None:
    quote = shop.keep()
    key = new_key(store, "default", "local", KeyRequest(name="reader", scope="read")).key
    headers = {"authorization": f"Bearer {key}"}
    assert_problem(shop.post(f"{quote}/accept", CUSTOMER, **headers), 403, "insufficient-scope")
    assert shop.api.get(quote, headers=headers).status_code == 200

"""The client's methods for kept builds, against a real server with a database, and what they send."""

import inspect
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import httpx2
import msgspec
import pytest

from hitchworth.demo import demo_body
from hitchworth.operations.renderings import DOCX
from hitchworth.store import open_store
from hitchworth.web.api import OPERATIONS
from hitchworth.web.server import running
from hitchworth_sdk import (
    Answer,
    Build,
    Client,
    Component,
    Document,
    GapRequest,
    IdempotencyKeyInUse,
    IdempotencyKeyReused,
    InTrash,
    InvalidInput,
    InvalidParameter,
    KeptBuild,
    Labor,
    Loss,
    NoDatabase,
    NotFound,
    Policy,
    PreconditionRequired,
    Revision,
    ServerError,
    StaleRevision,
    StoreUnavailable,
    TransportError,
    _sending,
    document_of,
)
from hitchworth_sdk._kept_builds import KeptBuilds
from sdk_exchanges import PlayedServer, problem

DAY = date(2026, 11, 1)
STOVE = Component(
    id="stove",
    description="Stove",
    category="stove",
    quantity=Decimal(1),
    unit_cost=Decimal("240.00"),
    acquired_on=date(2026, 3, 1),
)
DOCUMENT = Document(build=Build(name="Camper", currency="USD", components=(STOVE,)))
KEPT = [operation for operation in OPERATIONS if operation.tag == "Kept builds"]


@pytest.fixture(scope="module")
def url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    store = open_store(str(tmp_path_factory.mktemp("kept") / "builds.db"))
    with running(store=store) as address:
        yield address
    store.close()


@pytest.fixture
def keeping(url: str) -> Iterator[Client]:
    with Client(url, retries=0) as made:
        yield made


@pytest.fixture
def kept(keeping: Client) -> KeptBuild:
    return keeping.create_build(DOCUMENT, message="The start")


def test_what_is_kept_is_what_was_sent(keeping: Client, kept: KeptBuild) -> None:
    assert document_of(keeping.get_build(kept.id)) == DOCUMENT
    assert (kept.revision, kept.trashed_at) == (1, None)


def test_a_change_is_made_to_what_was_seen(keeping: Client, kept: KeptBuild) -> None:
    renamed = msgspec.structs.replace(DOCUMENT, build=msgspec.structs.replace(DOCUMENT.build, name="Other"))
    second = keeping.replace_build(kept, renamed, message="Another name")
    assert (second.revision, second.build.name) == (2, "Other")
    with pytest.raises(StaleRevision):
        keeping.replace_build(kept, DOCUMENT)
    third = keeping.patch_build(second, {"build": {"name": "Third"}})
    assert third.build.name == "Third"
    fourth = keeping.restore_revision(third, 1)
    assert keeping.get_build(kept.id).build.name == "Camper"
    assert (fourth.action, fourth.revision) == ("restored", 4)
    assert [each.message for each in keeping.list_revisions(kept)] == [None, None, "Another name", "The start"]


def test_parts_are_added_read_replaced_and_removed(keeping: Client, kept: KeptBuild) -> None:
    battery = msgspec.structs.replace(STOVE, id="battery")
    labor = Labor(id="fit", task="Fit it", hours=Decimal(2), rate=Decimal(40), performed_on=DAY)
    policy, loss = Policy(name="one"), Loss(name="hail", peril="hail")
    answer = Answer(value=True, policy="one", term="holdback")
    at: Revision = keeping.add_component(kept.id, battery)
    at = keeping.add_labor(at, labor)
    at = keeping.add_policy(at, policy)
    at = keeping.add_loss(at, loss)
    at = keeping.add_answer(at, answer)
    at = keeping.set_fact(at, "wheels", 2)
    assert keeping.get_component(kept, "battery") == battery
    assert keeping.get_labor(kept, "fit") == labor
    assert keeping.get_policy(kept, "one") == policy
    assert keeping.get_loss(kept, "hail") == loss
    assert keeping.get_answer(kept, 0) == answer
    at = keeping.replace_component(at, "battery", msgspec.structs.replace(battery, unit_cost=Decimal(1)))
    at = keeping.replace_labor(at, "fit", msgspec.structs.replace(labor, hours=Decimal(3)))
    at = keeping.replace_policy(at, "one", msgspec.structs.replace(policy, deductible=Decimal(500)))
    at = keeping.replace_loss(at, "hail", msgspec.structs.replace(loss, replaced=False))
    at = keeping.replace_answer(at, 0, msgspec.structs.replace(answer, value=False))
    at = keeping.set_fact(at, "has_toilet", None)
    now = document_of(keeping.get_build(kept.id))
    assert (now.build.components[1].unit_cost, now.build.labor[0].hours) == (Decimal(1), Decimal(3))
    assert (now.policies[0].deductible, now.losses[0].replaced, now.answers[0].value) == (Decimal(500), False, False)
    assert now.build.facts == {"wheels": 2, "has_toilet": None}
    at = keeping.remove_answer(at, 0)
    at = keeping.remove_loss(at, "hail")
    at = keeping.remove_policy(at, "one")
    at = keeping.remove_labor(at, "fit")
    at = keeping.remove_component(at, "battery")
    at = keeping.remove_fact(at, "wheels")
    keeping.remove_fact(at, "has_toilet")
    assert document_of(keeping.get_build(kept.id)) == DOCUMENT


def test_an_addition_goes_to_what_is_there_now_unless_it_was_seen(keeping: Client, kept: KeptBuild) -> None:
    keeping.set_fact(kept, "wheels", 2)
    assert keeping.add_policy(kept.id, Policy(name="one")).revision == 3
    with pytest.raises(StaleRevision):
        keeping.add_policy(kept, Policy(name="two"))


def test_the_trash(keeping: Client, kept: KeptBuild) -> None:
    trashed = keeping.trash_build(kept)
    with pytest.raises(InTrash):
        keeping.set_fact(trashed, "wheels", 2)
    assert kept.id in {each.id for each in keeping.list_builds(trashed=True)}
    assert kept.id not in {each.id for each in keeping.list_builds()}
    assert keeping.recover_build(trashed).action == "recovered"
    assert kept.id in {each.id for each in keeping.list_builds()}


def test_lists_go_on_from_page_to_page(keeping: Client) -> None:
    made = [keeping.create_build(Document(build=Build(name=f"Paged {n}", currency="USD"))) for n in range(5)]
    found = list(keeping.list_builds(name="Paged", sort="name", limit=2))
    assert [each.name for each in found] == [f"Paged {n}" for n in range(5)]
    at: Revision | KeptBuild = made[0]
    for wheels in range(1, 6):
        at = keeping.set_fact(at, "wheels", wheels)
    assert [each.revision for each in keeping.list_revisions(made[0].id, limit=2)] == [6, 5, 4, 3, 2, 1]
    assert list(keeping.list_builds(updated_since=datetime.now(UTC) + timedelta(days=1))) == []
    assert list(keeping.list_builds(jurisdiction="GB")) == list(keeping.list_builds(registered_class="boat")) == []
    assert keeping.get_revision(made[0], 2).build.facts == {"wheels": 1}


def test_what_is_computed_is_what_the_document_gives(keeping: Client) -> None:
    demo = msgspec.convert({k: v for k, v in msgspec.json.decode(demo_body()).items() if k != "as_of"}, Document)
    kept = keeping.create_build(demo)
    request = msgspec.json.decode(demo_body(), type=GapRequest)
    assert keeping.get_gap_statement(kept, as_of=DAY) == keeping.create_gap_statement(request)
    assert keeping.get_estimate(kept, as_of=DAY) == keeping.get_gap_statement(kept, as_of=DAY).estimate
    assert keeping.get_classification(kept, as_of=DAY) == keeping.get_gap_statement(kept, as_of=DAY).assessment
    assert keeping.get_settlements(kept, as_of=DAY).matrix == keeping.get_gap_statement(kept, as_of=DAY).matrix
    assert keeping.get_protection_check(kept, as_of=DAY) == keeping.get_gap_statement(kept, as_of=DAY).protection
    curve = keeping.get_value_curve(kept, first=DAY, last=date(2028, 11, 1), limit="9000")
    assert ([point.as_of.year for point in curve.points], curve.limit) == ([2026, 2027, 2028], Decimal(9000))
    digest = keeping.get_gap_statement(kept, as_of=DAY).digest
    assert keeping.verify_build(kept, digest=digest, as_of=DAY).belongs_to == (1,)
    assert digest in keeping.get_conversation_sheet(kept, as_of=DAY)
    assert keeping.get_conversation_sheet(kept, "application/pdf", as_of=DAY, paper="a4").startswith(b"%PDF-")
    assert keeping.get_report(kept, "inventory", "text/markdown", as_of=DAY).startswith("#")
    assert keeping.get_report(kept, "all", "application/pdf", as_of=DAY, revision=1).startswith(b"%PDF-")
    assert "Change of class" in keeping.get_letter(kept, "change-class", as_of=DAY)
    assert keeping.get_letter(kept, "correct-class", DOCX, as_of=DAY, for_policy="agreed value").startswith(b"PK")


def test_two_revisions_or_two_dates_are_compared(keeping: Client, kept: KeptBuild) -> None:
    keeping.replace_component(kept, "stove", msgspec.structs.replace(STOVE, unit_cost=Decimal("290.00")))
    in_words = [change.text for change in keeping.get_comparison(kept, 1, 2).changes]
    assert in_words == ["Stove repriced from $240.00 to $290.00"]
    assert keeping.get_comparison(kept).changes == keeping.get_comparison(kept, 1, 2).changes
    dates = keeping.get_comparison(kept, date(2026, 4, 1), date(2027, 4, 1))
    assert (dates.changes, dates.before.as_of, dates.after.as_of) == ((), date(2026, 4, 1), date(2027, 4, 1))


def test_faults_and_absences_are_told(keeping: Client, kept: KeptBuild) -> None:
    with pytest.raises(InvalidInput) as caught:
        keeping.create_build(Document(build=Build(name="", currency="dollars")))
    assert [fault.pointer for fault in caught.value.faults] == ["/build/name", "/build/currency"]
    for missing in ("0" * 16, "no/such?build"):
        with pytest.raises(NotFound):
            keeping.get_build(missing)
    with pytest.raises(NotFound):
        keeping.get_component(kept, "no such")


def test_a_server_without_a_database_says_so() -> None:
    with running() as address, Client(address, retries=0) as asking, pytest.raises(NoDatabase):
        asking.create_build(DOCUMENT)


@pytest.fixture
def pauses(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    made: list[float] = []
    monkeypatch.setattr(_sending, "sleep", made.append)
    return made


def as_answered(kept: KeptBuild) -> httpx2.Response:
    return httpx2.Response(201, content=msgspec.json.encode(kept), headers={"Content-Type": "application/json"})


def test_what_creates_is_sent_again_under_its_key(kept: KeptBuild, pauses: list[float]) -> None:
    server = PlayedServer(httpx2.ReadError("broken"), problem(503), as_answered(kept))
    with server.client() as asking:
        asking.create_build(DOCUMENT)
        asking.create_build(DOCUMENT)
    keys = [request.headers["Idempotency-Key"] for request in server.requests]
    assert keys[0] == keys[1] == keys[2] != keys[3]
    assert len(pauses) == 2


def test_a_key_of_the_callers_own_is_kept(kept: KeptBuild) -> None:
    server = PlayedServer(as_answered(kept))
    with server.client() as asking:
        asking.create_build(DOCUMENT, headers={"Idempotency-Key": "receipt-17"})
    assert server.requests[0].headers["Idempotency-Key"] == "receipt-17"


def test_another_change_is_sent_once(kept: KeptBuild, pauses: list[float]) -> None:
    # Whether it was made cannot be told, and made again it would find its own revision.
    for play in (httpx2.ReadError("broken"), problem(503)):
        server = PlayedServer(play)
        with server.client() as asking, pytest.raises((TransportError, ServerError)):
            asking.replace_build(kept, DOCUMENT)
        (request,) = server.requests
        assert request.headers["If-Match"] == f'"{kept.digest}"'
    assert pauses == []


@pytest.mark.parametrize(
    ("name", "status", "kind"),
    [
        ("store-busy", 503, StoreUnavailable),
        ("store-full", 507, StoreUnavailable),
        ("precondition-required", 428, PreconditionRequired),
        ("precondition-failed", 412, StaleRevision),
        ("no-database", 501, NoDatabase),
        ("in-trash", 409, InTrash),
        ("idempotency-key-in-use", 409, IdempotencyKeyInUse),
        ("idempotency-key-reused", 422, IdempotencyKeyReused),
    ],
)
def test_problems_of_kept_builds(name: str, status: int, kind: type[Exception]) -> None:
    server = PlayedServer(problem(status, type=f"/problems/{name}"))
    with server.client(retries=0) as asking, pytest.raises(kind) as caught:
        asking.get_build("b")
    assert caught.type is kind


def test_a_merge_patch_and_an_unknown_fact_are_bodies(kept: KeptBuild) -> None:
    server = PlayedServer(problem(412))
    with server.client(retries=0) as asking:
        with pytest.raises(StaleRevision):
            asking.patch_build(kept, {"policies": None})
        with pytest.raises(StaleRevision):
            asking.set_fact(kept, "wheels", None)
    patch, fact = server.requests
    assert (patch.headers["Content-Type"], patch.content) == ("application/merge-patch+json", b'{"policies":null}')
    assert (fact.headers["Content-Type"], fact.content) == ("application/json", b"null")


def test_the_key_opens_every_request(monkeypatch: pytest.MonkeyPatch) -> None:
    server = PlayedServer(problem(404))
    transport = httpx2.MockTransport(server)
    monkeypatch.setenv("HITCHWORTH_KEY", "from-the-environment")
    for given in (None, "given"):
        with Client("http://server.test", transport=transport, api_key=given) as asking, pytest.raises(NotFound):
            asking.get_build("b")
    sent = [request.headers["Authorization"] for request in server.requests]
    assert sent == ["Bearer from-the-environment", "Bearer given"]


def test_every_operation_on_kept_builds_has_a_method() -> None:
    methods = {name for name, _ in inspect.getmembers(KeptBuilds, inspect.isfunction) if not name.startswith("_")}
    assert methods == {operation.operation_id for operation in KEPT}


def test_nothing_is_left_in_the_folder(tmp_path: Path) -> None:
    store = open_store(str(tmp_path / "builds.db"))
    with running(store=store) as address, Client(address) as asking:
        asking.create_build(DOCUMENT)
    store.close()
    assert {path.name.partition(".")[0] for path in tmp_path.iterdir()} == {"builds"}


def test_the_server_takes_no_digest_that_is_too_short_to_prove_anything(keeping: Client, kept: KeptBuild) -> None:
    with pytest.raises(InvalidParameter, match="digest"):
        keeping.verify_build(kept, digest=kept.digest[:2])

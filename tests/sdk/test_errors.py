"""What comes back when the API answers with a problem, and when no answer can be read."""

import pickle

import httpx2
import pytest

from hitchworth.web.problems import PROBLEM_TYPES, ProblemType
from hitchworth_sdk import (
    ApiError,
    BadRequest,
    Build,
    EstimateRequest,
    Fault,
    HitchworthError,
    InvalidInput,
    MethodNotAllowed,
    NotAcceptable,
    NotFound,
    PayloadTooLarge,
    Problem,
    RequestTimeout,
    Response,
    ResponseTimeoutError,
    ServerError,
    ServiceUnavailable,
    TooManyRequests,
    TransportError,
    UnexpectedResponse,
    UnsupportedMediaType,
    errors,
)
from sdk_exchanges import PlayedServer, healthy, problem

REQUEST = EstimateRequest(build=Build(name="Camper", currency="USD"))


@pytest.mark.parametrize(
    ("status", "kind"),
    [
        (400, BadRequest),
        (404, NotFound),
        (405, MethodNotAllowed),
        (406, NotAcceptable),
        (408, RequestTimeout),
        (413, PayloadTooLarge),
        (415, UnsupportedMediaType),
        (422, InvalidInput),
        (429, TooManyRequests),
        (500, ServerError),
        (503, ServiceUnavailable),
        (507, ServerError),
        (418, ApiError),
    ],
)
def test_each_status_has_its_exception(status: int, kind: type[ApiError]) -> None:
    server = PlayedServer(problem(status, type="/problems/some", title="Some title", detail="Some detail"))
    with server.client(retries=0) as client, pytest.raises(HitchworthError) as caught:
        client.get_health()
    error = caught.value
    assert type(error) is kind
    assert isinstance(error, ApiError)
    assert (error.status, error.type, error.title, error.detail) == (
        status,
        "/problems/some",
        "Some title",
        "Some detail",
    )


@pytest.mark.parametrize("kind", PROBLEM_TYPES, ids=lambda kind: kind.type)
def test_each_problem_of_the_server_has_its_exception(kind: ProblemType) -> None:
    """The client knows it by the type alone, whatever the status."""
    server = PlayedServer(problem(418, type=f"https://server.test{kind.type}"))
    with server.client(retries=0) as client, pytest.raises(ApiError) as by_type:
        client.get_health()
    with PlayedServer(problem(kind.status)).client(retries=0) as client, pytest.raises(ApiError) as by_status:
        client.get_health()
    assert type(by_type.value) is not ApiError
    assert isinstance(by_type.value, type(by_status.value))


def test_the_tree_of_errors_is_that_of_the_classes() -> None:
    """The docstring of the module, by its indents."""
    above: list[str] = []
    for line in (errors.__doc__ or "").split("\n\n", 1)[1].splitlines():
        name = line.split()[0]
        depth = (len(line) - len(line.lstrip())) // 4
        above[depth:] = [name]
        assert getattr(errors, name).__bases__[0].__name__ == ("Exception" if depth == 0 else above[depth - 1])
    listed = {line.split()[0] for line in (errors.__doc__ or "").split("\n\n", 1)[1].splitlines()}
    assert listed == {name for name, thing in vars(errors).items() if is_error(thing)}


def is_error(thing: object) -> bool:
    return isinstance(thing, type) and issubclass(thing, HitchworthError)


def test_every_fault_of_the_input_is_named() -> None:
    faults = [
        {"pointer": "/build/components/0/quantity", "detail": "too small", "expected": "0 or more", "found": "-3"},
        {"pointer": "", "detail": "something is wrong", "new_member": 1},
        {"pointer": "/a/0", "detail": "wrong", "also_at": ["/a/1", "/a/2", "/a/5"]},
        {"pointer": "/a/0/b/0", "detail": "wrong", "also_at": ["/a/1/b/1"]},
        {"pointer": "/a/0", "detail": "bad", "also_at": [f"/a/{row}" for row in range(2, 50, 2)]},
    ]
    server = PlayedServer(
        problem(422, title="The input has faults", detail="2 faults", errors=faults, headers={"X-Request-Id": "abc"})
    )
    with server.client() as client, pytest.raises(InvalidInput) as caught:
        client.create_estimate(REQUEST)
    assert caught.value.faults == (
        Fault(pointer="/build/components/0/quantity", detail="too small", expected="0 or more", found="-3"),
        Fault(pointer="", detail="something is wrong"),
        Fault(pointer="/a/0", detail="wrong", also_at=("/a/1", "/a/2", "/a/5")),
        Fault(pointer="/a/0/b/0", detail="wrong", also_at=("/a/1/b/1",)),
        Fault(pointer="/a/0", detail="bad", also_at=tuple(f"/a/{row}" for row in range(2, 50, 2))),
    )
    assert str(caught.value).splitlines() == [
        "422 The input has faults: 2 faults [request abc]",
        "  /build/components/0/quantity: too small (expected 0 or more, found -3)",
        "  (the whole body): something is wrong",
        "  /a/0: wrong; the same in 3 more rows: 1-2, 5",
        "  /a/0/b/0: wrong; the same in 1 more row: /a/1/b/1",
        f"  /a/0: bad; the same in 24 more rows: {', '.join(map(str, range(2, 42, 2)))}, and 4 more",
    ]


@pytest.mark.parametrize(
    ("detail", "message"),
    [("", "404 Not here"), ("Not here", "404 Not here"), ("No such build", "404 Not here: No such build")],
)
def test_a_message_has_the_detail_where_it_says_more_than_the_title(detail: str, message: str) -> None:
    assert str(ApiError(Problem(status=404, title="Not here", detail=detail))) == message


@pytest.mark.parametrize(
    "answer",
    [
        httpx2.Response(502, html="<h1>Bad gateway</h1>"),
        httpx2.Response(502, content=b"{", headers={"Content-Type": "application/problem+json"}),
        httpx2.Response(502, content=b'{"status": "?"}', headers={"Content-Type": "application/problem+json"}),
        httpx2.Response(502, content=b"[" * 100_000, headers={"Content-Type": "application/problem+json"}),
        httpx2.Response(502, content=b"\xff"),
    ],
)
def test_a_gateway_without_a_problem_document_is_told_by_its_status(answer: httpx2.Response) -> None:
    with PlayedServer(answer).client(retries=0) as client, pytest.raises(ServerError) as caught:
        client.get_health()
    assert (caught.value.status, caught.value.title) == (502, "Bad Gateway")
    assert len(caught.value.detail) <= 200


def test_a_status_that_no_standard_has_is_a_problem_too() -> None:
    with PlayedServer(httpx2.Response(499)).client() as client, pytest.raises(ApiError, match="499 Problem"):
        client.get_health()


def test_the_status_of_the_answer_counts_not_that_of_the_document() -> None:
    answer = httpx2.Response(404, json={"status": 200}, headers={"Content-Type": "application/problem+json"})
    with PlayedServer(answer).client() as client, pytest.raises(NotFound) as caught:
        client.get_health()
    assert caught.value.status == 404


@pytest.mark.parametrize(
    ("answer", "message"),
    [
        (httpx2.Response(200, html="<h1>Welcome</h1>"), "200 the answer is text/html, not application/json"),
        (httpx2.Response(302, headers={"Location": "/login"}), "302 the answer is empty, not application/json"),
        (httpx2.Response(204), "204 the answer is empty"),
        (httpx2.Response(200, json={"status": 1}), "200 the answer cannot be read: .*"),
        (
            httpx2.Response(200, content=b"{", headers={"Content-Type": "application/json"}),
            "200 the answer cannot be read",
        ),
        (
            httpx2.Response(200, content=b'"\xff', headers={"Content-Type": "application/json"}),
            "200 the answer cannot be read",
        ),
    ],
)
def test_an_answer_that_is_not_the_one_asked_for_is_unexpected(answer: httpx2.Response, message: str) -> None:
    with PlayedServer(answer).client() as client, pytest.raises(UnexpectedResponse, match=message):
        client.get_health()


def test_the_servers_name_for_a_request_is_kept() -> None:
    answer = healthy()
    answer.headers["X-Request-Id"] = "from-the-server"
    server = PlayedServer(answer, problem(404))
    answers: list[Response] = []
    with server.client() as client:
        client.get_health(on_response=answers.append)
        with pytest.raises(NotFound) as caught:
            client.get_health(on_response=answers.append)
    sent = server.requests[1].headers["X-Request-Id"]
    assert [each.request_id for each in answers] == ["from-the-server", sent]
    assert caught.value.request_id == sent


def test_no_answer_in_time_is_a_timeout() -> None:
    server = PlayedServer(httpx2.ReadTimeout("slow"))
    with server.client(retries=0) as client, pytest.raises(TimeoutError) as caught:
        client.get_health()
    assert isinstance(caught.value, ResponseTimeoutError)
    assert str(caught.value).startswith("no answer from http://server.test within 30 s [request ")
    assert caught.value.request_id == server.requests[0].headers["X-Request-Id"]
    assert caught.value.args == (caught.value.message,)
    assert (caught.value.errno, caught.value.strerror) == (None, None)


def test_no_connection_is_a_transport_error() -> None:
    server = PlayedServer(httpx2.ConnectError("refused"))
    with server.client(retries=0) as client, pytest.raises(TransportError, match=r"server\.test: refused") as caught:
        client.get_health()
    assert not isinstance(caught.value, ResponseTimeoutError)


@pytest.mark.parametrize(
    "error",
    [
        InvalidInput(Problem(status=422, title="Faults", errors=(Fault(pointer="/a", detail="b"),)), "id", 3.0),
        UnexpectedResponse(200, "nothing came", "id"),
        TransportError("no answer", "id"),
        ResponseTimeoutError("no answer", "id"),
    ],
)
def test_errors_pass_between_processes(error: HitchworthError) -> None:
    again = pickle.loads(pickle.dumps(error))
    assert type(again) is type(error)
    assert str(again) == str(error)
    assert vars(again) == vars(error)


def test_a_fault_of_a_file_names_its_cell_and_the_other_rows() -> None:
    fault = {"pointer": "", "detail": "Nothing stands here", "cell": "Parts!D14", "also_at": ["Parts!D15", "Parts!D20"]}
    client = PlayedServer(problem(422, type="/problems/invalid-input", title="t", detail="d", errors=[fault])).client()
    with pytest.raises(InvalidInput) as caught:
        client.create_receipt_import(b"x")
    line = str(caught.value).splitlines()[1]
    assert line == "  Parts!D14: Nothing stands here; the same in 2 more rows: 15, 20"

"""What an estimate costs, as a ratio to reading and writing the same body. Run it: .venv/bin/python tests/benchmark.py

For builds of 60, 300 and 2,000 lines it prints, in one run on the machine that it names:

- core: the estimate's way from bytes to bytes (typed decoding of the body, estimate, encoding of the answer) and the
  estimate alone, both over the floor: typed decoding of the same body, and encoding of what was decoded;
- settlements: a gap statement of 60 lines for 10 policies and 20 losses over the same floor, with every term of the
  policies known, and with six of them open;
- HTTP: POST /v1/estimates, with all its checks and words, over a route of the same application that only decodes the
  body and echoes it; one caller after the other on one connection, the server in a process of its own.

Two shapes of builds: `orders`, where parts are bought several on a day, as people buy them; `singles`, where no two
lines share a date, the worst case for whatever is reckoned once a date. The jobs of a row take turns; the best counts.
"""

import platform
import random
import socket
from collections.abc import Callable
from datetime import date, timedelta
from functools import partial
from http.client import HTTPConnection
from itertools import product
from multiprocessing import get_context
from pathlib import Path
from time import perf_counter

import msgspec
import uvicorn
from litestar import Request, post
from litestar.datastructures import State
from litestar.response.base import ASGIResponse

from hitchworth.appraisal import gap_statement
from hitchworth.model.build import Build
from hitchworth.model.estimate import Estimate
from hitchworth.model.options import Options
from hitchworth.model.request import EstimateRequest, GapRequest
from hitchworth.valuation.estimate import estimate
from hitchworth.web.app import create_app
from hitchworth.web.server import tune_garbage_collector

DECODER = msgspec.json.Decoder(EstimateRequest)
GAP_DECODER = msgspec.json.Decoder(GapRequest)
ENCODER = msgspec.json.Encoder()
SIZES = (60, 300, 2000)
SHAPES = ("orders", "singles")
AS_OF = date(2026, 11, 25)
CATEGORIES = (
    "chassis",
    "body_panels",
    "insulation",
    "windows",
    "battery_lithium",
    "wiring",
    "refrigerator",
    "plumbing",
    "cabinets",
    "mattress",
)
ROUNDS = 30
BASES = ("actual_cash_value", "replacement_cost", "market_value")
KNOWN_TERMS = {
    "covers_damage": True,
    "deductible": "500",
    "coinsurance_rate": "0",
    "order": ["sublimits", "coinsurance", "deductible", "limit"],
    "sublimits": [],
    "settles_as": "built_use",
    "counts_own_labor": True,
    "values_by": "cost_less_depreciation",
    "depreciates_labor": False,
    "holdback": True,
    "betterment_categories": [],
    "total_loss_tax_rate": "0",
    "excluded_perils": [],
    "knows_built_use": True,
    "without": ["limit", "custom_equipment_limit", "contents_limit", "replacement_years", "total_loss_threshold"],
}
SECONDS_A_ROUND = 0.02
OPEN_TERMS = (
    "deductible",
    "coinsurance_rate",
    "settles_as",
    "counts_own_labor",
    "depreciates_labor",
    "total_loss_tax_rate",
)


def body(lines: int, shape: str) -> bytes:
    """A build of parts, every fifth line labor, as a caller sends it; the same for the same arguments."""
    dice = random.Random(lines)
    days = [date(2021, 3, 1) + timedelta(days=day) for day in dice.sample(range(2000), min(40, lines // 6))]

    def day(number: int) -> str:
        return (dice.choice(days) if shape == "orders" else date(2021, 3, 1) + timedelta(days=number)).isoformat()

    work = lines // 5
    components = [
        {
            "id": f"part-{number}",
            "description": f"Part number {number} of the trailer",
            "category": dice.choice(CATEGORIES),
            "quantity": str(dice.randint(1, 12)),
            "unit_cost": f"{dice.randint(199, 89900) / 100:.2f}",
            "tax": f"{dice.randint(0, 4000) / 100:.2f}" if number % 3 else None,
            "freight": f"{dice.randint(0, 3000) / 100:.2f}",
            "acquired_on": day(number),
            "evidence_grade": dice.choice(("receipt", "written_quote", "own_estimate")),
            "supplier": f"Supplier {number % 9}",
        }
        for number in range(lines - work)
    ]
    labor = [
        {
            "id": f"work-{number}",
            "task": f"Task number {number}",
            "hours": f"{dice.randint(2, 40) / 2:.1f}",
            "rate": "0",
            "market_rate": "85.00",
            "performed_on": day(number),
            "component_id": f"part-{number}",
        }
        for number in range(work)
    ]
    indirect_costs = {"overhead_rate": "0.10", "profit_rate": "0.10", "sales_tax_rate": "0.089"}
    build = {
        "name": "Benchmark",
        "currency": "USD",
        "components": components,
        "labor": labor,
        "indirect_costs": indirect_costs,
    }
    return msgspec.json.encode({"build": build, "as_of": AS_OF, "options": {}})


def microseconds(*jobs: Callable[[], object]) -> list[float]:
    """The time of one run of each job: the best of many rounds, in which the jobs take turns."""
    best = [float("inf")] * len(jobs)
    for _ in range(ROUNDS):
        for place, job in enumerate(jobs):
            runs, start = 0, perf_counter()
            while not runs or perf_counter() - start < SECONDS_A_ROUND:
                job()
                runs += 1
            best[place] = min(best[place], (perf_counter() - start) / runs)
    return [1e6 * seconds for seconds in best]


def core() -> None:
    """Print the table of the core."""
    print(f"\n{'core':>6} {'shape':>8} {'bytes':>8} {'floor us':>9} {'whole us':>9} {'whole':>7} {'estimate':>9}")
    for lines, shape in product(SIZES, SHAPES):
        sent = body(lines, shape)
        build = DECODER.decode(sent).build

        def echoed(sent: bytes = sent) -> bytes:
            return ENCODER.encode(DECODER.decode(sent))

        def whole(sent: bytes = sent) -> bytes:
            return ENCODER.encode(estimate(DECODER.decode(sent).build, AS_OF, Options()))

        def alone(build: Build = build) -> Estimate:
            return estimate(build, AS_OF, Options())

        floor, job, core = microseconds(echoed, whole, alone)
        print(
            f"{lines:>6} {shape:>8} {len(sent):>8} {floor:>9.0f} {job:>9.0f} {job / floor:>6.2f}x {core / floor:>8.2f}x"
        )


def coverage() -> None:
    """Print the table of gap statements."""
    print(f"\n{'':>6} {'policies':>8} {'losses':>8} {'floor us':>9} {'whole us':>9} {'whole':>7}")
    some = {term: value for term, value in KNOWN_TERMS.items() if term not in OPEN_TERMS}
    for name, known in (("known", KNOWN_TERMS), ("open", some)):
        request = msgspec.json.decode(body(60, "orders")) | {
            "policies": [{"name": f"policy-{number}", "basis": BASES[number % 3]} | known for number in range(10)],
            "losses": [
                {"name": f"loss-{number}", "peril": "fire" if number % 2 else "hail", "occurred_on": AS_OF.isoformat()}
                for number in range(20)
            ],
        }
        sent = msgspec.json.encode(request)

        def echoed(sent: bytes = sent) -> bytes:
            return ENCODER.encode(GAP_DECODER.decode(sent))

        def whole(sent: bytes = sent) -> bytes:
            return ENCODER.encode(gap_statement(GAP_DECODER.decode(sent), AS_OF))

        floor, job = microseconds(echoed, whole)
        print(f"{name:>6} {10:>8} {20:>8} {floor:>9.0f} {job:>9.0f} {job / floor:>6.0f}x")


@post("/echo", status_code=200)
async def echo(request: Request[None, None, State]) -> ASGIResponse:
    """Decode the body and send it back."""
    return ASGIResponse(body=ENCODER.encode(DECODER.decode(await request.body())), media_type="application/json")


def serve(listening: socket.socket) -> None:
    """Run the application with the echo beside its own routes."""
    application = create_app()
    application.register(echo)
    uvicorn.Server(uvicorn.Config(application, log_level="error", access_log=False)).run(sockets=[listening])


def http() -> None:
    """Print the table over HTTP."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        server = get_context("fork").Process(target=serve, args=(listening,), daemon=True)
        server.start()
        try:
            connection = HTTPConnection(*listening.getsockname())
            print(f"\n{'HTTP':>6} {'shape':>8} {'bytes':>8} {'echo us':>9} {'answer us':>9} {'answer':>7}")
            for lines in SIZES:
                sent = body(lines, "orders")
                floor, answer = microseconds(
                    partial(asked, connection, "/echo", sent), partial(asked, connection, "/v1/estimates", sent)
                )
                print(f"{lines:>6} {'orders':>8} {len(sent):>8} {floor:>9.0f} {answer:>9.0f} {answer / floor:>6.2f}x")
        finally:
            server.terminate()
            server.join()


def asked(connection: HTTPConnection, path: str, sent: bytes) -> None:
    """Send a body and read the answer, which must be one."""
    connection.request("POST", path, sent, {"content-type": "application/json"})
    response = connection.getresponse()
    content = response.read()
    if response.status != 200:
        raise RuntimeError(f"{path} answered {response.status}: {content[:500]!r}")


def machine() -> str:
    """The processor, the system, the interpreter."""
    try:
        names = [row for row in Path("/proc/cpuinfo").read_text().splitlines() if row.startswith("model name")]
        processor = f"{len(names)} x {names[0].partition(':')[2].strip()}"
    except (OSError, IndexError):
        processor = platform.processor()
    return f"{processor}; {platform.system()} {platform.release()}; Python {platform.python_version()}"


if __name__ == "__main__":
    print(machine())
    tune_garbage_collector()  # as `hitchworth serve` does
    core()
    coverage()
    http()

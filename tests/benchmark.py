"""What an estimate costs, as a ratio to reading and writing the same body. Run it: .venv/bin/python tests/benchmark.py

Of builds of 60, 300 and 2,000 lines it prints, in one run on the machine that it names:

- core: typed decoding of the body, the estimate, and encoding of the answer;
- estimate: the estimate alone;
- floor: typed decoding of the same body and encoding of what was decoded. Ratios are to it.

Two shapes: `orders`, where parts were bought together, several on a day, as people buy them; `singles`, where no two
lines share a date, the worst case for whatever is reckoned once a date. Times are the best of several rounds.
"""

import gc
import platform
import random
import sys
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from time import perf_counter

import msgspec

from hitchworth.model.options import Options
from hitchworth.model.request import EstimateRequest
from hitchworth.valuation.estimate import estimate

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
ROUNDS = 7
SECONDS_A_ROUND = 0.15


def body(lines: int, shape: str) -> bytes:
    """A build of parts and, for every fifth line, labor; as a caller sends it, always the same for the same arguments."""
    dice = random.Random(lines)  # noqa: S311
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
    on_costs = {"overhead_rate": "0.10", "profit_rate": "0.10", "sales_tax_rate": "0.089"}
    build = {"name": "Benchmark", "currency": "USD", "components": components, "labor": labor, "on_costs": on_costs}
    return msgspec.json.encode({"build": build, "as_of": AS_OF, "options": {}})


def microseconds(job: Callable[[], object]) -> float:
    """The time of one run: the best of several rounds."""
    job()
    best = float("inf")
    for _ in range(ROUNDS):
        runs, start = 0, perf_counter()
        while perf_counter() - start < SECONDS_A_ROUND:
            job()
            runs += 1
        best = min(best, (perf_counter() - start) / runs)
    return best * 1e6


def core() -> None:
    """Print the table of the core."""
    decode = msgspec.json.Decoder(EstimateRequest).decode
    encode = msgspec.json.Encoder().encode
    print(f"{'lines':>6} {'shape':>8} {'bytes':>8} {'floor us':>9} {'core us':>9} {'core':>6} {'estimate':>9}")
    for lines in SIZES:
        for shape in SHAPES:
            sent = body(lines, shape)
            request = decode(sent)

            def valued(request: EstimateRequest = request) -> object:
                return estimate(request.build, AS_OF, Options())

            floor = microseconds(lambda sent=sent: encode(decode(sent)))
            whole = microseconds(lambda sent=sent: encode(estimate(decode(sent).build, AS_OF, Options())))
            alone = microseconds(valued)
            print(
                f"{lines:>6} {shape:>8} {len(sent):>8} {floor:>9.0f} {whole:>9.0f}"
                f" {whole / floor:>6.2f} {alone / floor:>9.2f}"
            )


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
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)  # as the server does
    core()
    sys.exit(0)

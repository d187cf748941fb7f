"""The wages by trade compared with the printed table, and with the package that they were extracted from."""

from decimal import Decimal
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

import pytest
from msgspec.structs import astuple

from hitchworth.reference.wages import Wage, wages

SCRIPT = Path(__file__).parents[2] / "api" / "extract_wages.py"

# U.S. Bureau of Labor Statistics, Occupational Employment and Wage Statistics, May 2025, national, dollars an hour:
# mean; 10th, 25th, 50th, 75th, 90th percentile
PRINTED = {
    "51-4121": "27.29 18.87 22.50 25.84 30.29 37.28",
    "47-2031": "31.55 19.43 23.32 29.12 36.94 48.03",
    "49-3092": "27.14 17.37 21.59 25.00 30.72 37.48",
    "47-2211": "32.62 18.57 22.99 29.71 39.24 50.79",
    "51-6093": "22.76 15.24 17.95 22.28 26.24 30.66",
    "47-2111": "34.37 20.50 23.76 30.38 40.36 52.17",
    "00-0000": "33.54 15.00 18.07 24.51 38.71 61.81",
}


@pytest.mark.parametrize(("code", "row"), PRINTED.items())
def test_a_row_of_the_table(code: str, row: str) -> None:
    (wage,) = (wage for wage in wages() if wage.code == code)
    assert astuple(wage.hourly) == tuple(map(Decimal, row.split()))
    assert (wage.currency, wage.vintage, wage.provenance) == ("USD", "May 2025", "published")


@pytest.mark.parametrize("wage", wages(), ids=lambda wage: wage.trade)
def test_the_percentiles_rise_and_the_source_is_named(wage: Wage) -> None:
    hourly = wage.hourly
    assert 0 < hourly.p10 < hourly.p25 < hourly.median < hourly.p75 < hourly.p90
    assert hourly.p10 < hourly.mean < hourly.p90
    assert "Bureau of Labor Statistics" in wage.source


def test_a_trade_is_there_once() -> None:
    assert len({wage.trade for wage in wages()}) == len({wage.code for wage in wages()}) == len(wages())


def test_the_script_gives_the_file() -> None:
    spec = spec_from_file_location("extract_wages", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    extraction = module_from_spec(spec)
    spec.loader.exec_module(extraction)
    assert extraction.document() == extraction.TARGET.read_text("utf-8")

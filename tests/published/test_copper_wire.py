"""Copper wire against printed tables. The source stands beside each check."""

from decimal import Decimal

import pytest

from circuit_examples import made
from hitchworth.protection.circuits import circuit_results
from hitchworth.protection.conductor import conductor, gauge_area, rounded, voltage_drop_share

KM_IN_THOUSAND_FEET = Decimal("0.3048")


@pytest.mark.parametrize(("awg", "ohm_per_km"), [(14, "8.286"), (12, "5.211"), (10, "3.277")])
def test_resistance_of_a_kilometer(awg: int, ohm_per_km: str) -> None:
    # Printed copper wire tables, annealed copper at 20 C (from memory).
    assert rounded(conductor(gauge_area(awg)).resistance, 3) == Decimal(ohm_per_km)


@pytest.mark.parametrize(
    ("awg", "ohms"),
    [(18, "6.385"), (16, "4.016"), (14, "2.525"), (12, "1.588"), (10, "0.9989"), (8, "0.6282"), (4, "0.2485")],
)
def test_resistance_of_a_thousand_feet(awg: int, ohms: str) -> None:
    # National Bureau of Standards, Handbook 100, Copper Wire Tables (1966), ohms per 1000 ft at 20 C (from memory).
    computed = conductor(gauge_area(awg)).resistance * KM_IN_THOUSAND_FEET
    assert abs(computed - Decimal(ohms)) <= Decimal("0.0005")


@pytest.mark.parametrize(
    ("awg", "area"), [(18, "0.823"), (14, "2.08"), (12, "3.31"), (10, "5.26"), (0, "53.5"), (-3, "107")]
)
def test_area_of_a_gauge(awg: int, area: str) -> None:
    # ASTM B258, table of nominal diameters and areas: mm2 as printed in handbooks (from memory).
    places = len(area.partition(".")[2])
    assert rounded(gauge_area(awg), places) == Decimal(area)


@pytest.mark.parametrize(
    ("feet", "amps", "awg"),
    [(10, 5, 18), (10, 10, 14), (15, 10, 12), (20, 5, 14), (20, 10, 10), (25, 10, 10), (25, 15, 8), (30, 20, 6)],
)
def test_gauge_of_the_three_percent_table(feet: int, amps: int, awg: int) -> None:
    # ABYC E-11, conductors for a 3 percent drop at 12 V, feet there and back, as reprinted in handbooks. The table errs
    # on the safe side: its gauge never loses more than 3 percent here.
    length = feet * Decimal("0.3048") / 2
    circuit = made(awg=awg, load=Decimal(amps), length=length)
    assert voltage_drop_share(circuit, conductor(gauge_area(awg))) <= Decimal("0.03")


def test_a_voltage_drop_by_hand() -> None:
    # 14 AWG, 5 A, 6 m one way: 2 x 0.006 km x 8.286 ohm/km x 5 A = 0.497 V; of 12 V 4.14 percent.
    (result,) = circuit_results([made(awg=14, load=Decimal(5), length=Decimal(6))])
    assert (result.voltage_drop, result.voltage_drop_share) == (Decimal("0.497"), Decimal("0.0414"))

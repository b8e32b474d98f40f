"""A sum over a curve gives what the same sum gives figure by figure."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from assistant.brewing import air, gravity, heat, water
from assistant.brewing.errors import OutOfRange

Sum = Callable[..., Any]

COOLING = {"capacity_j_k": 9e4, "from_c": 98.0, "power_w": 0.0, "loss_w_k": 4.0, "room_c": 17.0}

ALONG: list[tuple[Sum, str, tuple[float, float], dict[str, float]]] = [
    # sum, the argument the curve runs along, from where to where, the other arguments
    (air.air_pressure_kpa, "altitude_m", (-100.0, 3000.0), {}),
    (air.boiling_point_c, "altitude_m", (-100.0, 3000.0), {}),
    (gravity.extract_kg, "gravity", (1.0, 1.1), {"volume_l": 20.0}),
    (gravity.gravity_from_plato, "plato", (-0.002, 25.0), {}),
    (gravity.hydrometer_at_20, "sample_c", (10.0, 60.0), {"gravity_read": 1.048}),
    (gravity.plato_from_gravity, "gravity", (0.998, 1.1), {}),
    (gravity.points, "gravity", (1.0, 1.1), {}),
    (heat.temperature_after, "seconds", (0.0, 7200.0), COOLING),
    (heat.temperature_after, "seconds", (0.0, 7200.0), COOLING | {"loss_w_k": 0.0}),
    (water.density_kg_m3, "temperature_c", (0.0, 100.0), {}),
    (water.volume_at_20, "temperature_c", (0.0, 100.0), {"volume_l": 25.0}),
    (water.volume_hot, "temperature_c", (0.0, 100.0), {"volume_l": 25.0}),
]


@pytest.mark.parametrize(
    ("function", "along", "span", "others"),
    ALONG,
    ids=[f"{f.__name__} {a}" for f, a, _, _ in ALONG],
)
def test_a_curve_is_what_its_figures_are(
    function: Sum, along: str, span: tuple[float, float], others: dict[str, float]
) -> None:
    curve = np.linspace(*span, 41)
    one_by_one = [function(**others, **{along: float(value)}) for value in curve]
    assert all(type(value) is float for value in one_by_one)
    assert function(**others, **{along: curve}) == pytest.approx(one_by_one, rel=1e-12)


def test_the_first_figure_of_a_curve_that_is_out_of_range_is_named() -> None:
    curve = np.array([20.0, 99.0, 140.0, float("nan")])
    with pytest.raises(OutOfRange, match=r"^water temperature 140 °C is outside 0 to 105 °C$"):
        water.density_kg_m3(curve)
    with pytest.raises(OutOfRange, match=r"^water temperature nan °C is outside 0 to 105 °C$"):
        water.density_kg_m3(curve[[0, 3]])

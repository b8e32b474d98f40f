"""A sum over a curve gives what the same sum gives figure by figure."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from assistant.brewing import (
    air,
    balance,
    colour,
    cooling,
    efficiency,
    fermentation,
    gas,
    gravity,
    heat,
    hops,
    mash_ph,
    minerals,
    oxygen,
    refractometer,
    water,
    yeast,
)
from assistant.brewing.errors import OutOfRange

Sum = Callable[..., Any]

COOLING = {"capacity_j_k": 9e4, "from_c": 98.0, "power_w": 0.0, "loss_w_k": 4.0, "room_c": 17.0}

GRIST = {"grain_kg": 5.0, "water_l": 27.0, "alkalinity_mg_l": 110.0}
MASH = {"distilled_ph": 5.75, "grain_kg": 5.0, "water_l": 27.0, "calcium_mg_l": 60.0}

WORT = {"volume_l": 20.0, "gravity": 1.05}
THROUGH = {"wort_c": 95.0, "water_c": 12.0, "water_l_min": 6.0, "ua_w_k": 500.0}
MALT = {"potential_kg": 3.84, "grain_kg": 5.0}

HEATER = {"capacity_j_k": 9e4, "from_c": 40.0, "power_w": 2400.0, "loss_w_k": 4.0, "room_c": 17.0}

ALONG: list[tuple[Sum, str, tuple[float, float], dict[str, Any]]] = [
    # sum, the argument the curve runs along, from where to where, the other arguments
    (air.air_pressure_kpa, "altitude_m", (-100.0, 3000.0), {}),
    (air.boiling_point_at_pressure_c, "pressure_kpa", (60.0, 105.0), {}),
    (air.boiling_point_c, "altitude_m", (-100.0, 3000.0), {}),
    (air.wort_boils_higher_k, "plato", (-0.5, 25.0), {}),
    (balance.dissolved_volume_l, "mass_kg", (0.0, 3.0), {"extract": 0.8}),
    (balance.gravity_from_masses, "water_kg", (15.0, 25.0), {"extract_kg": 2.6}),
    (balance.volume_from_masses_l, "water_kg", (15.0, 25.0), {"extract_kg": 2.6}),
    (balance.water_to_reach_gravity_l, "wanted_gravity", (1.03, 1.08), WORT),
    (balance.wort_kg, "gravity", (1.0, 1.1), {"volume_l": 20.0}),
    (colour.beer_colour_ebc, "volume_l", (15.0, 30.0), {"malts": [(4.0, 5.0), (0.3, 150.0)]}),
    (colour.ebc_from_srm, "colour_srm", (0.0, 50.0), {}),
    (colour.lovibond_from_ebc, "colour_ebc", (0.0, 1500.0), {}),
    (colour.srm_from_ebc, "colour_ebc", (0.0, 100.0), {}),
    (colour.srm_morey, "mcu", (0.0, 170.0), {}),
    (cooling.coil_w_k, "flow_l_min", (0.5, 12.0), {"ua_w_k": 400.0}),
    (cooling.counterflow_outlet_c, "wort_l_min", (1.0, 12.0), THROUGH),
    (efficiency.dissolved_kg, "mash_plato", (0.0, 15.0), {"grain_kg": 5.0, "water_l": 27.5}),
    (efficiency.strongest_mash_plato, "water_l", (15.0, 40.0), MALT),
    (fermentation.abv_percent, "final_gravity", (1.0, 1.05), {"original_gravity": 1.05}),
    (fermentation.abv_percent_hall, "final_gravity", (1.0, 1.05), {"original_gravity": 1.05}),
    (
        fermentation.alcohol_by_weight_percent,
        "final_gravity",
        (1.0, 1.05),
        {"original_gravity": 1.05},
    ),
    (fermentation.apparent_attenuation, "final_gravity", (1.0, 1.05), {"original_gravity": 1.05}),
    (fermentation.final_gravity, "attenuation", (0.0, 0.9), {"original_gravity": 1.05}),
    (fermentation.real_attenuation, "final_gravity", (1.0, 1.05), {"original_gravity": 1.05}),
    (fermentation.real_extract, "final_gravity", (1.0, 1.05), {"original_gravity": 1.05}),
    (gas.bottle_pressure_kpa, "temperature_c", (0.0, 50.0), {"carbonation_vol": 1.5}),
    (gas.gas_to_come_vol, "points", (0.0, 30.0), {}),
    (gas.keg_pressure_kpa, "temperature_c", (0.0, 35.0), {"carbonation_vol": 1.5}),
    (gas.residual_co2_vol, "temperature_c", (0.0, 35.0), {"altitude_m": 500.0}),
    (gravity.extract_kg, "gravity", (1.0, 1.1), {"volume_l": 20.0}),
    (gravity.gravity_from_extract, "extract_kg", (-0.001, 4.0), {"volume_l": 20.0}),
    (gravity.gravity_from_plato, "plato", (-0.002, 25.0), {}),
    (gravity.gravity_with_water, "water_l", (-8.0, 8.0), WORT),
    (gravity.hydrometer_at_20, "sample_c", (10.0, 60.0), {"gravity_read": 1.048}),
    (gravity.plato_from_gravity, "gravity", (0.998, 1.1), {}),
    (gravity.points, "gravity", (1.0, 1.1), {}),
    (heat.boil_off_kg_h, "power_w", (0.0, 4000.0), {"loss_w": 500.0}),
    (heat.boil_off_power_w, "litres_h", (0.0, 6.0), {"loss_w": 500.0}),
    (heat.heating_seconds, "to_c", (30.0, 100.0), HEATER),
    (heat.heating_seconds, "to_c", (30.0, 100.0), HEATER | {"loss_w_k": 0.0}),
    (heat.heating_seconds, "to_c", (30.0, 40.0), HEATER | {"power_w": 0.0}),
    (heat.temperature_after, "seconds", (0.0, 7200.0), COOLING),
    (heat.temperature_after, "seconds", (0.0, 7200.0), COOLING | {"loss_w_k": 0.0}),
    (heat.wort_heat_j_kg_k, "temperature_c", (0.0, 100.0), {"plato": 12.0}),
    (hops.isomerisation_per_minute, "temperature_c", (60.0, 105.0), {}),
    (hops.loss_per_minute, "temperature_c", (60.0, 105.0), {}),
    (hops.utilisation, "minutes", (0.0, 120.0), {"gravity": 1.05}),
    (hops.worth_of_a_minute, "temperature_c", (60.0, 105.0), {}),
    (mash_ph.acid_to_reach_ph, "from_ph", (5.0, 6.5), GRIST | {"to_ph": 5.4, "acid_ml": 2.0}),
    (mash_ph.malt_ph, "colour_ebc", (0.0, 1500.0), {}),
    (mash_ph.mash_ph, "alkalinity_mg_l", (0.0, 400.0), MASH),
    (mash_ph.ph_cooled, "sample_c", (10.0, 80.0), {"read_ph": 5.2}),
    (mash_ph.ph_when_hot, "temperature_c", (10.0, 80.0), {"cooled_ph": 5.4}),
    (mash_ph.soda_to_reach_ph, "from_ph", (4.5, 6.0), GRIST | {"to_ph": 5.4}),
    (minerals.alkalinity_from_bicarbonate, "bicarbonate_mg_l", (0.0, 500.0), {}),
    (minerals.bicarbonate_from_alkalinity, "alkalinity_mg_l", (0.0, 400.0), {}),
    (minerals.bicarbonate_neutralised, "ph", (4.0, 9.0), {}),
    (minerals.lactic_acid_g, "volume_ml", (0.0, 10.0), {}),
    (minerals.lactic_acid_meq, "volume_ml", (0.0, 30.0), {}),
    (minerals.lactic_dissociated, "ph", (2.0, 7.0), {}),
    (
        minerals.residual_alkalinity,
        "alkalinity_mg_l",
        (0.0, 400.0),
        {"calcium_mg_l": 60.0, "magnesium_mg_l": 5.0},
    ),
    (oxygen.oxygen_saturation_ppm, "temperature_c", (0.0, 40.0), {"altitude_m": 500.0}),
    (oxygen.splashed_oxygen_ppm, "temperature_c", (0.0, 40.0), {"plato": 12.0}),
    (refractometer.final_gravity_from_brix, "final_brix", (4.0, 8.0), {"original_brix": 13.0}),
    (refractometer.plato_from_brix, "brix", (0.0, 25.0), {}),
    (water.density_kg_m3, "temperature_c", (0.0, 100.0), {}),
    (water.fill_share, "volume_l", (0.0, 40.0), {"holds_l": 35.0}),
    (water.volume_at_20, "temperature_c", (0.0, 100.0), {"volume_l": 25.0}),
    (water.volume_hot, "temperature_c", (0.0, 100.0), {"volume_l": 25.0}),
    (yeast.cells_billion, "plato", (0.0, 25.0), {"volume_l": 20.0, "rate_million_ml_p": 0.75}),
    (
        yeast.liquid_packs,
        "age_days",
        (0.0, 200.0),
        {"cells_billion": 180.0, "pack_billion": 100.0},
    ),
    (yeast.slurry_ml, "age_days", (0.0, 60.0), {"cells_billion": 180.0}),
    (yeast.slurry_viability, "age_days", (0.0, 60.0), {}),
    (yeast.viability, "age_days", (0.0, 200.0), {}),
]


@pytest.mark.parametrize(
    ("function", "along", "span", "others"),
    ALONG,
    ids=[f"{f.__name__} {a}" for f, a, _, _ in ALONG],
)
def test_a_curve_is_what_its_figures_are(
    function: Sum, along: str, span: tuple[float, float], others: dict[str, Any]
) -> None:
    curve = np.linspace(*span, 41)
    one_by_one = [function(**others, **{along: float(value)}) for value in curve]
    assert all(type(value) is float for value in one_by_one)
    assert function(**others, **{along: curve}) == pytest.approx(one_by_one, rel=1e-12)


def test_a_float_of_numpy_is_a_figure_too() -> None:
    found = water.density_kg_m3(np.float64(67.0))
    assert isinstance(found, float)
    assert found == water.density_kg_m3(67.0)


def test_the_first_figure_of_a_curve_that_is_out_of_range_is_named() -> None:
    curve = np.array([20.0, 99.0, 140.0, float("nan")])
    with pytest.raises(OutOfRange, match=r"^water temperature 140 °C is outside 0 to 105 °C$"):
        water.density_kg_m3(curve)
    with pytest.raises(OutOfRange, match=r"^water temperature nan °C is outside 0 to 105 °C$"):
        water.density_kg_m3(curve[[0, 3]])

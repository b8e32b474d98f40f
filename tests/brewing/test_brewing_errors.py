"""What the sums refuse, and how they say so."""

import copy
import importlib
import inspect
import math
import pickle
import pkgutil
from collections.abc import Callable

import pytest

import assistant.brewing
from assistant.brewing import (
    air,
    balance,
    colour,
    cooling,
    curves,
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
    rests,
    water,
    yeast,
)
from assistant.brewing.errors import (
    NeverReaches,
    OutOfRange,
    OverPressure,
    UnknownSugar,
    UnpairedReadings,
    require,
)

MASH = {
    "grain_c": 20.0,
    "grain_kg": 5.0,
    "water_l": 27.0,
    "kettle_j_k": 3000.0,
    "wetting_j_kg": 19_000.0,
    "lost_j": 50_000.0,
}
HEATER = {
    "capacity_j_k": 1e5,
    "from_c": 20.0,
    "power_w": 2000.0,
    "loss_w_k": 4.0,
    "room_c": 17.0,
}
CHILL = {"capacity_j_k": 8e4, "from_c": 95.0, "to_c": 20.0}
STIRRED_MASH = {"grain_kg": 5.0, "water_l": 27.5, "moisture": 0.04}
WORT = {"volume_l": 20.0, "gravity": 1.05}
BEER = {"original_gravity": 1.05, "final_gravity": 1.01}
GRIST = {"grain_kg": 5.0, "water_l": 27.0, "acid_ml": 2.0, "strength": 0.88}

SUMS: list[tuple[Callable[..., float], dict[str, float]]] = [
    (air.air_pressure_kpa, {"altitude_m": 40.0}),
    (air.boiling_point_at_pressure_c, {"pressure_kpa": 95.0}),
    (air.boiling_point_c, {"altitude_m": 40.0}),
    (air.wort_boils_higher_k, {"plato": 12.0}),
    (balance.dissolved_volume_l, {"mass_kg": 0.5, "extract": 0.9}),
    (balance.extract_to_reach_gravity_kg, WORT | {"wanted_gravity": 1.06, "extract": 0.9}),
    (balance.gravity_from_masses, {"extract_kg": 2.6, "water_kg": 18.0}),
    (balance.volume_from_masses_l, {"extract_kg": 2.6, "water_kg": 18.0}),
    (balance.water_to_reach_gravity_l, WORT | {"wanted_gravity": 1.06}),
    (balance.wort_kg, WORT),
    (colour.ebc_from_srm, {"colour_srm": 10.0}),
    (colour.lovibond_from_ebc, {"colour_ebc": 10.0}),
    (colour.srm_from_ebc, {"colour_ebc": 10.0}),
    (colour.srm_morey, {"mcu": 10.0}),
    (cooling.bath_cooling_seconds, CHILL | {"bath_c": 5.0, "ua_w_k": 60.0}),
    (cooling.bath_ice_kg, CHILL | {"bath_c": 5.0}),
    (
        cooling.coil_cooling_seconds,
        CHILL | {"water_c": 12.0, "flow_l_min": 6.0, "ua_w_k": 400.0},
    ),
    (
        cooling.coil_water_l,
        CHILL | {"water_c": 12.0, "flow_l_min": 6.0, "ua_w_k": 400.0},
    ),
    (cooling.coil_w_k, {"flow_l_min": 6.0, "ua_w_k": 400.0}),
    (cooling.conductance_from_readings_w_k, CHILL | {"seconds": 600.0, "water_c": 12.0}),
    (
        cooling.counterflow_outlet_c,
        {
            "wort_c": 95.0,
            "water_c": 12.0,
            "wort_l_min": 3.0,
            "water_l_min": 8.0,
            "ua_w_k": 500.0,
            "gravity": 1.05,
        },
    ),
    (cooling.cooling_seconds, CHILL | {"toward_c": 12.0, "taken_w_k": 60.0}),
    (cooling.ice_kg, CHILL),
    (efficiency.as_is_extract, {"extract_dry": 0.8, "moisture": 0.04}),
    (efficiency.bag_efficiency, {"kettle_kg": 2.8, "dissolved_kg": 3.4}),
    (efficiency.brewhouse_efficiency, {"fermenter_kg": 2.6, "potential_kg": 3.8}),
    (efficiency.brewhouse_yield, {"kettle_kg": 2.8, "grain_kg": 5.0}),
    (
        efficiency.conversion_efficiency,
        STIRRED_MASH | {"mash_plato": 11.0, "potential_kg": 3.8},
    ),
    (efficiency.dissolved_kg, STIRRED_MASH | {"mash_plato": 11.0}),
    (
        efficiency.drained_share,
        STIRRED_MASH | {"absorption_l_kg": 0.6, "dissolved_kg": 3.4},
    ),
    (efficiency.kettle_efficiency, {"kettle_kg": 2.8, "potential_kg": 3.8}),
    (efficiency.litre_degrees_kg, {"extract": 0.78}),
    (efficiency.points_per_pound_gallon, {"litre_degrees_kg": 300.0}),
    (efficiency.potential_kg, {"weight_kg": 5.0, "extract_dry": 0.8, "moisture": 0.04}),
    (efficiency.strongest_mash_plato, STIRRED_MASH | {"potential_kg": 3.8}),
    (fermentation.abv_percent, BEER),
    (fermentation.abv_percent_hall, BEER),
    (fermentation.alcohol_by_weight_percent, BEER),
    (fermentation.apparent_attenuation, BEER),
    (
        fermentation.final_gravity,
        {"original_gravity": 1.05, "attenuation": 0.76, "sugar_share": 0.1},
    ),
    (fermentation.real_attenuation, BEER),
    (fermentation.real_extract, BEER),
    (gas.bottle_pressure_kpa, {"carbonation_vol": 2.4, "temperature_c": 20.0}),
    (gas.gas_to_come_vol, {"points": 2.0}),
    (
        gas.keg_pressure_kpa,
        {"temperature_c": 4.0, "carbonation_vol": 2.4, "altitude_m": 40.0},
    ),
    (gas.residual_co2_vol, {"temperature_c": 20.0, "altitude_m": 40.0}),
    (gravity.extract_kg, {"volume_l": 20.0, "gravity": 1.05}),
    (gravity.gravity_from_extract, {"extract_kg": 2.6, "volume_l": 20.0}),
    (gravity.gravity_from_plato, {"plato": 12.0}),
    (gravity.gravity_with_water, {"volume_l": 20.0, "gravity": 1.05, "water_l": 2.0}),
    (gravity.hydrometer_at_20, {"gravity_read": 1.05, "sample_c": 25.0, "scale_c": 20.0}),
    (gravity.plato_from_gravity, {"gravity": 1.05}),
    (gravity.points, {"gravity": 1.05}),
    (heat.boil_off_kg_h, {"power_w": 2400.0, "loss_w": 500.0}),
    (heat.boil_off_power_w, {"litres_h": 3.0, "loss_w": 500.0}),
    (
        heat.cooling_per_hour,
        {"from_c": 67.0, "to_c": 65.0, "minutes": 30.0, "room_c": 17.0},
    ),
    (heat.energy_kwh, {"joules": 1e6}),
    (heat.heating_seconds, HEATER | {"to_c": 67.0}),
    (heat.mash_heat_capacity_j_k, {"water_l": 27.0, "grain_kg": 5.0, "kettle_j_k": 3000.0}),
    (heat.mash_temperature_c, MASH | {"strike_c": 70.0}),
    (
        heat.power_from_rise_w,
        {
            "capacity_j_k": 1e5,
            "from_c": 40.0,
            "to_c": 60.0,
            "seconds": 1000.0,
            "loss_w_k": 4.0,
            "room_c": 17.0,
        },
    ),
    (heat.strike_temperature_c, MASH | {"mash_c": 67.0}),
    (heat.temperature_after, HEATER | {"seconds": 60.0}),
    (
        heat.water_to_move_mash_l,
        {"capacity_j_k": 1e5, "from_c": 64.0, "to_c": 67.0, "water_c": 99.0},
    ),
    (
        heat.wort_heat_capacity_j_k,
        {"volume_l": 25.0, "gravity": 1.05, "kettle_j_k": 3000.0, "temperature_c": 80.0},
    ),
    (heat.wort_heat_j_kg_k, {"plato": 12.0, "temperature_c": 67.0}),
    (hops.bitterness_ratio, {"ibu": 30.0, "original_gravity": 1.05}),
    (
        hops.bitterness_ibu,
        {"weight_g": 30.0, "alpha": 0.07, "utilisation": 0.2, "volume_l": 20.0},
    ),
    (hops.isomerisation_per_minute, {"temperature_c": 98.0}),
    (hops.loss_per_minute, {"temperature_c": 98.0}),
    (
        hops.cooling_equivalent_minutes,
        {"from_c": 98.0, "to_c": 80.0, "minutes": 20.0, "toward_c": 18.0},
    ),
    (hops.utilisation, {"gravity": 1.05, "minutes": 60.0}),
    (
        hops.weight_to_hold_g,
        {
            "weight_g": 30.0,
            "gravity": 1.05,
            "minutes": 60.0,
            "volume_l": 20.0,
            "new_gravity": 1.06,
            "new_minutes": 30.0,
            "new_volume_l": 21.0,
        },
    ),
    (hops.worth_of_a_minute, {"temperature_c": 98.0}),
    (
        mash_ph.acid_to_reach_ph,
        GRIST | {"from_ph": 5.8, "to_ph": 5.4, "alkalinity_mg_l": 110.0},
    ),
    (mash_ph.malt_ph, {"colour_ebc": 6.0}),
    (
        mash_ph.mash_ph,
        GRIST
        | {
            "distilled_ph": 5.75,
            "alkalinity_mg_l": 110.0,
            "calcium_mg_l": 60.0,
            "magnesium_mg_l": 5.0,
        },
    ),
    (mash_ph.ph_cooled, {"read_ph": 5.2, "sample_c": 40.0}),
    (mash_ph.ph_when_hot, {"cooled_ph": 5.4, "temperature_c": 66.0}),
    (
        mash_ph.soda_to_reach_ph,
        GRIST | {"from_ph": 5.0, "to_ph": 5.4, "alkalinity_mg_l": 110.0},
    ),
    (minerals.alkalinity_from_bicarbonate, {"bicarbonate_mg_l": 134.0}),
    (minerals.bicarbonate_from_alkalinity, {"alkalinity_mg_l": 110.0}),
    (minerals.bicarbonate_neutralised, {"ph": 5.4}),
    (minerals.lactic_acid_g, {"volume_ml": 3.0, "strength": 0.88}),
    (minerals.lactic_acid_meq, {"volume_ml": 3.0, "strength": 0.88}),
    (minerals.lactic_dissociated, {"ph": 5.4}),
    (
        minerals.residual_alkalinity,
        {"alkalinity_mg_l": 110.0, "calcium_mg_l": 60.0, "magnesium_mg_l": 5.0},
    ),
    (
        refractometer.final_gravity_from_brix,
        {"original_brix": 13.0, "final_brix": 6.8, "wort_correction": 1.04},
    ),
    (refractometer.plato_from_brix, {"brix": 12.0, "wort_correction": 1.04}),
    (oxygen.oxygen_saturation_ppm, {"temperature_c": 20.0, "altitude_m": 40.0}),
    (oxygen.splashed_oxygen_ppm, {"temperature_c": 20.0, "plato": 12.0, "altitude_m": 40.0}),
    (water.absorbed_l, {"grain_kg": 5.0, "absorption_l_kg": 0.6}),
    (water.density_kg_m3, {"temperature_c": 20.0}),
    (water.fill_share, {"volume_l": 25.0, "holds_l": 35.0}),
    (water.mash_volume_l, {"water_l": 27.0, "grain_kg": 5.0, "temperature_c": 67.0}),
    (
        water.retained_l_kg,
        {"absorption_l_kg": 0.6, "extract_kg_per_kg_grain": 0.69, "moisture": 0.04},
    ),
    (water.volume_at_20, {"volume_l": 20.0, "temperature_c": 67.0}),
    (water.volume_hot, {"volume_l": 20.0, "temperature_c": 67.0}),
    (yeast.cells_billion, {"volume_l": 20.0, "plato": 12.0, "rate_million_ml_p": 0.75}),
    (yeast.dry_yeast_g, {"cells_billion": 180.0}),
    (yeast.liquid_packs, {"cells_billion": 180.0, "pack_billion": 100.0, "age_days": 30.0}),
    (yeast.slurry_ml, {"cells_billion": 180.0, "age_days": 6.0, "billion_ml": 1.0}),
    (yeast.slurry_viability, {"age_days": 6.0}),
    (yeast.viability, {"age_days": 30.0}),
]

OTHER_SUMS = {
    rests.mash_rest,
    balance.after_extract,
    balance.after_water,
    balance.blended,
    colour.beer_colour_ebc,
    gas.priming_g,
    heat.mixed_temperature_c,
    hops.equivalent_boil_minutes,
    hops.isomerised_share,
    mash_ph.grist_ph,
    minerals.with_salts,
    oxygen.oxygen_ppm,
    refractometer.wort_correction,
    water.hop_holds_l,
    require,
}


def priming(**changes: float) -> float:
    bottling = {"volume_l": 20.0, "carbonation_vol": 2.4, "temperature_c": 20.0}
    return gas.priming_g(**(bottling | changes), sugar="sucrose")


def public_functions() -> set[Callable[..., object]]:
    found: set[Callable[..., object]] = set()
    for module in pkgutil.iter_modules(assistant.brewing.__path__, "assistant.brewing."):
        if module.name == curves.__name__:
            continue
        members = inspect.getmembers(importlib.import_module(module.name), inspect.isfunction)
        found |= {
            function
            for name, function in members
            if not name.startswith("_") and function.__module__ == module.name
        }
    return found


def test_every_public_sum_is_put_to_the_test_below() -> None:
    assert public_functions() == {function for function, _ in SUMS} | OTHER_SUMS


@pytest.mark.parametrize(
    "function",
    sorted(public_functions() - {require}, key=lambda function: function.__name__),
    ids=lambda function: function.__name__,
)
def test_every_public_sum_says_where_it_comes_from(function: Callable[..., object]) -> None:
    assert "\nSource: " in inspect.getdoc(function)


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf], ids=str)
@pytest.mark.parametrize(
    ("function", "ordinary", "name"),
    [
        pytest.param(function, ordinary, name, id=f"{function.__name__} {name}")
        for function, ordinary in SUMS
        for name in ordinary
    ],
)
def test_what_is_not_a_number_is_refused(
    function: Callable[..., float], ordinary: dict[str, float], name: str, bad: float
) -> None:
    assert math.isfinite(function(**ordinary))
    with pytest.raises(OutOfRange, match=rf"{bad}.* is outside"):
        function(**(ordinary | {name: bad}))


@pytest.mark.parametrize(
    "call",
    [
        pytest.param(lambda: colour.beer_colour_ebc([(math.nan, 5.0)], 20.0), id="malt weight"),
        pytest.param(lambda: colour.beer_colour_ebc([(4.0, math.nan)], 20.0), id="malt colour"),
        pytest.param(lambda: colour.beer_colour_ebc([(4.0, 5.0)], math.nan), id="beer volume"),
        pytest.param(lambda: balance.after_extract(20.0, 1.05, math.nan), id="added sugar"),
        pytest.param(lambda: balance.after_extract(20.0, 1.05, 0.5, math.nan), id="its extract"),
        pytest.param(lambda: balance.after_water(math.nan, 1.05, 1.0), id="thinned wort"),
        pytest.param(lambda: balance.after_water(20.0, 1.05, math.nan), id="added water"),
        pytest.param(lambda: balance.blended(20.0, 1.05, math.nan, 1.02), id="second wort"),
        pytest.param(lambda: balance.blended(20.0, 1.05, 3.0, math.nan), id="its gravity"),
        pytest.param(lambda: refractometer.wort_correction([(math.nan, 12.0)]), id="Brix read"),
        pytest.param(lambda: refractometer.wort_correction([(12.5, math.nan)]), id="Plato read"),
        pytest.param(lambda: water.hop_holds_l(math.nan, whole=False), id="weight of hops"),
        pytest.param(lambda: heat.mixed_temperature_c([(math.nan, 20.0)]), id="part's capacity"),
        pytest.param(lambda: heat.mixed_temperature_c([(9e4, math.nan)]), id="part's warmth"),
        pytest.param(
            lambda: hops.equivalent_boil_minutes([98.0, math.nan], [0.0, 1.0]), id="a reading"
        ),
        pytest.param(
            lambda: hops.equivalent_boil_minutes([98.0, 97.0], [0.0, math.nan]), id="its time"
        ),
        pytest.param(
            lambda: hops.isomerised_share([98.0, math.nan], [0.0, 1.0]), id="wort of a course"
        ),
        pytest.param(
            lambda: hops.isomerised_share([98.0, 97.0], [math.nan, 1.0]), id="time of a course"
        ),
        pytest.param(
            lambda: gas.priming_g(
                volume_l=math.nan, carbonation_vol=2.4, temperature_c=20.0, sugar="sucrose"
            ),
            id="primed volume",
        ),
        pytest.param(lambda: priming(carbonation_vol=math.nan), id="wanted volumes"),
        pytest.param(lambda: priming(temperature_c=math.nan), id="primed beer's warmth"),
        pytest.param(lambda: priming(altitude_m=math.nan), id="priming altitude"),
        pytest.param(lambda: priming(most_vol=math.nan), id="most for the bottles"),
        pytest.param(lambda: mash_ph.grist_ph([(math.nan, 5.8)]), id="malt of a grist"),
        pytest.param(lambda: mash_ph.grist_ph([(4.0, math.nan)]), id="its pH"),
        pytest.param(
            lambda: minerals.with_salts(minerals.Ions(calcium_mg_l=math.nan), {}, 20.0), id="an ion"
        ),
        pytest.param(
            lambda: minerals.with_salts(minerals.Ions(), {minerals.Salt.GYPSUM: math.nan}, 20.0),
            id="a salt",
        ),
        pytest.param(
            lambda: minerals.with_salts(minerals.Ions(), {}, math.nan), id="water for salts"
        ),
    ],
)
def test_what_is_not_a_number_is_refused_in_a_list_too(call: Callable[[], float]) -> None:
    with pytest.raises(OutOfRange, match=r"nan.* is outside"):
        call()


def test_a_value_at_either_end_is_accepted() -> None:
    require("gravity", 0.98, 0.98, 1.18)
    require("gravity", 1.18, 0.98, 1.18)


@pytest.mark.parametrize(
    ("fault", "wording"),
    [
        (OutOfRange("gravity", 2.4, 0.98, 1.18), "gravity 2.4 is outside 0.98 to 1.18"),
        (
            OutOfRange("mash temperature", 300.0, 0.0, 105.0, "°C"),
            "mash temperature 300 °C is outside 0 to 105 °C",
        ),
        (
            OutOfRange("heat capacity", 2.5e7, 1.0, 1e7, "J/K"),
            "heat capacity 25,000,000 J/K is outside 1 to 10,000,000 J/K",
        ),
        # Four figures tell a brewer all; more are shown only where it would look like the limit.
        (OutOfRange("volume", 1234.567, 0.0, 1000.0, "L"), "volume 1235 L is outside 0 to 1000 L"),
        (
            OutOfRange("final gravity", 1.0498, 0.98, 1.0496),
            "final gravity 1.0498 is outside 0.98 to 1.0496",
        ),
        (
            OutOfRange("mash temperature", 105.00004, 0.0, 105.0, "°C"),
            "mash temperature 105.00004 °C is outside 0 to 105 °C",
        ),
        (OutOfRange("extract", -0.2575082, 0.0, 1.0), "extract -0.2575 is outside 0 to 1"),
        (OutOfRange("pH", math.nan, 2.0, 10.0), "pH nan is outside 2 to 10"),
        # Nothing could tell these two apart.
        (OutOfRange("share", 1.0, 0.0, 1.0), "share 1 is outside 0 to 1"),
        (
            NeverReaches(100.0, 92.33),
            "never reaches 100.0 °C: it would level off at 92.3 °C",
        ),
        (
            UnknownSugar("honey", ("sucrose", "glucose")),
            "priming sugar 'honey' is not known, wanted one of: sucrose, glucose",
        ),
        (
            UnpairedReadings(3, 2),
            "3 temperatures do not go with 2 times: each needs the time it was read at",
        ),
        (
            OverPressure(3.004, 3.0, 370.6),
            "3.004 volumes is more than the 3 these bottles are for: "
            "in a 30 °C room they would hold 371 kPa over the air",
        ),
        (
            OverPressure(3.4, 3.0, 432.4),
            "3.4 volumes is more than the 3 these bottles are for: "
            "in a 30 °C room they would hold 432 kPa over the air",
        ),
    ],
)
def test_faults_are_said_in_a_brewers_words_and_keep_their_parts(
    fault: ValueError, wording: str
) -> None:
    assert str(fault) == wording
    assert vars(copy.copy(fault)) == vars(fault)
    assert str(pickle.loads(pickle.dumps(fault))) == wording


def test_the_parts_of_a_value_out_of_range() -> None:
    fault = OutOfRange("volume", -3.0, 0.0, 1000.0, "L")
    assert (fault.what, fault.found, fault.low, fault.high, fault.unit) == (
        "volume",
        -3.0,
        0.0,
        1000.0,
        "L",
    )

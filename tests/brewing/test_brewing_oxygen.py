"""Oxygen in water and in wort."""

import pytest
from ambiance import Atmosphere
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from assistant.brewing.errors import OutOfRange
from assistant.brewing.oxygen import oxygen_ppm, oxygen_saturation_ppm, splashed_oxygen_ppm

MM_OF_MERCURY_PA = 101_325 / 760


def test_lager_wants_more_oxygen() -> None:
    # Low ends of 8 to 12 and 10 to 15 mg/L, M. Raines-Casselman.
    assert oxygen_ppm(lager=False) == 8.0
    assert oxygen_ppm(lager=True) == 10.0


@pytest.mark.parametrize(
    ("temperature_c", "ppm"),
    [
        # Table of EN 25814 (now ISO 5814), 101.325 kPa, as printed with an oxygen meter.
        (0, 14.6),
        (2, 13.8),
        (4, 13.1),
        (6, 12.5),
        (8, 11.8),
        (10, 11.3),
        (12, 10.8),
        (14, 10.3),
        (16, 9.87),
        (17, 9.66),
        (18, 9.47),
        (19, 9.28),
        (20, 9.09),
        (21, 8.91),
        (22, 8.74),
        (24, 8.42),
        (25, 8.26),
        (28, 7.83),
        (30, 7.56),
    ],
)
def test_water_under_air_at_sea_level(temperature_c: float, ppm: float) -> None:
    figures = 0.06 if ppm >= 10 else 0.01
    assert oxygen_saturation_ppm(temperature_c) == pytest.approx(ppm, abs=figures)


@pytest.mark.parametrize(
    ("mm_of_mercury", "temperature_c", "ppm"),
    [
        # Table printed with an oxygen test kit; it says itself that it is approximate.
        (750, 10, 11.2),
        (750, 20, 9.1),
        (725, 0, 13.9),
        (725, 10, 10.8),
        (725, 20, 8.7),
        (700, 0, 13.5),
        (700, 20, 8.4),
        (675, 10, 10.1),
        (675, 20, 8.1),
        (650, 10, 9.7),
        (650, 20, 7.8),
        (625, 0, 12.0),
        (625, 10, 9.3),
        (625, 20, 7.5),
    ],
)
def test_thin_air_dissolves_less(mm_of_mercury: float, temperature_c: float, ppm: float) -> None:
    # The altitude of that pressure by ambiance 1.3 (ISO 2533:1975).
    altitude_m = float(Atmosphere.from_pressure(mm_of_mercury * MM_OF_MERCURY_PA).h[0])
    assert oxygen_saturation_ppm(temperature_c, altitude_m) == pytest.approx(ppm, rel=0.015)


@pytest.mark.parametrize("temperature_c", [1.0, 10.0, 20.0, 30.0, 40.0])
@pytest.mark.parametrize("altitude_m", [500.0, 1500.0, 3000.0])
def test_oxygen_follows_the_pressure_of_the_dry_air(
    temperature_c: float, altitude_m: float
) -> None:
    # Henry's law; vapour pressure of water by CoolProp 8 (IAPWS-95), air pressure by ambiance.
    vapour_pa = PropsSI("P", "T", temperature_c + 273.15, "Q", 0, "Water")
    air_pa = float(Atmosphere(altitude_m).pressure[0])
    share = (air_pa - vapour_pa) / (101_325 - vapour_pa)
    assert oxygen_saturation_ppm(temperature_c, altitude_m) == pytest.approx(
        share * oxygen_saturation_ppm(temperature_c), rel=1e-3
    )


@pytest.mark.parametrize(
    ("temperature_c", "plato", "ppm", "apart"),
    [
        # W. Kunze, Technology Brewing and Malting, wort of 12 °P: from memory, unchecked.
        pytest.param(5, 12, 10.4, 0.02, id="Kunze, 5 °C"),
        pytest.param(10, 12, 9.3, 0.02, id="Kunze, 10 °C"),
        pytest.param(15, 12, 8.3, 0.02, id="Kunze, 15 °C"),
        pytest.param(20, 12, 7.4, 0.02, id="Kunze, 20 °C"),
        # "Oxygen" in The Oxford Companion to Beer (2012): lower than most.
        pytest.param(10, 15, 8.0, 0.10, id="Companion, 10 °C"),
        pytest.param(20, 15, 6.6, 0.10, id="Companion, 20 °C"),
        # "About 8 ppm is all that air gives": common practice, no source.
        pytest.param(18, 12, 8.0, 0.05, id="rule of thumb"),
    ],
)
def test_what_air_gives_wort(temperature_c: float, plato: float, ppm: float, apart: float) -> None:
    assert splashed_oxygen_ppm(temperature_c, plato) == pytest.approx(ppm, rel=apart)


def test_air_alone_falls_short_of_what_a_warm_ale_wants() -> None:
    # 8 to 12 mg/L wanted (M. Raines-Casselman), about 7.5 to be had at 20 °C.
    assert splashed_oxygen_ppm(20.0, 12.0) < oxygen_ppm(lager=False)


@given(st.floats(0.0, 40.0))
def test_wort_without_extract_is_water(temperature_c: float) -> None:
    assert splashed_oxygen_ppm(temperature_c, 0.0) == oxygen_saturation_ppm(temperature_c)


@given(st.floats(0.0, 39.0), st.floats(0.0, 30.0), st.floats(-500.0, 5000.0), st.floats(0.1, 1.0))
def test_warm_strong_or_high_means_less_oxygen(
    temperature_c: float, plato: float, altitude_m: float, more: float
) -> None:
    base = splashed_oxygen_ppm(temperature_c, plato, altitude_m)
    assert splashed_oxygen_ppm(temperature_c + more, plato, altitude_m) < base
    assert splashed_oxygen_ppm(temperature_c, plato + more, altitude_m) < base
    assert splashed_oxygen_ppm(temperature_c, plato, altitude_m + 100 * more) < base


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: oxygen_saturation_ppm(66.0),
            r"^water temperature 66 °C is outside 0 to 40 °C$",
        ),
        (
            lambda: oxygen_saturation_ppm(20.0, 9000.0),
            r"^altitude 9000 m is outside -500 to 6000 m$",
        ),
        (
            lambda: splashed_oxygen_ppm(20.0, 50.0),
            r"^original extract 50 °P is outside 0 to 34\.24 °P$",
        ),
    ],
)
def test_impossible_oxygen_is_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()

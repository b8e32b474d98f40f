"""Wort and beer by refractometer."""

import contextlib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.brewing.errors import OutOfRange
from assistant.brewing.gravity import gravity_from_plato, plato_from_gravity
from assistant.brewing.refractometer import (
    final_gravity_from_brix,
    plato_from_brix,
    wort_correction,
)


def test_refractometer_is_divided_by_the_wort_correction() -> None:
    # 13.0 °Bx over 1.04 is 12.5 °P, gravity 1.0505 by the ASBC table.
    assert plato_from_brix(13.0) == pytest.approx(12.5)
    assert gravity_from_plato(plato_from_brix(13.0)) == pytest.approx(1.0505, abs=5e-5)
    assert plato_from_brix(13.0, wort_correction=1.0) == 13.0


@pytest.mark.parametrize(
    ("readings", "factor"),
    [
        # Mean of the ratios, by hand.
        pytest.param([(13.0, 12.5)], 1.04, id="one wort"),
        pytest.param([(12.4, 12.0), (15.7, 15.0), (10.3, 10.0)], 1.0367, id="three worts"),
        pytest.param([(12.0, 12.0)], 1.0, id="reads true"),
    ],
)
def test_the_correction_is_found_against_a_hydrometer(
    readings: list[tuple[float, float]], factor: float
) -> None:
    assert wort_correction(readings) == pytest.approx(factor, abs=1e-4)


@given(st.floats(0.95, 1.10), st.lists(st.floats(4.0, 25.0), min_size=1, max_size=6))
def test_the_correction_found_undoes_the_instrument(factor: float, platos: list[float]) -> None:
    found = wort_correction((factor * plato, plato) for plato in platos)
    assert found == pytest.approx(factor, rel=1e-12)
    assert plato_from_brix(factor * platos[0], found) == pytest.approx(platos[0])


@pytest.mark.parametrize(
    ("original_brix", "final_brix", "cubic", "linear"),
    [
        # S. Terrill, Refractometer FG Results (2011), both fits, by hand, readings over 1.04.
        pytest.param(13.0, 6.8, 1.0129, 1.0121, id="ordinary beer"),
        pytest.param(11.0, 5.5, 1.0107, 1.0094, id="light beer"),
        pytest.param(15.0, 7.0, 1.0116, 1.0112, id="stronger beer"),
        pytest.param(17.0, 8.0, 1.0125, 1.0129, id="strong beer"),
        pytest.param(13.0, 5.0, 1.0069, 1.0061, id="dry beer"),
    ],
)
def test_final_gravity_by_refractometer(
    original_brix: float, final_brix: float, cubic: float, linear: float
) -> None:
    found = final_gravity_from_brix(original_brix, final_brix)
    assert found == pytest.approx(cubic, abs=6e-5)
    straight = 1 - 0.00085683 * original_brix / 1.04 + 0.0034941 * final_brix / 1.04
    assert straight == pytest.approx(linear, abs=6e-5)
    assert found == pytest.approx(straight, abs=0.0015)


@pytest.mark.parametrize(
    ("plato", "low_end", "where_fitted"),
    [
        # Between Terrill's two fits, at 61 to 90 % and at 73 to 91 % apparent attenuation: the
        # widest, by hand.
        pytest.param(8.0, 0.0022, 0.0015, id="8 P"),
        pytest.param(10.0, 0.0015, 0.0014, id="10 P"),
        pytest.param(13.0, 0.0009, 0.0009, id="13 P"),
        pytest.param(15.0, 0.0015, 0.0005, id="15 P"),
        pytest.param(16.0, 0.0022, 0.0002, id="16 P"),
        pytest.param(17.0, 0.0029, 0.0007, id="17 P"),
        pytest.param(19.23, 0.0049, 0.0026, id="20 Bx"),
    ],
)
def test_how_far_the_two_fits_part(plato: float, low_end: float, where_fitted: float) -> None:
    apart = []
    for share in np.linspace(0.25, 0.7, 1801):
        straight = 1 - 0.00085683 * plato + 0.0034941 * share * plato
        with contextlib.suppress(OutOfRange):
            cubic = final_gravity_from_brix(1.04 * plato, 1.04 * share * plato)
            apart.append((1 - plato_from_gravity(cubic) / plato, abs(straight - cubic)))
    assert max(off for done, off in apart if done <= 0.90) == pytest.approx(low_end, abs=6e-5)
    assert max(off for done, off in apart if 0.73 <= done <= 0.91) == pytest.approx(
        where_fitted, abs=6e-5
    )


def test_the_older_cubic_reads_lower_for_well_attenuated_beer() -> None:
    # The correlation in use before 2011, as printed by S. Terrill; mean error of his ten beers
    # -5.1 points.
    initial, present = 13.0 / 1.04, 5.5 / 1.04
    older = (
        1.001843
        - 0.002318474 * initial
        - 0.000007775 * initial**2
        - 0.000000034 * initial**3
        + 0.00574 * present
        + 0.00003344 * present**2
        + 0.000000086 * present**3
    )
    assert 0.0005 < final_gravity_from_brix(13.0, 5.5) - older < 0.0085


def test_alcohol_hides_from_the_refractometer_the_fall_in_gravity() -> None:
    # 6.8 °Bx read as wort would be 1.026; the beer is half that.
    as_wort = gravity_from_plato(plato_from_brix(6.8))
    assert as_wort == pytest.approx(1.0259, abs=2e-4)
    assert final_gravity_from_brix(13.0, 6.8) < as_wort - 0.010


@given(st.floats(11.0, 17.0), st.floats(0.30, 0.40), st.floats(0.01, 0.04))
def test_a_higher_reading_of_the_beer_is_a_higher_gravity(
    original_brix: float, share: float, more: float
) -> None:
    lower = final_gravity_from_brix(original_brix, share * original_brix)
    assert final_gravity_from_brix(original_brix, (share + more) * original_brix) > lower


def test_half_way_through_fermentation_it_does_not_serve() -> None:
    with pytest.raises(
        OutOfRange,
        match=r"^apparent attenuation by refractometer, which holds only late in fermentation: "
        r"58\.7\d* % is outside 61 to 120 %$",
    ):
        final_gravity_from_brix(13.0, 9.0)
    with pytest.raises(OutOfRange, match="only late in fermentation"):
        final_gravity_from_brix(13.0, 13.0)


def test_it_serves_from_the_attenuation_of_the_beers_behind_the_fit() -> None:
    found = final_gravity_from_brix(13.0, 8.6)
    assert 1 - plato_from_gravity(found) / 12.5 == pytest.approx(0.61, abs=0.01)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: plato_from_brix(-1.0), r"^Brix -1 °Bx is outside 0 to 35 °Bx$"),
        (lambda: plato_from_brix(13.0, 104.0), r"^wort correction factor 104 is outside 0\.9 to"),
        (lambda: wort_correction([]), r"^number of worts read both ways 0 is outside 1 to 1000$"),
        (lambda: wort_correction([(13.0, 0.0)]), r"^extract 0 °P is outside 1 to 34\.24 °P$"),
        (
            lambda: wort_correction([(13.0, 10.0)]),
            r"^wort correction factor 1\.3 is outside 0\.9 to 1\.2$",
        ),
        (
            lambda: final_gravity_from_brix(24.0, 11.0),
            r"^original Brix 24 °Bx is outside 8 to 20 °Bx$",
        ),
        (
            lambda: final_gravity_from_brix(13.0, 0.0),
            r"^gravity by refractometer 0\.97\d* is outside 0\.98 to 1\.15$",
        ),
    ],
)
def test_impossible_refractometer_readings_are_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()

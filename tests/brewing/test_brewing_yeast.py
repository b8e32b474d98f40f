"""Pitching and oxygen."""

import pytest

from assistant.brewing.errors import OutOfRange
from assistant.brewing.yeast import cells_billion, dry_yeast_g, oxygen_ppm


@pytest.mark.parametrize(
    ("rate", "cells"),
    [
        # White and Zainasheff, Yeast (2010): million cells per mL and °P; 20 L at 12 °P.
        pytest.param(0.75, 180.0, id="ale"),
        pytest.param(1.5, 360.0, id="lager"),
    ],
)
def test_cells_for_twenty_litres_at_twelve_plato(rate: float, cells: float) -> None:
    assert cells_billion(volume_l=20, plato=12, rate_million_ml_p=rate) == pytest.approx(cells)


def test_one_dry_packet_serves_about_twenty_litres_of_ale() -> None:
    # Common practice: 11 to 11.5 g to 20 L up to 12 or 13 °P. Counts of 8 to 18 billion a gram
    # (Van den Berg and Van Landschoot 2003) put the right weight between these ends.
    grams = dry_yeast_g(180.0)
    assert 180 / 18 < grams < 180 / 8
    assert grams == pytest.approx(15.0)


def test_lager_wants_more_oxygen() -> None:
    # Low ends of 8 to 12 and 10 to 15 mg/L, M. Raines-Casselman.
    assert oxygen_ppm(lager=False) == 8.0
    assert oxygen_ppm(lager=True) == 10.0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: cells_billion(volume_l=20, plato=-1, rate_million_ml_p=0.75),
            r"^original extract -1 °P is outside 0 to 34\.3 °P$",
        ),
        (
            lambda: cells_billion(volume_l=20, plato=12, rate_million_ml_p=750_000),
            r"^pitching rate 750,000 million/mL/°P is outside 0 to 5 million/mL/°P$",
        ),
        (lambda: dry_yeast_g(-5.0), r"^yeast cells -5 billion is outside 0 to 100,000 billion$"),
    ],
)
def test_impossible_pitching_is_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()

"""One batch from grist to beer, each step against a sum by mass done by hand.

5 kg of malt (4 % moisture, 80 % extract on the dry weight, 90 % of it dissolved) in 27.45 kg of
water; the bag keeps 0.6 L/kg, 4 L boil off, 1 L stays behind; 30 g of hops at 10 % for an hour;
the yeast attenuates 78 %.
"""

import pytest

from assistant.brewing.fermentation import abv_percent, final_gravity
from assistant.brewing.gravity import (
    extract_kg,
    gravity_from_plato,
    gravity_with_water,
    plato_from_gravity,
)
from assistant.brewing.hops import bitterness_ibu, utilisation
from assistant.brewing.water import absorbed_l, volume_hot
from assistant.brewing.yeast import cells_billion

DISSOLVED_KG = 5.0 * 0.96 * 0.80 * 0.90
MASH_PLATO = 100 * DISSOLVED_KG / (27.45 + 0.04 * 5.0 + DISSOLVED_KG)
PREBOIL_L = 27.5 - absorbed_l(5.0, 0.6)
PREBOIL_GRAVITY = gravity_from_plato(MASH_PLATO)
ORIGINAL_GRAVITY = gravity_with_water(PREBOIL_L, PREBOIL_GRAVITY, -4.0)
POSTBOIL_L = PREBOIL_L - 4.0


def test_the_mash() -> None:
    assert pytest.approx(11.110, abs=0.001) == MASH_PLATO
    assert pytest.approx(1.04464, abs=2e-5) == PREBOIL_GRAVITY


def test_the_kettle_before_the_boil() -> None:
    assert pytest.approx(24.50) == PREBOIL_L
    collected_kg = extract_kg(PREBOIL_L, PREBOIL_GRAVITY)
    assert collected_kg == pytest.approx(2.8385, abs=0.0005)
    assert collected_kg / DISSOLVED_KG == pytest.approx(0.821, abs=0.001)


def test_the_boil() -> None:
    # By mass: 25.548 kg of wort less 3.993 kg of water leaves 13.168 °P.
    assert pytest.approx(1.05330, abs=5e-5) == ORIGINAL_GRAVITY
    assert plato_from_gravity(ORIGINAL_GRAVITY) == pytest.approx(13.168, abs=0.012)
    assert volume_hot(POSTBOIL_L, 100.0) == pytest.approx(21.35, abs=0.005)


def test_the_hops() -> None:
    share = utilisation((PREBOIL_GRAVITY + ORIGINAL_GRAVITY) / 2, 60.0)
    assert share == pytest.approx(0.2328, abs=0.0002)
    ibu = bitterness_ibu(weight_g=30.0, alpha=0.10, utilisation=share, volume_l=POSTBOIL_L)
    assert ibu == pytest.approx(34.1, abs=0.05)


def test_the_beer() -> None:
    final = final_gravity(original_gravity=ORIGINAL_GRAVITY, attenuation=0.78)
    assert final == pytest.approx(1.0113, abs=5e-5)
    assert abv_percent(ORIGINAL_GRAVITY, final) == pytest.approx(5.59, abs=0.01)


def test_the_pitch() -> None:
    cells = cells_billion(
        volume_l=POSTBOIL_L - 1.0,
        plato=plato_from_gravity(ORIGINAL_GRAVITY),
        rate_million_ml_p=0.75,
    )
    assert cells == pytest.approx(193, abs=0.5)

"""The simulated kettle keeps energy and mass, and agrees with sums made another way."""

from pathlib import Path

import pytest

from assistant.brewing.heat import temperature_after
from assistant.brewing.hops import isomerisation_per_minute
from assistant.brewing.water import WATER_KG_L
from assistant.rehearsal.kettle import (
    EXTRACT_J_KG_K,
    GRAIN_J_KG_K,
    WATER_J_KG_K,
    SimulatedKettle,
)
from assistant.rehearsal.structure import LID_OFF
from assistant.rehearsal.true_card import STEAM_J_KG
from assistant.rehearsal.truths import INSTRUCTIVE, Truths
from assistant.schedule import Schedule, load
from assistant.schedule.model import ChillMethod, HopForm

AS_THE_CARD_SAYS = Truths()
BAREST = Truths(heat_loss=0.0)


@pytest.fixture(name="beer", scope="module")
def _beer() -> Schedule:
    return load(Path(__file__).parents[2] / "schedules" / "breakwater-amber.yaml")


def kettle_of(beer: Schedule, truths: Truths = AS_THE_CARD_SAYS) -> SimulatedKettle:
    return SimulatedKettle.of(beer, truths, strike_l=27.3)


def filled(beer: Schedule, truths: Truths = AS_THE_CARD_SAYS) -> SimulatedKettle:
    kettle = kettle_of(beer, truths)
    kettle.pour(27.3, kettle.true.tap_c)
    return kettle


def mashed(beer: Schedule, truths: Truths = AS_THE_CARD_SAYS) -> SimulatedKettle:
    kettle = filled(beer, truths)
    kettle.temperature_c = 68.0
    kettle.grain_in(beer.grain_kg)
    kettle.run(3600)
    return kettle


def test_without_losses_all_the_power_warms_the_water(beer: Schedule) -> None:
    kettle = filled(beer, BAREST)
    before_c, capacity_j_k = kettle.temperature_c, kettle.capacity_j_k
    kettle.heat(1.0)
    kettle.run(1200)
    gained_j = (kettle.temperature_c - before_c) * capacity_j_k
    assert gained_j == pytest.approx(2800 * 0.91 * 1200, rel=1e-9)


@pytest.mark.parametrize("power", [0.0, 0.5, 1.0], ids=["cooling", "half power", "full power"])
def test_with_the_lid_on_it_follows_newtons_law(beer: Schedule, power: float) -> None:
    # The closed form of Newton's law of cooling with a constant source.
    kettle = filled(beer)
    kettle.temperature_c = 60.0
    kettle.heat(power)
    kettle.run(1800)
    expected_c = temperature_after(
        capacity_j_k=kettle.capacity_j_k,
        from_c=60.0,
        seconds=1800,
        power_w=power * 2800 * 0.91,
        loss_w_k=3.2,
        room_c=14.0,
    )
    assert kettle.temperature_c == pytest.approx(expected_c, abs=0.02)


def test_an_open_kettle_loses_more_heat_and_steams(beer: Schedule) -> None:
    covered, opened = filled(beer), filled(beer)
    opened.lid_on = False
    for kettle in (covered, opened):
        kettle.temperature_c = 68.0
        kettle.run(600)
    fell = [68.0 - kettle.temperature_c for kettle in (covered, opened)]
    assert fell[1] == pytest.approx(LID_OFF * fell[0], rel=0.02)
    assert covered.steam_kg == 0
    assert opened.steam_kg == pytest.approx((LID_OFF - 1) * 3.2 * 54 * 600 / STEAM_J_KG, rel=0.03)


def test_grain_and_water_share_their_heat(beer: Schedule) -> None:
    kettle = filled(beer)
    kettle.temperature_c = 68.0
    hot_j_k = kettle.capacity_j_k
    kettle.grain_in(beer.grain_kg)
    grain_j_k = beer.grain_kg * GRAIN_J_KG_K
    assert hot_j_k * (68.0 - kettle.temperature_c) == pytest.approx(
        grain_j_k * (kettle.temperature_c - 14.0), rel=1e-9
    )


def test_colder_grain_lands_colder(beer: Schedule) -> None:
    warm, cold = filled(beer), filled(beer, Truths(grain_k=-8.0))
    for kettle in (warm, cold):
        kettle.temperature_c = 68.0
        kettle.grain_in(beer.grain_kg)
    assert 0.3 < warm.temperature_c - cold.temperature_c < 0.8


def test_as_the_card_says_the_lifted_wort_is_as_planned(beer: Schedule) -> None:
    # By hand: 27.3 L less 0.65 L/kg of 4.76 kg, and 73 % of the grist's extract.
    kettle = mashed(beer)
    kettle.lift()
    potential_kg = sum(malt.weight_kg * malt.extract for malt in beer.grist)
    assert kettle.volume_l == pytest.approx(27.3 - 0.65 * 4.76, rel=1e-6)
    assert kettle.extract_kg == pytest.approx(0.73 * potential_kg, rel=0.01)


def test_a_short_mash_leaves_extract_in_the_grain(beer: Schedule) -> None:
    short = filled(beer)
    short.temperature_c = 68.0
    short.grain_in(beer.grain_kg)
    short.run(900)
    assert 0.6 < short.extract_kg / mashed(beer).extract_kg < 0.8


def test_the_bag_takes_the_same_share_of_extract_as_of_liquid(beer: Schedule) -> None:
    kettle = mashed(beer)
    before_kg = kettle.extract_kg
    kettle.lift()
    assert kettle.extract_kg / before_kg == pytest.approx((27.3 - 0.65 * 4.76) / 27.3, rel=1e-9)


def boiling(beer: Schedule, truths: Truths = AS_THE_CARD_SAYS) -> SimulatedKettle:
    kettle = mashed(beer, truths)
    kettle.lift()
    kettle.lid_on = False
    kettle.heat(1.0)
    while not kettle.steaming:
        kettle.run(5)
    return kettle


def test_what_the_loss_leaves_makes_steam(beer: Schedule) -> None:
    kettle = boiling(beer)
    before_kg = kettle.steam_kg
    kettle.run(3600)
    net_w = 2800 * 0.91 - 3.2 * (kettle.true.boiling_c - 14.0)
    assert kettle.steam_kg - before_kg == pytest.approx(net_w * 3600 / STEAM_J_KG, rel=1e-6)


@pytest.mark.parametrize("factor", [0.9, 1.0, 1.15], ids=["gentle", "as the card", "hard"])
def test_set_by_eye_it_boils_off_its_own_rate(beer: Schedule, factor: float) -> None:
    kettle = boiling(beer, Truths(boil_off=factor))
    kettle.boil_gently()
    before_kg = kettle.steam_kg
    kettle.run(3600)
    assert (kettle.steam_kg - before_kg) / WATER_KG_L == pytest.approx(2.6 * factor, rel=1e-6)


def test_a_boil_takes_only_water(beer: Schedule) -> None:
    kettle = boiling(beer)
    extract_kg, whole_kg = kettle.extract_kg, kettle.water_kg + kettle.steam_kg
    kettle.run(3600)
    assert kettle.extract_kg == extract_kg
    assert kettle.water_kg + kettle.steam_kg == pytest.approx(whole_kg, rel=1e-12)
    assert kettle.temperature_c == pytest.approx(kettle.true.boiling_c)


def test_a_weak_heater_never_boils(beer: Schedule) -> None:
    # 100 W against 3.2 W/K: it cannot hold more than 31 K above the room.
    kettle = mashed(beer, Truths(heater=100 / 2548))
    kettle.heat(1.0)
    kettle.run(96 * 3600)
    assert kettle.temperature_c == pytest.approx(14 + 100 / 3.2, abs=0.2)


@pytest.mark.parametrize(
    ("method", "coldest_c"),
    [(ChillMethod.COIL, 11.0), (ChillMethod.ICE_BATH, 3.0), (ChillMethod.TOP_UP, 11.0)],
    ids=["coil: tap water", "ice bath: 3 degrees", "still bath: tap water"],
)
def test_no_chiller_passes_its_water(beer: Schedule, method: ChillMethod, coldest_c: float) -> None:
    kettle = boiling(beer)
    kettle.heat(0.0)
    kettle.cooling = method
    kettle.run(900)
    quarter_hour_c = kettle.temperature_c
    kettle.run(24 * 3600)
    assert coldest_c <= kettle.temperature_c < coldest_c + 1.5 < quarter_hour_c


def test_extract_is_shared_between_fermenter_and_trub(beer: Schedule) -> None:
    kettle = boiling(beer)
    gravity, extract_kg, whole_kg = kettle.gravity, kettle.extract_kg, kettle.water_kg
    kettle.transfer()
    inside = kettle.fermenter
    assert inside is not None
    assert inside.gravity == pytest.approx(gravity, abs=1e-5)
    assert inside.extract_kg + kettle.extract_kg == pytest.approx(extract_kg)
    assert kettle.volume_l == pytest.approx(1.4, abs=0.02)
    assert kettle.water_kg < whole_kg


def test_top_up_thins_and_cools(beer: Schedule) -> None:
    kettle = boiling(beer)
    kettle.bittering.add(24, 0.084, HopForm.PELLET)
    kettle.run(1800)
    kettle.transfer()
    inside = kettle.fermenter
    assert inside is not None
    before_l, extract_kg, ibu = inside.volume_l, inside.extract_kg, kettle.bitterness_ibu()
    inside.temperature_c = 30.0
    kettle.top_up(before_l, 4.0)
    assert inside.volume_l == pytest.approx(2 * before_l)
    assert inside.extract_kg == extract_kg
    assert inside.temperature_c == pytest.approx(17.0)
    assert kettle.bitterness_ibu() == pytest.approx(ibu / 2)


def test_sugar_brings_its_extract_and_its_water(beer: Schedule) -> None:
    kettle = boiling(beer)
    extract_kg, water_kg, j_k = kettle.extract_kg, kettle.water_kg, kettle.capacity_j_k
    kettle.add_extract(0.5, 0.8)
    assert kettle.extract_kg - extract_kg == pytest.approx(0.4)
    assert kettle.water_kg - water_kg == pytest.approx(0.1)
    brought_j_k = 0.4 * EXTRACT_J_KG_K + 0.1 * WATER_J_KG_K
    assert (100 - 14) * brought_j_k / (j_k + brought_j_k) == pytest.approx(
        kettle.true.boiling_c - kettle.temperature_c, abs=0.01
    )


def test_cones_give_nine_tenths_of_what_pellets_give(beer: Schedule) -> None:
    # Common practice, no source.
    ibus = []
    for form in (HopForm.PELLET, HopForm.WHOLE):
        kettle = boiling(beer)
        kettle.bittering.add(24, 0.084, form)
        kettle.run(3600)
        kettle.transfer()
        ibus.append(kettle.bitterness_ibu())
    assert ibus[1] == pytest.approx(0.9 * ibus[0])


def test_hops_count_boil_minutes_and_less_below_the_boil(beer: Schedule) -> None:
    kettle = boiling(beer)
    kettle.bittering.add(24, 0.084, HopForm.PELLET)
    kettle.run(3600)
    at_boil = isomerisation_per_minute(kettle.true.boiling_c) / isomerisation_per_minute(100)
    assert kettle.bittering.hops[0].minutes == pytest.approx(60 * at_boil, abs=0.01)
    kettle.heat(0.0)
    kettle.temperature_c = 80.0
    kettle.run(60)
    # Malowicki and Shellhammer 2005: 0.165 of the rate at 100 °C.
    assert kettle.bittering.hops[0].minutes == pytest.approx(60 * at_boil + 0.165, abs=0.01)
    assert isomerisation_per_minute(80) / isomerisation_per_minute(100) == pytest.approx(
        0.165, abs=0.002
    )
    kettle.temperature_c = 65.0
    kettle.run(600)
    assert kettle.bittering.hops[0].minutes == pytest.approx(60 * at_boil + 0.165, abs=0.01)


def test_bitterness_is_tinseths(beer: Schedule) -> None:
    # Tinseth by hand: 24 g of 8.4 % for 60 minutes.
    kettle = boiling(beer)
    kettle.bittering.add(24, 0.084, HopForm.PELLET)
    kettle.run(3600)
    kettle.transfer()
    gravity = kettle.bittering.gravity_s / kettle.bittering.boil_s
    used = 1.65 * 0.000125 ** (gravity - 1) * (1 - 2.718281828 ** (-0.04 * 60)) / 4.15
    assert kettle.bitterness_ibu() == pytest.approx(
        used * 24 * 0.084 * 1000 / kettle.postboil_l, rel=1e-3
    )


def test_truths_are_the_same_for_a_seed_and_differ_between_seeds() -> None:
    assert Truths.drawn(4) == Truths.drawn(4)
    assert Truths.drawn(4) != Truths.drawn(5)


def test_the_instructive_kettle_differs_from_its_card(beer: Schedule) -> None:
    card, true = boiling(beer), boiling(beer, INSTRUCTIVE)
    assert true.gravity < card.gravity - 0.001
    assert true.true.full_power_w < card.true.full_power_w

"""The other forms of the simulated kettle keep energy and mass too, and agree where they meet."""

import pytest

from assistant.brewing.water import WATER_KG_L
from assistant.rehearsal.kettle import SimulatedKettle
from assistant.rehearsal.structure import LID_OFF, Structure
from assistant.rehearsal.true_card import STEAM_J_KG
from assistant.rehearsal.truths import EVENLY, Truths
from assistant.rehearsal.two_bodies import exchanged
from assistant.schedule import Schedule

AS_THE_CARD_SAYS = Truths()
LOSSLESS = Truths(heat_loss=0.0)
HOT_METAL = Structure(metal_w_k=250.0)
BY_POWER = Structure(by_power=True)
CARD_BOIL_W = 2.6 * WATER_KG_L / 3600 * STEAM_J_KG
SEEDS = range(200)


def filled(
    beer: Schedule, structure: Structure, truths: Truths = AS_THE_CARD_SAYS, warm_c: float = 20.0
) -> SimulatedKettle:
    kettle = SimulatedKettle.of(beer, truths, strike_l=27.3, structure=structure)
    kettle.pour(27.3, warm_c)
    kettle.temperature_c = kettle.metal_c = kettle.lagging_c = warm_c
    return kettle


def mashed(
    beer: Schedule, structure: Structure, truths: Truths = AS_THE_CARD_SAYS
) -> SimulatedKettle:
    kettle = filled(beer, structure, truths, 68.0)
    kettle.grain_in(beer.grain_kg)
    kettle.run(3600)
    return kettle


def boiling(
    beer: Schedule, structure: Structure, truths: Truths = AS_THE_CARD_SAYS
) -> SimulatedKettle:
    kettle = mashed(beer, structure, truths)
    kettle.lift()
    kettle.lid_on = False
    kettle.heat(1.0)
    while not kettle.steaming:
        kettle.run(5)
    return kettle


def boiled_off_l_h(kettle: SimulatedKettle) -> float:
    kettle.run(300)
    before_kg = kettle.steam_kg
    kettle.run(3600)
    return (kettle.steam_kg - before_kg) / WATER_KG_L


def heat_j(kettle: SimulatedKettle) -> float:
    metal_j_k = kettle.card.heat_capacity_j_k
    content_j_k = kettle.capacity_j_k - metal_j_k
    return metal_j_k * kettle.metal_c + content_j_k * kettle.temperature_c


@pytest.mark.parametrize("passes_w_k", [150.0, 500.0, 5000.0])
def test_metal_and_content_together_take_up_all_the_power(
    amber: Schedule, passes_w_k: float
) -> None:
    kettle = filled(amber, Structure(metal_w_k=passes_w_k), LOSSLESS)
    before_j = heat_j(kettle)
    kettle.heat(1.0)
    kettle.run(1200)
    assert heat_j(kettle) - before_j == pytest.approx(2800 * 0.91 * 1200, rel=1e-9)


def test_a_mash_goes_on_warming_by_what_the_metal_holds_when_the_heat_goes_off(
    amber: Schedule,
) -> None:
    # By hand: 2548 W over 250 W/K is 10.2 K of 3.9 kJ/K, shared with some 125 kJ/K.
    after_k = {}
    for structure in (Structure(), HOT_METAL):
        kettle = mashed(amber, structure, LOSSLESS)
        kettle.heat(1.0)
        kettle.run(300)
        kettle.heat(0.0)
        off_c = kettle.temperature_c
        kettle.run(300)
        after_k[structure] = kettle.temperature_c - off_c
    assert after_k[Structure()] == 0.0
    assert after_k[HOT_METAL] == pytest.approx(10.2 * 3900 / 125_000, abs=0.04)


def test_water_takes_heat_from_the_metal_more_freely_than_a_mash(amber: Schedule) -> None:
    water, mash = filled(amber, HOT_METAL, LOSSLESS, 60.0), mashed(amber, HOT_METAL, LOSSLESS)
    for kettle in (water, mash):
        kettle.heat(1.0)
        kettle.run(300)
    apart_k = [kettle.metal_c - kettle.temperature_c for kettle in (water, mash)]
    assert apart_k[1] / apart_k[0] == pytest.approx(2.5, rel=0.02)


def test_metal_that_passes_all_heat_at_once_is_one_body_with_its_content(amber: Schedule) -> None:
    one, two = filled(amber, Structure()), filled(amber, Structure(metal_w_k=1e6))
    for kettle in (one, two):
        kettle.heat(1.0)
        kettle.run(2400)
        kettle.heat(0.0)
        kettle.run(2400)
    assert two.temperature_c == pytest.approx(one.temperature_c, abs=0.02)


def test_two_bodies_come_to_the_same_in_one_step_as_in_many() -> None:
    one, other = (3900.0, 80.0, 2500.0), (120_000.0, 65.0, -300.0)
    at_once = exchanged(one, other, 300.0, 60.0)
    warm = (80.0, 65.0)
    for _ in range(60):
        warm = exchanged((3900.0, warm[0], 2500.0), (120_000.0, warm[1], -300.0), 300.0, 1.0)
    assert warm == pytest.approx(at_once, abs=1e-9)


@pytest.mark.parametrize("factor", [0.7, 1.0, 1.15])
def test_at_the_power_the_card_implies_a_kettle_boils_off_its_own_rate(
    amber: Schedule, factor: float
) -> None:
    kettle = boiling(amber, BY_POWER, Truths(boil_off=factor))
    share = (CARD_BOIL_W + 3.2 * (kettle.true.boiling_c - 14.0)) / (2800 * 0.91)
    kettle.boil(share)
    assert boiled_off_l_h(kettle) == pytest.approx(2.6 * factor, rel=1e-3)


@pytest.mark.parametrize("structure", [BY_POWER, Structure(by_power=True, metal_w_k=300.0)])
def test_more_power_boils_harder_by_just_its_heat(amber: Schedule, structure: Structure) -> None:
    rates = []
    for share in (0.7, 0.9):
        kettle = boiling(amber, structure)
        kettle.boil(share)
        rates.append(boiled_off_l_h(kettle))
    by_heat_l_h = 0.2 * 2800 * 0.91 * 3600 / STEAM_J_KG / WATER_KG_L
    assert rates[1] - rates[0] == pytest.approx(by_heat_l_h, rel=0.01)


@pytest.mark.parametrize("structure", [Structure(), HOT_METAL], ids=["one body", "hot metal"])
@pytest.mark.parametrize("share", [0.5, 0.9])
def test_a_boil_set_by_eye_keeps_its_rate_whatever_power_is_told(
    amber: Schedule, structure: Structure, share: float
) -> None:
    kettle = boiling(amber, structure, Truths(boil_off=0.8))
    kettle.boil(share)
    assert boiled_off_l_h(kettle) == pytest.approx(2.6 * 0.8, rel=2e-3)


def test_no_boil_gives_off_more_than_its_power_makes(amber: Schedule) -> None:
    kettle = boiling(amber, BY_POWER, Truths(boil_off=1.35, heater=0.88))
    kettle.boil(0.75)
    most_l_h = 0.75 * 2800 * 0.91 * 0.88 * 3600 / STEAM_J_KG / WATER_KG_L
    assert boiled_off_l_h(kettle) == pytest.approx(most_l_h, rel=1e-3)


@pytest.mark.parametrize("absorption", [0.75, 1.25], ids=["dry bag", "thirsty bag"])
def test_with_a_plain_share_the_bag_keeps_no_more_extract_for_more_wort(
    amber: Schedule, absorption: float
) -> None:
    usual, thirsty = (
        mashed(amber, Structure(plain_share=True), Truths(absorption=of))
        for of in (1.0, absorption)
    )
    for kettle in (usual, thirsty):
        kettle.lift()
    assert thirsty.extract_kg == pytest.approx(usual.extract_kg, rel=1e-9)
    assert abs(thirsty.volume_l - usual.volume_l) > 0.5


def test_with_the_bag_of_the_card_both_forms_of_extract_agree(amber: Schedule) -> None:
    kettles = [mashed(amber, Structure(plain_share=plain)) for plain in (False, True)]
    for kettle in kettles:
        kettle.lift()
    assert kettles[1].extract_kg == pytest.approx(kettles[0].extract_kg, rel=1e-9)


@pytest.mark.parametrize("minutes", [8, 12, 20])
def test_what_has_dissolved_and_what_has_not_make_the_whole(amber: Schedule, minutes: int) -> None:
    kettle = filled(amber, Structure(dissolves_s=60.0 * minutes), warm_c=68.0)
    kettle.grain_in(amber.grain_kg)
    whole_kg = kettle.undissolved_kg
    kettle.run(60 * minutes)
    assert kettle.extract_kg + kettle.undissolved_kg == pytest.approx(whole_kg, rel=1e-9)
    assert kettle.extract_kg == pytest.approx((1 - 1 / 2.718281828) * whole_kg, rel=1e-6)


@pytest.mark.parametrize("lid_off", [1.5, 3.0])
def test_the_lid_off_costs_as_many_times_the_loss_and_all_of_it_as_steam(
    amber: Schedule, lid_off: float
) -> None:
    kettle = filled(amber, Structure(lid_off=lid_off), warm_c=60.0)
    kettle.lid_on = False
    kettle.run(5)
    lost_w = 3.2 * (60.0 - 14.0)
    assert kettle.steam_kg == pytest.approx((lid_off - 1) * lost_w * 5 / STEAM_J_KG, rel=1e-6)
    assert (60.0 - kettle.temperature_c) * kettle.capacity_j_k == pytest.approx(
        lid_off * lost_w * 5, rel=1e-3
    )


def test_a_slow_thermometer_has_gone_two_thirds_of_the_way_after_its_lag(amber: Schedule) -> None:
    slow = filled(amber, Structure(thermometer_lag_s=20.0), LOSSLESS)
    slow.temperature_c = 60.0
    slow.run(20)
    assert slow.shown_c == pytest.approx(60.0 - 40.0 / 2.718281828, abs=1e-6)
    quick = filled(amber, Structure(), LOSSLESS)
    quick.temperature_c = 60.0
    assert quick.shown_c == 60.0


def test_a_rehearsal_has_the_form_it_always_had() -> None:
    assert Structure() == Structure(
        metal_w_k=None,
        thermometer_lag_s=0.0,
        by_power=False,
        plain_share=False,
        dissolves_s=720.0,
        lid_off=LID_OFF,
    )


def test_drawn_forms_are_of_every_kind_and_the_same_for_a_seed() -> None:
    drawn = [Structure.drawn(seed) for seed in SEEDS]
    assert drawn == [Structure.drawn(seed) for seed in SEEDS]
    kinds = {(s.metal_w_k is None, s.by_power, s.plain_share) for s in drawn}
    assert len(kinds) == 8
    assert all(s.metal_w_k is None or 150 <= s.metal_w_k <= 500 for s in drawn)
    assert all(480 <= s.dissolves_s <= 1200 and 1.5 <= s.lid_off <= 3 for s in drawn)


def test_truths_drawn_evenly_fill_their_ranges() -> None:
    drawn = [Truths.drawn_evenly(seed) for seed in SEEDS]
    assert drawn[3] == Truths.drawn_evenly(3)
    for name, (low, high) in EVENLY.items():
        values = [getattr(truths, name) for truths in drawn]
        assert low <= min(values) < low + 0.05 * (high - low)
        assert high - 0.05 * (high - low) < max(values) <= high

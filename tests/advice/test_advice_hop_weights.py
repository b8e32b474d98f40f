"""Hops to come are weighed anew by Tinseth: bittering hops first, flavour hops for the rest."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.advice.batch import Boiled
from assistant.advice.bitterness import Dose
from assistant.advice.ending import Outcome
from assistant.advice.forecast import finished_ibu
from assistant.advice.hop_weights import (
    HARDLY_TASTED,
    LEAST_FACTOR,
    MOST_FACTOR,
    Reweighed,
    ToWeigh,
    reweighed,
    weighed_out,
)
from assistant.brewing.hops import utilisation
from assistant.schedule.model import Units
from assistant.schedule.units import convert

GRAVITY, LITRES, OUNCE_G = 1.050, 20.0, 28.3495
END = Outcome(
    boiled=Boiled(volume_l=LITRES, gravity=GRAVITY),
    undiluted=1.0,
    fermenter_volume_l=LITRES,
    original_gravity=GRAVITY,
)


def hops(weight_g: float, minutes: float, alpha: float = 0.08, after_min: float = 0.0) -> Dose:
    return Dose(weight_g=weight_g, alpha=alpha, minutes=minutes, after_min=after_min)


def as_planned(*doses: Dose) -> list[ToWeigh]:
    return [ToWeigh(dose=dose, planned_g=dose.weight_g) for dose in doses]


def ibu(*doses: Dose) -> float:
    return finished_ibu(END, doses, 100.0)


def held(
    to_weigh: list[ToWeigh],
    wanted_ibu: float,
    *,
    settled: tuple[Dose, ...] = (),
    planned_in_all_g: float = 1000.0,
    units: Units = Units.METRIC,
    most_flavour: float = MOST_FACTOR,
) -> Reweighed:
    return reweighed(
        END,
        100.0,
        settled=settled,
        to_weigh=to_weigh,
        wanted_ibu=wanted_ibu,
        planned_in_all_g=planned_in_all_g,
        units=units,
        most_flavour=most_flavour,
    )


def test_a_bittering_hop_makes_up_for_a_fifth_less_of_it() -> None:
    # Tinseth: 30 g of 8 % alpha, 60 minutes at 1.050 in 20 L, is 27.7 IBU; so 33 IBU want 36 g.
    bitter = hops(30, 60)
    by_hand = 30 * 0.08 * utilisation(GRAVITY, 60) * 1000 / LITRES
    assert ibu(bitter) == pytest.approx(by_hand) == pytest.approx(27.7, abs=0.05)
    found = held(as_planned(bitter), 1.2 * by_hand)
    assert found.weights_g == (36.0,)
    assert found.before_ibu == pytest.approx(by_hand)
    assert found.ibu == pytest.approx(1.2 * by_hand)


def test_flavour_hops_stay_as_planned_while_bittering_hops_can_do_it() -> None:
    planned = (hops(30, 60), hops(20, 10), hops(40, 0, after_min=12))
    found = held(as_planned(*planned), ibu(*planned) + 4)
    assert found.weights_g[1:] == (20, 40)
    assert found.weights_g[0] == pytest.approx(30 * (1 + 4 / ibu(planned[0])), abs=0.5)


def test_all_that_boil_long_share_by_one_factor() -> None:
    planned = (hops(30, 60), hops(24, 30), hops(20, 10))
    wanted = ibu(*planned) + 0.1 * ibu(*planned[:2])
    assert held(as_planned(*planned), wanted).weights_g == (33, 26, 20)


def test_flavour_hops_take_what_the_limit_of_the_bittering_hops_leaves_over() -> None:
    planned = (hops(20, 60), hops(30, 10))
    wanted = ibu(*planned) + 0.6 * ibu(planned[0]) + 0.2 * ibu(planned[1])
    assert held(as_planned(*planned), wanted).weights_g == (32, 36)


def test_flavour_hops_do_not_pay_for_the_steps_of_the_scale() -> None:
    # 9 g and half-gram steps: up to a quarter gram stays open, and with it 2 % of these hops.
    planned = (hops(9, 60, alpha=0.2), hops(30, 10))
    assert held(as_planned(*planned), ibu(*planned) * 1.1).weights_g[1] == 30


def test_late_in_the_boil_flavour_hops_share_by_one_factor() -> None:
    late, whirlpool = hops(20, 10), hops(40, 0, after_min=12)
    settled = hops(30, 50)
    wanted = ibu(settled, late, whirlpool) + 0.15 * ibu(late, whirlpool)
    assert held(as_planned(late, whirlpool), wanted, settled=(settled,)).weights_g == (23, 46)


def test_no_hops_leave_six_to_sixteen_tenths_of_their_weight() -> None:
    planned = (hops(20, 60), hops(30, 10))
    assert held(as_planned(*planned), 500).weights_g == (32, 48)
    assert held(as_planned(*planned), 1).weights_g == (12, 18)


def test_all_the_hops_together_are_not_raised_past_half_as_much_again() -> None:
    # 100 g were planned and 60 of them are in, so at most 90 of the 40 to come: 1.6 binds first;
    # with 120 g in already only 30 on top are left, and with 150 none.
    bitter = hops(40, 60)
    for in_g, most_g in ((60, 64), (90, 60), (120, 40)):
        found = held(as_planned(bitter), 500, settled=(hops(in_g, 5),), planned_in_all_g=100)
        assert found.weights_g == (most_g,)


def test_less_than_a_sixtieth_of_the_bitterness_is_let_be() -> None:
    bitter = hops(30, 60)
    assert held(as_planned(bitter), ibu(bitter) * 1.012).weights_g == (30,)
    assert held(as_planned(bitter), ibu(bitter) * 1.03).weights_g == (31,)


def test_in_a_mild_beer_less_than_four_tenths_of_a_unit_are_let_be() -> None:
    mild = hops(12, 60, alpha=0.05)
    assert ibu(mild) < 8
    assert held(as_planned(mild), ibu(mild) + 0.35).weights_g == (12,)
    assert held(as_planned(mild), ibu(mild) + 0.6).weights_g == (13,)


def test_a_weight_once_told_is_not_turned_back_by_noise() -> None:
    bitter = hops(30, 60)
    told = ToWeigh(dose=hops(33, 60), planned_g=30)
    for noise in (-0.01, 0.0, 0.01):
        assert held([told], ibu(bitter) * (1.1 + noise)).weights_g == (33,)


def test_a_weight_goes_back_to_the_plan_when_the_plan_is_right_again() -> None:
    bitter = hops(30, 60)
    told = ToWeigh(dose=hops(33, 60), planned_g=30)
    assert held([told], ibu(bitter)).weights_g == (30,)


def test_a_cool_steep_holds_nothing_and_is_left_alone() -> None:
    cool = hops(50, 0, after_min=0.0)
    bitter = hops(30, 60)
    assert held(as_planned(bitter, cool), ibu(bitter) * 3).weights_g == (48, 50)


def test_with_a_choice_to_offer_flavour_hops_are_hardly_stretched() -> None:
    late = hops(20, 10)
    found = held(as_planned(late), 3 * ibu(late), most_flavour=HARDLY_TASTED)
    assert found.weights_g == (25,)


@pytest.mark.parametrize(
    ("wanted", "unit", "units", "marks"),
    [
        (13.3, "g", Units.METRIC, {13.0, 13.5}),
        (26.4, "g", Units.METRIC, {26.0, 27.0}),
        (0.63, "oz", Units.US, {0.6, 0.65}),
        (1.37, "oz", Units.US, {1.3, 1.4, 1.25, 1.5}),
    ],
)
def test_hops_are_weighed_as_scales_are_read(
    wanted: float, unit: str, units: Units, marks: set[float]
) -> None:
    found = weighed_out(convert(wanted, unit, "g"), units)
    assert {round(convert(mark, "g", unit), 6) for mark in found} == marks


def test_ounces_stay_ounces() -> None:
    bitter = hops(0.75 * OUNCE_G, 60)
    found = held(as_planned(bitter), ibu(bitter) * 1.21, units=Units.US)
    assert convert(found.weights_g[0], "g", "oz") == pytest.approx(0.9)


WEIGHTS_G = st.floats(min_value=2, max_value=120)
DOSES = st.builds(
    hops,
    WEIGHTS_G,
    st.sampled_from([0.0, 5.0, 10.0, 20.0, 30.0, 60.0]),
    alpha=st.floats(min_value=0.02, max_value=0.16),
    after_min=st.floats(min_value=0, max_value=25),
)
TO_WEIGH = st.lists(
    st.builds(lambda dose, factor: (dose, factor), DOSES, st.floats(min_value=0.6, max_value=1.6)),
    min_size=1,
    max_size=5,
)


@given(TO_WEIGH, st.lists(DOSES, max_size=3), st.floats(min_value=0, max_value=150))
def test_new_weights_are_nearer_and_within_their_limits(
    drawn: list, settled: list, wanted_ibu: float
) -> None:
    to_weigh = [ToWeigh(dose=dose, planned_g=dose.weight_g / factor) for dose, factor in drawn]
    for units in Units:
        found = held(to_weigh, wanted_ibu, settled=tuple(settled), units=units)
        assert abs(found.ibu - wanted_ibu) <= abs(found.before_ibu - wanted_ibu)
        for weight_g, each in zip(found.weights_g, to_weigh, strict=True):
            share = weight_g / each.planned_g
            assert LEAST_FACTOR - 1e-6 <= share <= MOST_FACTOR + 1e-6
        again = [
            ToWeigh(
                dose=hops(weight_g, each.dose.minutes or 0.0, each.dose.alpha, each.dose.after_min),
                planned_g=each.planned_g,
            )
            for weight_g, each in zip(found.weights_g, to_weigh, strict=True)
        ]
        once_more = held(again, wanted_ibu, settled=tuple(settled), units=units)
        assert once_more.weights_g == found.weights_g

"""What is taken where a schedule says nothing: the table in ``assistant/schedule/tables.py``."""

import pytest
from schedule_texts import schedule_text, schedule_with

from assistant.schedule import (
    Addition,
    AdditionKind,
    Chill,
    ChillMethod,
    Ferment,
    Heater,
    HeaterKind,
    HopForm,
    Kettle,
    Malt,
    Moment,
    Package,
    PrimingSugar,
    Rest,
    Schedule,
    Units,
    Vessel,
    Whirlpool,
    Yeast,
    YeastForm,
    load_text,
)


def test_the_shortest_schedule_is_whole() -> None:
    kettle = Kettle(
        name="kettle",
        holds_l=30,
        heater=Heater(kind=HeaterKind.ELECTRIC, power_w=2500, efficiency=0.9),
        heat_capacity_j_k=3300,
        heat_loss_w_k=4,
        boil_off_l_h=3,
        left_behind_l=1,
        absorption_l_kg=0.6,
        extract_efficiency=0.72,
        room_c=20,
        tap_water_c=12,
        altitude_m=0,
    )
    assert schedule_with(yeast="{}") == Schedule(
        beer="Quayside Ale",
        volume_l=20,
        units=Units.METRIC,
        kettle=kettle,
        grist=(Malt(name="pale malt", weight_kg=4, extract=0.8, colour_ebc=5),),
        mash=(Rest(name="rest 1", temperature_c=66, minutes=60),),
        boil_minutes=70,
        additions=(),
        whirlpool=Whirlpool(temperature_c=80, steep_minutes=0, settle_minutes=10),
        chill=Chill(to_c=19, method=ChillMethod.COIL, top_up_l=0),
        yeast=Yeast(name="yeast", form=YeastForm.DRY, attenuation=0.75, rate_million_ml_p=0.75),
        ferment=Ferment(low_c=18, high_c=20, days=14),
        package=None,
    )


def test_hops_are_the_usual_addition_and_come_as_pellets() -> None:
    schedule = schedule_with(additions="[{add: x, weight: 9 g, alpha: 7 %, at: 60 min}]")
    assert schedule.additions == (
        Addition(
            name="x",
            kind=AdditionKind.HOPS,
            weight_g=9,
            moment=Moment.BEFORE_END,
            minutes_before_end=60,
            alpha=0.07,
            form=HopForm.PELLET,
        ),
    )


def test_sugar_dissolves_whole_and_has_no_alpha() -> None:
    schedule = schedule_with(additions="[{add: x, kind: sugar, weight: 9 g, at: 9 min}]")
    (sugar,) = schedule.additions
    assert (sugar.extract, sugar.alpha, sugar.form) == (1, None, None)


@pytest.mark.parametrize("kind", ["finings", "nutrient", "salt", "spice", "other"])
def test_other_additions_have_neither(kind: str) -> None:
    schedule = schedule_with(additions=f"[{{add: x, kind: {kind}, weight: 9 g, at: 9 min}}]")
    (addition,) = schedule.additions
    assert (addition.extract, addition.alpha, addition.form) == (None, None, None)


@pytest.mark.parametrize("moment", ["day 3", "day 0"])
def test_dry_hops_need_no_alpha(moment: str) -> None:
    schedule = schedule_with(additions=f"[{{add: x, weight: 9 g, at: {moment}}}]")
    (hops,) = schedule.additions
    assert (hops.alpha, hops.form) == (None, HopForm.PELLET)


@pytest.mark.parametrize(
    ("moment", "steep_minutes"),
    [("whirlpool", 20), ("flameout", 0), ("60 min", 0), ("day 3", 0)],
)
def test_only_whirlpool_hops_are_steeped(moment: str, steep_minutes: float) -> None:
    additions = f"[{{add: x, weight: 9 g, alpha: 7 %, at: {moment}}}]"
    assert schedule_with(additions=additions).whirlpool.steep_minutes == steep_minutes


def test_a_steep_that_is_given_stands() -> None:
    additions = "[{add: x, weight: 9 g, alpha: 7 %, at: whirlpool}]"
    schedule = schedule_with(additions=additions, whirlpool="{steep: 0 min}")
    assert schedule.whirlpool.steep_minutes == 0


def test_the_wort_is_chilled_to_the_middle_of_the_fermentation() -> None:
    assert schedule_with(ferment="{at: 10 degC to 13 degC}").chill.to_c == 11.5


@pytest.mark.parametrize(
    ("kind", "efficiency"), [("electric", 0.9), ("induction", 0.8), ("gas", 0.4)]
)
def test_a_flame_heats_the_room_as_well(kind: str, efficiency: float) -> None:
    schedule = schedule_with(kettle=f"{{holds: 30 L, heater: {{power: 2 kW, kind: {kind}}}}}")
    assert schedule.kettle.heater.efficiency == efficiency


def test_a_larger_kettle_holds_more_heat() -> None:
    schedule = schedule_with(kettle="{holds: 50 L, heater: {power: 3 kW}}")
    assert schedule.kettle.heat_capacity_j_k == pytest.approx(5500)


def test_rests_are_counted_where_they_have_no_name() -> None:
    rests = (
        "{at: 52 degC, for: 9 min}, {rest: main, at: 66 degC, for: 1 h}, {at: 76 degC, for: 1 h}"
    )
    mash = schedule_with(mash=f"[{rests}]").mash
    assert [rest.name for rest in mash] == ["rest 1", "main", "rest 3"]


def test_a_package_without_more_is_bottles_primed_with_table_sugar() -> None:
    assert schedule_with(package="{}").package == Package(
        into=Vessel.BOTTLES, carbonation_vol=2.4, sugar=PrimingSugar.SUCROSE
    )


def test_a_kettle_file_without_a_name_has_the_files() -> None:
    text = schedule_text(kettle="kettles/garage-35l.yaml")
    schedule = load_text(text, "ale.yaml", "{holds: 35 L, heater: {power: 3 kW}}")
    assert schedule.kettle.name == "garage-35l"


def test_the_whole_grist_is_weighed() -> None:
    grist = "[{malt: pale malt, weight: 4 kg}, {malt: wheat malt, weight: 500 g}]"
    assert schedule_with(grist=grist).grain_kg == 4.5

"""The schedules that come with the program: they load, and they make the beer they promise.

The sums are those of a brewing textbook done by hand, apart from the program's own: extract from
the ASBC table's cubic, gravity by the share of the grist's extract, bitterness after G. Tinseth,
"Glenn's Hop Utilization Numbers" (1995), and colour after D. Morey, "Hop and Color Chart" (1995),
from memory, unchecked.
"""

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest

from assistant.schedule import (
    Addition,
    Moment,
    Schedule,
    Units,
    load,
    load_with_source,
)

SCHEDULES = Path(__file__).parents[2] / "schedules"
SAMPLES = sorted(SCHEDULES.glob("*.yaml"))


def sample(name: str) -> Schedule:
    return load(SCHEDULES / f"{name}.yaml")


def extract_kg_per_litre(gravity: float) -> float:
    plato = -616.868 + 1111.14 * gravity - 630.272 * gravity**2 + 135.997 * gravity**3
    return gravity * 0.9982 * plato / 100


def gravity_of(extract_kg: float, volume_l: float) -> float:
    low, high = 1.0, 1.15
    for _ in range(40):
        middle = (low + high) / 2
        if extract_kg_per_litre(middle) * volume_l < extract_kg:
            low = middle
        else:
            high = middle
    return low


def kettle_wort(schedule: Schedule) -> tuple[float, float]:
    """The extract (kg) and the volume (L at 20 °C) of the wort at the end of the boil."""
    kettle = schedule.kettle
    grist_kg = sum(malt.weight_kg * malt.extract for malt in schedule.grist)
    sugar_kg = sum(sugar.weight_g / 1000 * (sugar.extract or 0) for sugar in schedule.additions)
    volume_l = schedule.volume_l - schedule.chill.top_up_l + kettle.left_behind_l
    return kettle.extract_efficiency * grist_kg + sugar_kg, volume_l


def original_gravity(schedule: Schedule) -> float:
    extract_kg, volume_l = kettle_wort(schedule)
    from_kettle_l = schedule.volume_l - schedule.chill.top_up_l
    return gravity_of(extract_kg * from_kettle_l / volume_l, schedule.volume_l)


def minutes_in_heat(addition: Addition, schedule: Schedule) -> float:
    """Minutes of boil an addition is worth, the way down from flameout counted.

    Under the lid a minute near 98 °C is worth 0.85 of one at the boil, near 80 °C 0.17 (Malowicki
    and Shellhammer 2005); to stir takes three.
    """
    whirlpool = schedule.whirlpool
    if any(other.moment is Moment.WHIRLPOOL for other in schedule.additions):
        under_lid = 0.17 * (whirlpool.steep_minutes + whirlpool.settle_minutes)
    else:
        under_lid = 0.85 * (3 + whirlpool.settle_minutes)
    return {
        Moment.FIRST_WORT: schedule.boil_minutes + under_lid,
        Moment.BOIL_START: schedule.boil_minutes + under_lid,
        Moment.BEFORE_END: (addition.minutes_before_end or 0) + under_lid,
        Moment.FLAMEOUT: under_lid,
        Moment.WHIRLPOOL: under_lid,
        Moment.DAY: 0.0,
    }[addition.moment]


def bitterness_ibu(schedule: Schedule) -> float:
    extract_kg, volume_l = kettle_wort(schedule)
    boiled_off_l = schedule.kettle.boil_off_l_h * schedule.boil_minutes / 60
    gravities = gravity_of(extract_kg, volume_l), gravity_of(extract_kg, volume_l + boiled_off_l)
    bigness = 1.65 * 0.000125 ** (sum(gravities) / 2 - 1)
    iso_mg = sum(
        hops.weight_g
        * 1000
        * (hops.alpha or 0)
        * bigness
        * (1 - math.exp(-0.04 * minutes_in_heat(hops, schedule)))
        / 4.15
        for hops in schedule.additions
    )
    diluted = (schedule.volume_l - schedule.chill.top_up_l) / schedule.volume_l
    return iso_mg / volume_l * diluted


def mash_volume_l(schedule: Schedule) -> float:
    """The volume of the mash: hot water for the whole day and 0.67 L for each kg of grain."""
    _, volume_l = kettle_wort(schedule)
    boiled_off_l = schedule.kettle.boil_off_l_h * schedule.boil_minutes / 60
    water_l = volume_l + boiled_off_l + schedule.kettle.absorption_l_kg * schedule.grain_kg
    return water_l / 0.978 + 0.67 * schedule.grain_kg


def test_there_are_four_samples() -> None:
    assert [path.stem for path in SAMPLES] == [
        "breakwater-amber",
        "galley-bitter",
        "harbour-light-stout",
        "saltgrass-pale",
    ]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_sample_opens_with_what_it_is(path: Path) -> None:
    beer = load(path).beer
    assert path.read_text(encoding="utf-8").startswith(f"# {beer}")


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_sample_makes_the_beer_its_comment_promises(path: Path) -> None:
    schedule, source = load_with_source(path)
    promise = re.search(r"about (1\.\d{3}), (\d+) IBU", source.text)
    assert promise is not None
    assert original_gravity(schedule) == pytest.approx(float(promise[1]), abs=0.001)
    assert bitterness_ibu(schedule) == pytest.approx(float(promise[2]), abs=2.5)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_sample_fits_its_kettle(path: Path) -> None:
    schedule = load(path)
    assert 0.7 < mash_volume_l(schedule) / schedule.kettle.holds_l < 0.92


@pytest.mark.parametrize(
    ("name", "palest_ebc", "darkest_ebc"),
    [
        pytest.param("saltgrass-pale", 6, 14, id="pale gold"),
        pytest.param("galley-bitter", 12, 24, id="copper"),
        pytest.param("breakwater-amber", 18, 34, id="amber"),
        pytest.param("harbour-light-stout", 70, 110, id="black"),
    ],
)
def test_a_sample_has_the_colour_of_its_kind(
    name: str, palest_ebc: float, darkest_ebc: float
) -> None:
    schedule = sample(name)
    malt_colour = sum(malt.weight_kg * (malt.colour_ebc + 1.2) / 2.65 for malt in schedule.grist)
    srm = 1.4922 * (8.345 * malt_colour / schedule.volume_l) ** 0.6859
    assert palest_ebc < 1.97 * srm < darkest_ebc


def test_the_stout_is_strong_and_nearly_fills_the_kettle() -> None:
    stout = sample("harbour-light-stout")
    assert original_gravity(stout) > 1.075
    assert mash_volume_l(stout) == pytest.approx(0.9 * stout.kettle.holds_l, abs=1)


def test_the_bitter_is_a_small_batch_let_down_with_water() -> None:
    bitter = sample("galley-bitter")
    assert bitter.volume_l < 8
    assert bitter.chill.top_up_l > 0


def test_the_amber_steps_through_three_rests() -> None:
    assert [rest.temperature_c for rest in sample("breakwater-amber").mash] == [64, 70, 77]


METRIC_TWIN = """\
beer: Saltgrass Pale
volume: 18.92705892 L
units: metric
kettle:
  kettle: boathouse 10 gal
  holds: 37.85411784 L
  heater: {kind: induction, power: 3500 W, efficiency: 82 %}
  heat_capacity: 4.32 kJ/K
  heat_loss: 2.88 W/K
  boil_off: 3.0283294272 L/h
  left_behind: 1.3248941244 L
  absorption: 0.688495864 L/kg
  extract_efficiency: 71 %
  room: 18.888889 degC
  tap_water: 13.888889 degC
  altitude: 9.144 m
  hydrometer: 15.5555556 degC
grist:
  - {malt: two-row pale malt, weight: 4.422525608 kg, extract: 80 %, colour: 4.1 EBC}
  - {malt: wheat malt, weight: 566.9904625 g, extract: 82 %, colour: 4.63 EBC}
  - {malt: light crystal malt, weight: 170.09713875 g, extract: 75 %, colour: 38.55 EBC}
mash:
  - {rest: single, at: 65.555556 degC, for: 60 min}
  - {rest: mash-out, at: 76.666667 degC, for: 480 s}
water: {calcium: 0.038 g/L, magnesium: 0.004 g/L, sodium: 0.024 g/L, sulphate: 0.022 g/L,
        chloride: 0.031 g/L, alkalinity: 0.084 g/L, gypsum: 6 g, lactic_acid: 3 mL}
boil: {for: 1 h}
additions:
  - {add: Magnum, weight: 12.75728541 g, alpha: 13 %, at: boil start}
  - {add: kettle finings, kind: finings, weight: 2.83495231 g, at: 15 min}
  - {add: Centennial, weight: 21.26214234 g, alpha: 9.8 %, at: 10 min}
  - {add: Cascade, weight: 28.34952313 g, alpha: 6.2 %, form: whole, at: flameout}
  - {add: Centennial, weight: 35.43690391 g, alpha: 9.8 %, at: whirlpool}
  - {add: Cascade, weight: 56.69904625 g, at: day 4}
whirlpool: {at: 80 degC, steep: 20 min, settle: 10 min}
chill: {to: 18.333333 degC, method: coil}
yeast: {name: clean ale yeast, form: liquid, attenuation: 78 %, rate: 0.75}
ferment: {at: 18.333333 degC to 20 degC, for: 2 weeks}
package: {into: bottles, carbonation: 2.5 vol, sugar: glucose monohydrate}
"""


def figures(thing: object) -> list[object]:
    """Every figure and word of a schedule, one after the other."""
    if isinstance(thing, tuple):
        return [figure for part in thing for figure in figures(part)]
    if hasattr(thing, "__dataclass_fields__"):
        return figures(tuple(getattr(thing, name) for name in thing.__dataclass_fields__))
    return [thing]


def test_a_schedule_in_us_measure_is_its_metric_twin(tmp_path: Path) -> None:
    path = tmp_path / "twin.yaml"
    path.write_text(METRIC_TWIN, encoding="utf-8")
    us = sample("saltgrass-pale")
    assert us.units is Units.US
    twin = replace(load(path), units=Units.US)
    for ours, theirs in zip(figures(us), figures(twin), strict=True):
        if isinstance(ours, float):
            assert ours == pytest.approx(theirs, rel=1e-6)
        else:
            assert ours == theirs

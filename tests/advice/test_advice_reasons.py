"""Every finding has its reason: one short sentence with the figures it was founded on."""

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest
from sample_files import SAMPLES

from assistant.advice.actions import Finding
from assistant.advice.batch import Batch, fresh_batch
from assistant.advice.cold_remedies import pitch_finding
from assistant.advice.conversion import conversion_finding
from assistant.advice.ending import planned_boil
from assistant.advice.happenings import boiling, lifted, transferred
from assistant.advice.hop_remedies import LateHops, hops_finding
from assistant.advice.mash_minerals import ph_finding
from assistant.advice.mash_remedies import mash_finding, strike_finding
from assistant.advice.plan import make_plan
from assistant.advice.wort_remedies import wort_finding
from assistant.day.outlook import unlimited
from assistant.day.state import new_day
from assistant.day.turn import MOST_WORDS
from assistant.schedule import Schedule, load, load_text

PLAIN = """
beer: Plain
volume: {volume} L
units: {units}
kettle: {{holds: {holds} L, heater: {{power: {power} W}}, tap_water: {tap} degC}}
grist: [{{malt: pale malt, weight: {grain} kg, colour: 5 EBC}}]
mash: [{{at: 66 degC, for: 60 min}}]
boil: {{for: {boil} min}}
additions:
  - {{add: bittering, weight: {hops} g, alpha: 8 %, at: {boil} min}}
  - {{add: flavour, weight: {hops} g, alpha: 8 %, at: 15 min}}
yeast: {{}}
ferment: {{at: {ferment}}}
water: {{calcium: 60 mg/L, magnesium: 5 mg/L, alkalinity: {alkalinity} mg/L}}
"""
USUAL = {
    "volume": 20,
    "units": "metric",
    "holds": 40,
    "power": 2500,
    "tap": 12,
    "grain": 5,
    "boil": 60,
    "hops": 25,
    "ferment": "18 degC to 20 degC",
    "alkalinity": 110,
}

ODD: dict[str, dict[str, object]] = {
    "plain": {},
    "in gallons": {"units": "us"},
    "a weak heater": {"power": 600},
    "a kettle filled to the brim": {"holds": 29.5, "power": 900},
    "a cupful": {"volume": 1, "holds": 3, "grain": 0.25, "hops": 2, "power": 700},
    "a brewery": {"volume": 100, "holds": 220, "grain": 25, "hops": 300, "power": 9000},
    "bitter": {"hops": 140, "boil": 110},
    "a cold cellar at one temperature": {"ferment": "10 degC", "tap": 4},
    "tap water of a heatwave": {"tap": 30, "alkalinity": 400},
}

BEERS = {path.stem: load(path) for path in sorted(SAMPLES.glob("*.yaml"))} | {
    name: load_text(PLAIN.format(**USUAL | odd), "plain.yaml") for name, odd in ODD.items()
}


def of_the_mash(beer: Schedule) -> Iterator[Finding | None]:
    plan = make_plan(beer)
    batch = fresh_batch(beer, plan, 0.0)
    for volume_l in (batch.volume_l * 0.9, batch.volume_l, batch.volume_l * 1.1):
        moved = replace(batch, volume_l=volume_l)
        yield from (_strike(beer, moved, plan.strike_temperature_c, off) for off in (2, 5, 12, 25))
        for rest in beer.mash:
            for off_k in (-30, -12, -6, -3, -1.6, 1.6, 3, 6, 12):
                yield mash_finding(beer, moved, rest, rest.temperature_c + off_k, 0.0)
    for hundredths in range(430, 720, 6):
        yield ph_finding(beer, batch.volume_l, hundredths / 100, acid_in_ml=0.0)
        yield ph_finding(beer, batch.volume_l, hundredths / 100, acid_in_ml=8.0)


def _strike(beer: Schedule, batch: Batch, strike_c: float, off_k: float) -> Finding | None:
    return strike_finding(beer, batch, strike_c, strike_c + off_k, 0.0)


def of_the_hops(beer: Schedule) -> Iterator[Finding | None]:
    plan = make_plan(beer)
    for addition, planned in zip(beer.additions, plan.additions, strict=True):
        if not planned.at_min or not planned.ibu:
            continue
        for late_min in (0.4, 1, 3, 8, 20, 40, 59, 100):
            for boil_min in (plan.boil_minutes, 120.0):
                for already_in in (True, False):
                    late = LateHops(
                        addition=addition,
                        planned_min=planned.at_min,
                        left_min=max(planned.at_min - late_min, 0.0),
                        after_min=plan.after_boil.whole_min,
                        boiling_c=plan.boiling_point_c,
                        boil_total_min=boil_min,
                        planned_boil=planned_boil(plan),
                        boil=planned_boil(plan),
                        planned_ibu=planned.ibu,
                        already_in=already_in,
                        weight_g=addition.weight_g,
                    )
                    yield hops_finding(beer, late)


def of_the_wort(beer: Schedule) -> Iterator[Finding | None]:
    plan = make_plan(beer)
    ahead = unlimited(new_day(beer, plan))
    batch = lifted(fresh_batch(beer, plan, 0.0), beer, 0.0)
    moved = transferred(boiling(batch, beer, 0.0, on=True), beer, 60 * beer.boil_minutes)
    for volume in (0.8, 0.93, 1.0, 1.06, 1.15):
        for extract in (0.8, 0.94, 1.0, 1.07, 1.2):
            for inside in (batch, moved):
                yield wort_finding(
                    beer,
                    plan,
                    replace(
                        inside,
                        volume_l=volume * inside.volume_l,
                        extract_kg=extract * inside.extract_kg,
                    ),
                    ahead if inside is batch else replace(ahead, boil_minutes_left=0.0),
                    at_s=60 * beer.boil_minutes,
                    boiled_min=0.0,
                    pending_min=0.0,
                )


def of_the_cold_wort(beer: Schedule) -> Iterator[Finding | None]:
    return (pitch_finding(beer, half / 2, 0.9 * beer.volume_l) for half in range(2, 80))


def findings(beer: Schedule) -> list[Finding]:
    found = (
        *of_the_mash(beer),
        *of_the_hops(beer),
        *of_the_wort(beer),
        *of_the_cold_wort(beer),
        conversion_finding(beer.mash[0], 1.040, 1.046),
    )
    return [finding for finding in found if finding is not None]


@pytest.mark.parametrize("name", BEERS)
def test_every_reason_is_one_short_sentence_with_a_figure(name: str) -> None:
    for finding in findings(BEERS[name]):
        assert re.search(r"\d", finding.why), finding
        assert len(finding.why.split()) <= MOST_WORDS, finding.why
        assert re.fullmatch(r"[A-Z].*[^.]\.", finding.why), finding.why
        assert not re.search(r"\. |\d{4}|[^1]\.\d{3}|nan|inf\b", finding.why), finding.why


def strike_why(beer: Schedule, water_c: float) -> str:
    plan = make_plan(beer)
    found = strike_finding(
        beer, fresh_batch(beer, plan, 0.0), plan.strike_temperature_c, water_c, 0.0
    )
    assert found is not None
    return found.why


def mash_why(beer: Schedule, mash_c: float) -> str:
    found = mash_finding(beer, fresh_batch(beer, make_plan(beer), 0.0), beer.mash[0], mash_c, 0.0)
    assert found is not None
    return found.why


def pitch_why(beer: Schedule, wort_c: float) -> str:
    found = pitch_finding(beer, wort_c, beer.volume_l)
    assert found is not None
    return found.why


@pytest.mark.parametrize(
    ("mash_c", "why"),
    [
        # By hand: 2.8 kW at 91 % are 2.5 kW, and 126 kJ/K by three kelvin take them 158 s.
        (61.0, "27 litres and the grain need 3 minutes with 2.5 kilowatts reaching them."),
        # 126 kJ/K by 2.4 kelvin are 302 kJ; a litre of water from 11 to 64 takes 222 kJ: 1.4 L.
        (66.4, "27 litres and the grain need 1.4 litres of water at 11."),
        # Eleven kelvin would be 6.2 L, more than there is room for: some 37 L of 35.
        (75.0, "no practical measure of cold water helps."),
    ],
)
def test_a_mash_off_its_rest_is_explained_by_its_heat(
    amber: Schedule, mash_c: float, why: str
) -> None:
    assert mash_why(amber, mash_c) == f"The mash read {mash_c:g}, not 64: {why}"


def test_what_a_burner_loses_does_not_reach_the_mash() -> None:
    bitter = BEERS["galley-bitter"]
    # Gas of 3.4 kW, of which 42 % goes into the kettle.
    assert "with 1.4 kilowatts reaching them" in mash_why(bitter, 63.0)


def test_strike_water_too_hot_is_explained_by_where_the_mash_would_land(amber: Schedule) -> None:
    # By hand: 4.6 kelvin of water and kettle, 118 of the mash's 126 kJ/K, move it by 4.3 to 68.3;
    # 118 kJ/K by 4.6 kelvin are 548 kJ, and a litre from 11 to 67.4 takes 236: 2.3 L.
    why = "it takes 2.3 litres of water at 11, or the mash lands at 68.5."
    assert strike_why(amber, 72.0) == f"The water read 72, not 67.5: {why}"


@pytest.mark.parametrize(
    ("wort_c", "why"),
    [
        (24.0, "a warmer start makes more esters"),
        (29.0, "yeast is not pitched above 27"),
        (13.0, "cold yeast only starts more slowly"),
    ],
)
def test_wort_off_its_pitching_is_explained_by_the_ferment(
    amber: Schedule, wort_c: float, why: str
) -> None:
    told = f"The wort read {wort_c:g}: this beer ferments at 18 to 20, and {why}."
    assert pitch_why(amber, wort_c) == told


def test_a_beer_of_one_temperature_is_not_told_as_a_range() -> None:
    assert "ferments at 10, and" in pitch_why(BEERS["a cold cellar at one temperature"], 22.0)


def test_figures_of_a_reason_are_in_the_units_of_the_brewer() -> None:
    pale = BEERS["saltgrass-pale"]
    assert mash_why(pale, (145.2 - 32) / 1.8).startswith("The mash read 145.2, not 150: 7 gallons")


@pytest.mark.parametrize(
    ("read_ph", "start"),
    [(5.84, "The mash read pH 5.84, over 5.6: "), (4.9, "The mash read pH 4.9, under 5.2: ")],
)
def test_a_dose_is_told_as_half_of_the_way_at_most(read_ph: float, start: str) -> None:
    found = ph_finding(BEERS["plain"], 27.0, read_ph, acid_in_ml=0.0)
    assert found is not None
    assert found.why.startswith(start)
    dose = found.options[0].phrase.removeprefix(f"{found.recommended}, ")
    assert f"{dose} of " in found.why
    assert found.why.endswith(" is at most half the way to 5.4.")


def test_hops_lost_and_hops_kept_make_up_what_was_planned(amber: Schedule) -> None:
    for finding in of_the_hops(amber):
        if finding is None:
            continue
        kept, whole = map(int, re.findall(r"(\d+) of (\d+) IBU", finding.why)[0])
        assert f"{whole - kept} IBU less" == finding.options[-1].effect


def test_these_beers_come_to_every_recommendation_there_is() -> None:
    met = {
        (finding.about, finding.recommended)
        for beer in BEERS.values()
        for finding in findings(beer)
    }
    assert met == {
        ("mash_temperature", "heat"),
        ("mash_temperature", "boiling water"),
        ("mash_temperature", "cold water"),
        ("mash_temperature", "leave it"),
        ("water_temperature", "cold water"),
        ("water_temperature", "stir it cool"),
        ("mash_ph", "add acid"),
        ("mash_ph", "add soda"),
        ("additions", "more hops"),
        ("additions", "boil longer"),
        ("additions", "leave it"),
        ("fermenter_temperature", "chill more"),
        ("fermenter_temperature", "leave it"),
        ("gravity", "add extract"),
        ("gravity", "add extract and add water"),
        ("gravity", "add extract and top up"),
        ("gravity", "add water"),
        ("gravity", "boil longer"),
        ("gravity", "boil longer and add extract"),
        ("gravity", "boil shorter"),
        ("gravity", "top up"),
        ("mash_gravity", "leave it"),
        ("volume", "add extract"),
        ("volume", "add extract and add water"),
        ("volume", "add extract and top up"),
        ("volume", "boil longer"),
        ("volume", "boil shorter"),
        ("volume", "top up"),
    }

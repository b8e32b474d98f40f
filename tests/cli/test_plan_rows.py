"""The rows of the plan a person reads."""

import re
from dataclasses import replace

import pytest
from sample_files import SAMPLES

from assistant.advice.plan import make_plan
from assistant.plan_rows import plan_rows
from assistant.schedule import Schedule, load
from assistant.schedule.model import AdditionKind, Units, Water, YeastForm

DISTILLED = Water(
    calcium_mg_l=0.0,
    magnesium_mg_l=0.0,
    sodium_mg_l=0.0,
    sulphate_mg_l=0.0,
    chloride_mg_l=0.0,
    alkalinity_mg_l=0.0,
    gypsum_g=0.0,
    calcium_chloride_g=0.0,
    epsom_salt_g=0.0,
    baking_soda_g=0.0,
    lactic_acid_ml=0.0,
    lactic_strength=0.88,
)


def rows(schedule: Schedule) -> dict[str, str]:
    return dict(plan_rows(schedule, make_plan(schedule)))


def sample(name: str) -> Schedule:
    return load(SAMPLES / f"{name}.yaml")


@pytest.mark.parametrize(
    ("name", "row", "text"),
    [
        (
            "breakwater-amber",
            "grain",
            "4.76 kilos, of whose extract 73 % reaches the kettle and 68 % the fermenter",
        ),
        (
            "breakwater-amber",
            "mash",
            "5.7 litres to a kilo of grain; loses about 4.5 degrees an hour, lid on",
        ),
        ("breakwater-amber", "chill", "coil, 15 minutes in all, about 90 litres through the coil"),
        ("breakwater-amber", "energy", "about 5.9 kWh"),
        ("galley-bitter", "chill", "ice bath, 23 minutes in all, about 5 kilos of ice"),
        (
            "harbour-light-stout",
            "gravity",
            "1.082 to 1.017, 8.8 % alcohol (9.1 % by Hall's equation)",
        ),
        ("harbour-light-stout", "package", "keg, 2.0 volumes: 45 kPa at 4 °C"),
        ("saltgrass-pale", "yeast", "clean ale yeast: 195 billion cells, 2 packs if fresh"),
        (
            "saltgrass-pale",
            "mash",
            "2.5 quarts to a pound of grain; loses about 7 degrees an hour, lid on",
        ),
    ],
)
def test_a_row_of_a_sample(name: str, row: str, text: str) -> None:
    assert rows(sample(name))[row] == text


def test_gas_is_told_as_gas() -> None:
    assert rows(sample("galley-bitter"))["energy"].endswith("kWh of gas")


def test_bottles_that_would_burst_get_a_reason_instead_of_sugar(amber: Schedule) -> None:
    assert amber.package is not None
    fizzy = replace(amber, package=replace(amber.package, carbonation_vol=3.6))
    assert rows(fizzy)["package"] == (
        "bottles, 3.6 volumes: no sugar is given, ordinary glass is good for 3.0"
    )


def test_what_the_sums_do_not_hold_for_is_said_in_its_row(amber: Schedule) -> None:
    bitter = tuple(replace(addition, weight_g=900.0) for addition in amber.additions[:1])
    told = rows(replace(amber, additions=bitter))["bitterness"]
    assert re.fullmatch(r"\d+ IBU on paper, nearer 100 in the glass", told)
    empty = tuple(replace(malt, extract=0.0) for malt in amber.grist)
    sugar = replace(
        amber.additions[0], kind=AdditionKind.SUGAR, alpha=None, extract=1.0, weight_g=2000.0
    )
    told = rows(replace(amber, grist=empty, additions=(sugar,)))["grain"]
    assert told.startswith("past what the sums hold for: potential extract 0 kg is outside")


def test_a_water_past_the_sums_is_no_traceback(amber: Schedule) -> None:
    salty = replace(DISTILLED, gypsum_g=100.0, calcium_mg_l=99_999.0)
    known = list(plan_rows(replace(amber, water=salty), make_plan(amber)))
    assert known[-1][1].startswith("This water is past what the sums hold for:")


def test_a_beer_without_hops_has_no_bitterness(amber: Schedule) -> None:
    assert rows(replace(amber, additions=()))["bitterness"] == "none"


def test_black_is_black(amber: Schedule) -> None:
    dark = tuple(replace(malt, colour_ebc=1200.0) for malt in amber.grist)
    assert rows(replace(amber, grist=dark))["colour"] == "black, over 98 EBC (50 SRM)"


def test_dry_yeast_is_weighed_in_grams_and_needs_little_oxygen(amber: Schedule) -> None:
    told = rows(replace(amber, units=Units.US))
    assert told["yeast"] == "ale yeast: 185 billion cells, 15 grams dry"
    assert told["oxygen"].endswith("at most; dry yeast needs little")


def test_no_package_no_row(amber: Schedule) -> None:
    assert "package" not in rows(replace(amber, package=None))


def test_an_aged_slurry(amber: Schedule) -> None:
    slurry = replace(amber.yeast, form=YeastForm.SLURRY, age_days=6.0)
    # 185 billion at a billion a millilitre, 14 % lost in six days (McCaig & Bendiak 1985).
    told = rows(replace(amber, yeast=slurry))["yeast"]
    assert told == "ale yeast: 185 billion cells, 220 millilitres of slurry 6 days old"


def test_a_known_water_has_its_say_at_the_end(amber: Schedule) -> None:
    assert "" not in rows(amber)
    plan = make_plan(amber)
    known = list(plan_rows(replace(amber, water=DISTILLED), plan))
    assert any("Mash pH about" in text for name, text in known if not name)


@pytest.mark.parametrize("units", Units)
@pytest.mark.parametrize(
    "name", ["breakwater-amber", "galley-bitter", "harbour-light-stout", "saltgrass-pale"]
)
def test_no_figure_is_longer_than_a_brewer_says_it(name: str, units: Units) -> None:
    for row, text in rows(replace(sample(name), units=units)).items():
        for figure in re.findall(r"\d+\.\d+", text):
            decimals = len(figure.partition(".")[2])
            assert decimals <= (3 if figure.startswith(("1.0", "1.1", "0.9")) else 2), (row, text)

"""The rows of the plan a person reads."""

from dataclasses import replace

import pytest
from conftest import SAMPLES

from assistant.advice.plan import make_plan
from assistant.plan_rows import plan_rows
from assistant.schedule import Schedule, load
from assistant.schedule.model import Units, Water, YeastForm

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
        ("breakwater-amber", "chill", "coil, 13 minutes, about 90 litres through the coil"),
        ("breakwater-amber", "energy", "about 5.9 kWh"),
        ("galley-bitter", "chill", "ice bath, 10 minutes, about 5 kilos of ice"),
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
        "bottles, 3.6 volumes: no sugar is given, it is more than they are good for"
    )


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
    import re

    for row, text in rows(replace(sample(name), units=units)).items():
        for figure in re.findall(r"\d+\.\d+", text):
            decimals = len(figure.partition(".")[2])
            assert decimals <= (3 if figure.startswith(("1.0", "1.1", "0.9")) else 2), (row, text)

"""The water a schedule names: what is taken, what is refused, and how it is said."""

import pytest
from schedule_texts import FILE, faults_of, line_of, malt, schedule_text, schedule_with

from assistant.record.codec import schedule_from
from assistant.record.codec import schedule_text as recorded
from assistant.schedule import Fault, Water

TAP = """{calcium: 60 mg/L, magnesium: 5 mg/L, sodium: 12 mg/L, sulphate: 40 mg/L,
 chloride: 30 mg/L, alkalinity: 110 mg/L, gypsum: 4 g, calcium_chloride: 3 g, epsom_salt: 1 g,
 baking_soda: 2 g, lactic_acid: 3 mL, lactic_strength: 80 %}"""

DISTILLED = Water(
    calcium_mg_l=0,
    magnesium_mg_l=0,
    sodium_mg_l=0,
    sulphate_mg_l=0,
    chloride_mg_l=0,
    alkalinity_mg_l=0,
    gypsum_g=0,
    calcium_chloride_g=0,
    epsom_salt_g=0,
    baking_soda_g=0,
    lactic_acid_ml=0,
    lactic_strength=0.88,
)


def test_a_water_with_everything_in_it() -> None:
    assert schedule_with(water=TAP).water == Water(
        calcium_mg_l=60,
        magnesium_mg_l=5,
        sodium_mg_l=12,
        sulphate_mg_l=40,
        chloride_mg_l=30,
        alkalinity_mg_l=110,
        gypsum_g=4,
        calcium_chloride_g=3,
        epsom_salt_g=1,
        baking_soda_g=2,
        lactic_acid_ml=3,
        lactic_strength=0.8,
    )


@pytest.mark.parametrize("text", [None, "unknown", "'unknown'"], ids=str)
def test_a_water_nobody_knows_is_none(text: str | None) -> None:
    assert schedule_with(water=text).water is None


def test_what_is_not_named_is_as_in_distilled_water_and_nothing_is_put_in() -> None:
    assert schedule_with(water="{alkalinity: 0 mg/L}").water == DISTILLED


@pytest.mark.parametrize(
    ("text", "alkalinity_mg_l"),
    [
        pytest.param("{alkalinity: 110 mg/L}", 110.0, id="alkalinity"),
        # Standard Methods 2320: 1.22 mg of bicarbonate to 1 mg of alkalinity as CaCO3.
        pytest.param("{bicarbonate: 134.2 mg/L}", 110.0, id="bicarbonate"),
        pytest.param("{alkalinity: 0.11 g/L}", 110.0, id="grams to the litre"),
    ],
)
def test_alkalinity_is_kept_as_chalk(text: str, alkalinity_mg_l: float) -> None:
    water = schedule_with(water=text).water
    assert water is not None
    assert water.alkalinity_mg_l == pytest.approx(alkalinity_mg_l, rel=1e-3)


@pytest.mark.parametrize(
    ("salt", "written", "grams"),
    [("gypsum", "0.25 oz", 7.087), ("epsom_salt", "500 mg", 0.5)],
)
def test_salts_are_weighed_in_any_unit_of_weight(salt: str, written: str, grams: float) -> None:
    water = schedule_with(water=f"{{alkalinity: 0 mg/L, {salt}: {written}}}").water
    # NIST Handbook 44: an ounce is 28.3495 g.
    assert getattr(water, f"{salt}_g") == pytest.approx(grams, abs=0.001)


CONCENTRATION = "a concentration such as {}"
BAD_WATERS = [
    # what is written, where the fault is, what was found, what is wanted
    (
        "foo",
        "water",
        "foo",
        "unknown or a group of keys such as {calcium: 60 mg/L, alkalinity: 110 mg/L}",
    ),
    ("unknow", "water", "unknow", "alkalinity: 110 mg/L} (did you mean unknown?)"),
    ("Unknown", "water", "Unknown", "(did you mean unknown?)"),
    ("", "water", "nothing", "unknown or a group of keys such as"),
    ("~", "water", "nothing", "unknown or a group of keys such as"),
    ("[gypsum]", "water", "a list", "unknown or a group of keys such as"),
    ("60 mg/L", "water", "60 mg/L", "unknown or a group of keys such as"),
    ("{calcium: 60}", "water.calcium", "60", CONCENTRATION.format("60 mg/L")),
    (
        "{calcium: 3000 ppm}",
        "water.calcium",
        "3000 mg/L",
        "a concentration from 0 mg/L to 2000 mg/L",
    ),
    ("{magnesium: 5}", "water.magnesium", "5", CONCENTRATION.format("5 mg/L")),
    ("{sodium: 12 g}", "water.sodium", "12 g", CONCENTRATION.format("12 mg/L")),
    ("{sulphate: lots}", "water.sulphate", "lots", CONCENTRATION.format("40 mg/L")),
    ("{chloride: 30}", "water.chloride", "30", CONCENTRATION.format("30 mg/L")),
    ("{alkalinity: 110}", "water.alkalinity", "110", CONCENTRATION.format("110 mg/L")),
    ("{bicarbonate: 134}", "water.bicarbonate", "134", CONCENTRATION.format("134 mg/L")),
    (
        "{alkalinity: -1 mg/L}",
        "water.alkalinity",
        "-1 mg/L",
        "a concentration from 0 mg/L to 2000 mg/L",
    ),
    ("{calcium: 3 g/L}", "water.calcium", "3 g/L", "a concentration from 0 g/L to 2 g/L"),
    ("{gypsum: 4}", "water.gypsum", "4", "a weight such as 4 g"),
    ("{gypsum: 4 mg/L}", "water.gypsum", "4 mg/L", "a weight such as 4 g"),
    ("{calcium_chloride: 1 kg}", "water.calcium_chloride", "1 kg", "a weight from 0 kg to 0.1 kg"),
    ("{epsom_salt: -1 g}", "water.epsom_salt", "-1 g", "a weight from 0 g to 100 g"),
    ("{baking_soda: a pinch}", "water.baking_soda", "a pinch", "a weight such as 4 g"),
    ("{lactic_acid: 3}", "water.lactic_acid", "3", "a volume such as 3 mL"),
    ("{lactic_acid: 3 g}", "water.lactic_acid", "3 g", "a volume such as 3 mL"),
    ("{lactic_acid: 1 L}", "water.lactic_acid", "1 L", "a volume from 0 L to 0.1 L"),
    ("{lactic_strength: 88}", "water.lactic_strength", "88", "a strength of the acid such as 88 %"),
    (
        "{lactic_strength: 0 %}",
        "water.lactic_strength",
        "0 %",
        "a strength of the acid from 5 % to 100 %",
    ),
    ("{gypsm: 4 g}", "water.gypsm", "an unknown key", "(did you mean gypsum?)"),
    ("{sulfate: 4 mg/L}", "water.sulfate", "an unknown key", "(did you mean sulphate?)"),
]


@pytest.mark.parametrize(
    ("text", "place", "found", "wanted"), BAD_WATERS, ids=[repr(row[0]) for row in BAD_WATERS]
)
def test_a_water_is_refused(text: str, place: str, found: str, wanted: str) -> None:
    faults = faults_of(schedule_text(water=with_alkalinity(text)))
    assert [(fault.file, fault.line, fault.key) for fault in faults] == [
        (FILE, line_of("water"), place)
    ]
    assert faults[0].found == found
    assert wanted in faults[0].wanted


def with_alkalinity(text: str) -> str:
    """The group with the one key that must be there, so that only its own fault is told."""
    if not text.startswith("{") or "alkalinity" in text or "bicarbonate" in text:
        return text
    return text[:-1] + ", alkalinity: 0 mg/L}"


def test_a_water_without_alkalinity_or_bicarbonate_is_refused() -> None:
    assert faults_of(schedule_text(water="{calcium: 60 mg/L}")) == (
        Fault(
            FILE,
            line_of("water"),
            "water.alkalinity",
            "nothing",
            "the alkalinity as CaCO3 or the bicarbonate, such as alkalinity: 110 mg/L (0 mg/L "
            "where the water is distilled)",
        ),
    )


def test_alkalinity_and_bicarbonate_are_one_thing_twice() -> None:
    text = "{alkalinity: 110 mg/L, bicarbonate: 134 mg/L}"
    assert faults_of(schedule_text(water=text)) == (
        Fault(
            FILE,
            line_of("water"),
            "water.bicarbonate",
            "it beside alkalinity",
            "alkalinity or bicarbonate, not both",
        ),
    )


def test_a_salt_given_twice_is_refused() -> None:
    text = "{alkalinity: 110 mg/L, gypsum: 4 g, gypsum: 5 g}"
    (fault,) = faults_of(schedule_text(water=text))
    assert (fault.key, fault.wanted) == ("water.gypsum", "each key once")


def test_all_that_is_wrong_with_a_water_comes_at_once() -> None:
    faults = faults_of(schedule_text(water="{calcium: 60, gypsum: 4}"))
    assert [fault.key for fault in faults] == ["water.calcium", "water.gypsum", "water.alkalinity"]


def test_a_malt_may_bring_its_own_ph() -> None:
    schedule = schedule_with(grist="[{malt: acid, weight: 1 kg, ph: 5.65}, {malt: b, weight: 1 g}]")
    assert [part.ph for part in schedule.grist] == [5.65, None]


@pytest.mark.parametrize("text", ["58", "2.9", "5.7 g", "sour", ".nan"])
def test_a_malt_of_an_impossible_ph_is_refused(text: str) -> None:
    (fault,) = faults_of(schedule_text(grist=malt(f"weight: 1 kg, ph: {text}")))
    assert (fault.line, fault.key, fault.found) == (line_of("grist"), "grist 1.ph", text)
    assert fault.wanted == "the pH of the malt in distilled water from 3 to 8 such as 5.7"


def test_a_water_comes_back_from_the_record_as_it_was() -> None:
    schedule = schedule_with(water=TAP)
    assert schedule_from(recorded(schedule), "day 1") == schedule


def test_a_schedule_recorded_before_its_water_was_asked_for_still_loads() -> None:
    schedule = schedule_with()
    old = recorded(schedule).replace(',"water":null', "").replace(',"ph":null', "")
    assert '"water":' not in old
    assert schedule_from(old, "day 1") == schedule

"""What is said of the water and the mash it makes, and the acid for a mash that reads high."""

from dataclasses import replace

import pytest

from assistant.advice.mash_water import (
    ACID_CAUTION,
    MashWater,
    acid_for_reading_ml,
    mash_water,
    side_of,
    soda_for_reading_g,
)
from assistant.brewing.errors import OutOfRange
from assistant.brewing.mash_ph import PH_UNCERTAINTY
from assistant.schedule import Schedule
from assistant.schedule.load import load_text

SHORT = """
beer: Plain
volume: 20 L
kettle: {{holds: 40 L, heater: {{power: 2.5 kW}}}}
grist: [{grist}]
mash: [{{at: 67 degC, for: 60 min}}]
boil: {{for: 60 min}}
yeast: {{}}
water: {water}
"""

PALE = "{malt: pale malt, weight: 5 kg, colour: 5 EBC}"
STOUT = f"{PALE}, {{malt: roasted barley, weight: 2 kg, ph: 4.4}}"
STRIKE_L = 27.5

HARD = "{calcium: 60 mg/L, magnesium: 5 mg/L, alkalinity: 110 mg/L}"
SOFT = "{calcium: 60 mg/L, alkalinity: 20 mg/L}"
TREATED = """{calcium: 60 mg/L, magnesium: 5 mg/L, sulphate: 40 mg/L, alkalinity: 110 mg/L,
 gypsum: 4 g, calcium_chloride: 3 g, epsom_salt: 1 g, baking_soda: 0 g, lactic_acid: 6 mL}"""

MEASURE = "Measure a cooled sample first, then add half of it."


def brewed_with(water: str, grist: str = PALE) -> Schedule:
    return load_text(SHORT.format(water=water, grist=grist), "plain.yaml")


def told(water: str, grist: str = PALE) -> MashWater:
    found = mash_water(brewed_with(water, grist), STRIKE_L)
    assert found is not None
    return found


def test_of_a_water_nobody_knows_nothing_is_said() -> None:
    schedule = brewed_with("unknown")
    assert mash_water(schedule, STRIKE_L) is None
    assert acid_for_reading_ml(schedule, STRIKE_L, 5.9) is None


def test_salts_are_in_the_water_that_is_told() -> None:
    ions = told(TREATED).ions
    # Molar masses by hand: 232.8, 272.6 and 98.6 mg of metal in a gram of the salts.
    assert ions.calcium_mg_l == pytest.approx(60 + (4 * 232.8 + 3 * 272.6) / STRIKE_L, abs=0.1)
    assert ions.magnesium_mg_l == pytest.approx(5 + 98.6 / STRIKE_L, abs=0.1)
    assert ions.sulphate_mg_l == pytest.approx(40 + (4 * 557.9 + 389.7) / STRIKE_L, abs=0.1)


def test_residual_alkalinity_is_told_with_the_salts_in() -> None:
    # Kolbach by hand (Palmer's factors): 110 - 60 / 1.4 - 5 / 1.7.
    assert told(HARD).residual_alkalinity_mg_l == pytest.approx(64.2, abs=0.05)
    assert told(TREATED).residual_alkalinity_mg_l < 20.0


def test_the_forecast_of_ph_is_never_one_figure_alone() -> None:
    found = told(HARD)
    assert found.ph_low == pytest.approx(found.ph - PH_UNCERTAINTY)
    assert found.ph_high == pytest.approx(found.ph + PH_UNCERTAINTY)


def test_alkaline_water_in_a_full_volume_pale_mash_wants_acid() -> None:
    found = told(HARD)
    # By hand, malt of 5.775 at 40 meq/kg: at 5.875 it takes 5 x 40 x 0.100 = 20.0 meq, and the
    # water has 27.5 x (2.198 x 0.749 - 0.915) = 20.1 to give.
    assert found.ph == pytest.approx(5.875, abs=0.003)
    # At 5.4 they have (5 x 40 x 0.375 + 27.5 x (2.198 x 0.899 - 0.915)) / 0.972 = 107.2 meq to
    # take up, at 11.76 meq to the mL.
    assert found.lactic_acid_ml == pytest.approx(9.12, abs=0.03)
    assert found.baking_soda_g == 0.0
    assert found.guidance == (
        "Mash pH about 5.9, give or take 0.2: high.",
        "9.1 millilitres of lactic acid would bring it to 5.4.",
        MEASURE,
        ACID_CAUTION,
    )


def test_the_acid_that_is_told_does_what_is_told() -> None:
    schedule = brewed_with(HARD)
    assert schedule.water is not None
    dosed = replace(schedule.water, lactic_acid_ml=told(HARD).lactic_acid_ml)
    found = mash_water(replace(schedule, water=dosed), STRIKE_L)
    assert found is not None
    assert found.ph == pytest.approx(5.4, abs=1e-6)
    assert found.guidance == ("Mash pH about 5.4, give or take 0.2: good.", ACID_CAUTION)


def test_weaker_acid_takes_more_of_it() -> None:
    weaker = HARD.replace("110 mg/L", "110 mg/L, lactic_strength: 80 %")
    # Equivalents to the mL from the CRC Handbook's densities: 11.76 at 88 %, 10.52 at 80 %.
    ratio = told(weaker).lactic_acid_ml / told(HARD).lactic_acid_ml
    assert ratio == pytest.approx(11.76 / 10.52, rel=0.003)


def test_acid_beside_what_the_schedule_has_is_more_acid() -> None:
    some = HARD.replace("110 mg/L", "110 mg/L, lactic_acid: 2 mL")
    assert told(some).guidance[1] == "7.1 millilitres more lactic acid would bring it to 5.4."
    assert told(some).lactic_acid_ml == pytest.approx(told(HARD).lactic_acid_ml - 2.0, abs=1e-6)


def test_acid_that_can_be_tasted_is_said_to_be() -> None:
    very_hard = "{calcium: 110 mg/L, magnesium: 20 mg/L, alkalinity: 320 mg/L}"
    lines = told(very_hard).guidance
    assert lines[1] == "16 millilitres of lactic acid would bring it to 5.4."
    assert "That much acid can be tasted: cut the water with distilled water instead." in lines


def test_a_dark_mash_in_soft_water_wants_baking_soda() -> None:
    found = told(SOFT, STOUT.replace("2 kg", "4 kg"))
    assert found.lactic_acid_ml == 0.0
    # By hand: the grist's own pH is 5.164, so (9 x 40 x 0.236 - 27.5 x (0.400 x 0.899 - 0.857)) /
    # (0.899 x 11.90) = 9.2 g.
    assert found.guidance == (
        "Mash pH about 5.1, give or take 0.2: low.",
        "9.2 grams of baking soda would bring it to 5.4.",
        MEASURE,
    )


def test_acid_in_a_mash_that_will_be_low_is_held_back() -> None:
    sour = SOFT.replace("20 mg/L", "20 mg/L, lactic_acid: 12 mL")
    assert told(sour).guidance == (
        "Mash pH about 5.0, give or take 0.2: low.",
        "Hold back the lactic acid until you have measured a cooled sample.",
        ACID_CAUTION,
    )


def test_a_malt_with_a_ph_of_its_own_is_taken_at_its_word() -> None:
    given = told(SOFT, PALE.replace("5 EBC", "5 EBC, ph: 5.55"))
    assert told(SOFT).ph - given.ph == pytest.approx(0.22, abs=0.04)


def test_a_good_mash_is_only_called_good() -> None:
    assert told("{calcium: 110 mg/L, alkalinity: 15 mg/L}").guidance == (
        "Mash pH about 5.6, give or take 0.2: good.",
    )


@pytest.mark.parametrize(
    ("ion", "line"),
    [
        # Usual ranges from memory, unchecked: far out is half again over them, or under half.
        ("calcium: 20 mg/L", "Calcium 20 milligrams a litre: low, 50 to 150 is usual."),
        ("calcium: 240 mg/L", "Calcium 240 milligrams a litre: high, 50 to 150 is usual."),
        ("magnesium: 60 mg/L", "Magnesium 60 milligrams a litre: high, up to 30 is usual."),
        ("sodium: 180 mg/L", "Sodium 180 milligrams a litre: high, up to 100 is usual."),
        ("sulphate: 600 mg/L", "Sulphate 600 milligrams a litre: high, up to 300 is usual."),
        ("chloride: 250 mg/L", "Chloride 250 milligrams a litre: high, up to 150 is usual."),
    ],
)
def test_an_ion_far_out_is_named(ion: str, line: str) -> None:
    calcium = "" if "calcium" in ion else "calcium: 60 mg/L, "
    assert line in told(f"{{{calcium}alkalinity: 20 mg/L, {ion}}}").guidance


@pytest.mark.parametrize(
    "ion", ["magnesium: 40 mg/L", "sodium: 140 mg/L", "sulphate: 400 mg/L", "chloride: 200 mg/L"]
)
def test_an_ion_only_somewhat_out_is_not(ion: str) -> None:
    lines = told(f"{{calcium: 60 mg/L, alkalinity: 20 mg/L, {ion}}}").guidance
    assert not any("milligrams" in line for line in lines)


@pytest.mark.parametrize("read_ph", [5.0, 5.4, 5.6])
def test_a_mash_that_reads_well_or_low_wants_no_acid(read_ph: float) -> None:
    assert acid_for_reading_ml(brewed_with(HARD), STRIKE_L, read_ph) is None


def test_a_mash_that_reads_high_gets_half_the_acid_first() -> None:
    # By hand: 5 x 40 x 0.4 = 80 meq for the malt and 27.5 x 2.2 x (0.90 - 0.78) = 7.1 for the
    # bicarbonate that is left at 5.8; 87.3 / 0.972 / 11.76 = 7.6 mL, of which half.
    half_ml = acid_for_reading_ml(brewed_with(HARD), STRIKE_L, 5.8)
    assert half_ml == pytest.approx(3.8, abs=0.05)


def test_no_more_acid_is_offered_than_can_be_left_untasted() -> None:
    # 400 mg/L in 27.5 L is 11 g, of an acid with 1.06 g in the mL.
    half_ml = acid_for_reading_ml(brewed_with(HARD), STRIKE_L, 7.5)
    assert half_ml == pytest.approx(10.4, abs=0.1)


def test_a_mash_that_reads_low_gets_half_the_soda_first() -> None:
    # By hand: 5 x 40 x 0.4 = 80 meq for the malt, and what the soda's bicarbonate gives at 5.4.
    half_g = soda_for_reading_g(brewed_with(HARD), STRIKE_L, 5.0)
    assert half_g == pytest.approx(3.9, abs=0.4)
    assert soda_for_reading_g(brewed_with(HARD), STRIKE_L, 5.3) is None


def test_a_ph_is_judged_as_it_is_told() -> None:
    # 5.62 is told as 5.6, which is good.
    assert acid_for_reading_ml(brewed_with(HARD), STRIKE_L, 5.62) is None
    assert side_of(5.62) == 0
    assert (side_of(5.66), side_of(5.14)) == (1, -1)


def test_acid_that_would_turn_the_mash_sour_is_held_back() -> None:
    assert told("{calcium: 60 mg/L, alkalinity: 10 mg/L, lactic_acid: 12 mL}").hold_back_acid
    assert not told(TREATED).hold_back_acid
    assert not told(HARD).hold_back_acid


def test_a_mash_too_small_to_dose_is_left_alone() -> None:
    schedule = brewed_with(SOFT, "{malt: pale malt, weight: 100 g}")
    assert acid_for_reading_ml(schedule, 0.4, 5.7) is None


def test_no_ph_past_the_scale_is_corrected() -> None:
    with pytest.raises(OutOfRange, match=r"^pH of the mash 11 is outside 2 to 10$"):
        acid_for_reading_ml(brewed_with(HARD), STRIKE_L, 11.0)


@pytest.mark.parametrize("grist", [PALE, STOUT, "{malt: pale malt, weight: 1 g}"])
@pytest.mark.parametrize(
    "water",
    [
        HARD,
        SOFT,
        TREATED,
        "{alkalinity: 2000 mg/L, baking_soda: 100 g}",
        "{alkalinity: 0 mg/L, calcium: 2000 mg/L, gypsum: 100 g, lactic_acid: 100 mL}",
    ],
)
def test_every_line_is_short_enough_for_the_ear_and_the_screen(grist: str, water: str) -> None:
    for line in told(water, grist).guidance:
        assert len(line.split()) <= 20
        assert len(line) <= 78

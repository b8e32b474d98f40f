"""The pH of a mash, against what has been printed of malts, waters and acids."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.brewing.errors import OutOfRange
from assistant.brewing.mash_ph import (
    MALT_MEQ_KG_PH,
    MALT_PH,
    PH_UNCERTAINTY,
    acid_to_reach_ph,
    grist_ph,
    malt_ph,
    mash_ph,
    ph_cooled,
    ph_when_hot,
    soda_to_reach_ph,
)
from assistant.brewing.minerals import GRAM_PER_LITRE, Salt, lactic_acid_meq, lactic_dissociated

MG_L_PER_GERMAN_DEGREE = 17.848
"""DIN 38409-6: 10 mg of CaO to the litre, as CaCO3."""

PALE = {"distilled_ph": 5.8, "grain_kg": 5.0}

weights = st.floats(0.1, 20.0)
waters = st.floats(1.0, 100.0)
alkalinities = st.floats(0.0, 400.0)
malts_ph = st.floats(4.6, 6.0)


MALTS = [
    # colour in EBC, lowest and highest printed pH in distilled water, source
    pytest.param(3.5, 5.6, 6.0, "Palmer and Kaminski, Water (2013)", id="pilsner malt, Water"),
    pytest.param(3.5, 5.7, 5.8, "Troester (2009)", id="pilsner malt, Troester"),
    pytest.param(5.0, 5.6, 6.0, "Palmer and Kaminski (2013)", id="pale malt, Water"),
    # Briggs et al., Brewing: Science and Practice (2004), for pale malt: 5.8 to 6.0.
    pytest.param(4.0, 5.8, 6.0, "Briggs et al. (2004)", id="pale malt, Briggs"),
    pytest.param(5.0, 5.7, 5.8, "Palmer, How to Brew", id="pale malt, How to Brew"),
    pytest.param(8.0, 5.55, 5.8, "from memory, unchecked", id="Vienna malt"),
    pytest.param(20.0, 5.4, 5.6, "from memory, unchecked", id="Munich malt"),
    pytest.param(70.0, 4.9, 5.3, "from memory, unchecked", id="light crystal malt"),
    pytest.param(210.0, 4.5, 4.8, "Palmer, How to Brew", id="dark crystal malt"),
    pytest.param(900.0, 4.4, 4.75, "deLange, from memory, unchecked", id="chocolate malt"),
    pytest.param(1300.0, 4.2, 4.7, "Palmer's highest to deLange's", id="black malt"),
]


@pytest.mark.parametrize(("colour_ebc", "lowest", "highest", "source"), MALTS)
def test_a_malt_has_about_the_ph_printed_of_its_kind(
    colour_ebc: float, lowest: float, highest: float, source: str
) -> None:
    assert lowest <= malt_ph(colour_ebc) <= highest, source


@given(st.floats(0.0, 2900.0), st.floats(0.0, 100.0))
def test_darker_malt_is_never_less_sour(colour_ebc: float, darker: float) -> None:
    assert malt_ph(colour_ebc + darker) <= malt_ph(colour_ebc)


@pytest.mark.parametrize("point", MALT_PH, ids=lambda point: f"{point[0]:.0f} EBC")
def test_a_kind_of_malt_has_the_ph_of_the_table(point: tuple[float, float]) -> None:
    assert malt_ph(point[0]) == pytest.approx(point[1])


@pytest.mark.parametrize(
    ("malts", "expected"),
    [
        # By hand: means by weight.
        pytest.param([(5.0, 5.8)], 5.8, id="one malt"),
        pytest.param([(4.0, 5.8), (1.0, 4.8)], 5.6, id="a fifth of crystal malt"),
        pytest.param([(4.0, 5.8), (0.0, 3.4)], 5.8, id="a malt left out"),
    ],
)
def test_a_grist_has_the_mean_ph_of_its_malts(
    malts: list[tuple[float, float]], expected: float
) -> None:
    assert grist_ph(malts) == pytest.approx(expected)


def test_acid_malt_counts_as_the_lactic_acid_in_it() -> None:
    # Maltsters say a tenth of a pH for each hundredth of the grist, and 2 to 4 % of lactic acid in
    # the malt (hobbybrauer-kompendium.de, Sauermalz): 1 % of 5 kg is then 1.5 g of acid.
    as_acid = mash_ph(**PALE, water_l=20.0, alkalinity_mg_l=0.0, acid_ml=1.5 / 1.203 / 0.88)
    assert 5.8 - as_acid == pytest.approx(0.1, abs=0.03)
    # Its own pH of 3.4 (there too) tells a quarter of that.
    assert 5.8 - grist_ph([(4.95, 5.8), (0.05, 3.4)]) == pytest.approx(0.024, abs=0.001)


KOLBACH_MASHES = [
    # Kolbach (1953) by way of Palmer: 0.03 for each German degree of residual alkalinity, here at
    # 4 L/kg. Bicarbonate that is not wholly used up comes out under it, calcium over it.
    *(
        pytest.param(4.0, degrees, 0.0, 0.006, id=f"{degrees} degrees of alkalinity")
        for degrees in (2.0, 5.0, 10.0)
    ),
    *(
        pytest.param(4.0, 0.0, degrees, 0.006, id=f"{degrees} degrees taken off by calcium")
        for degrees in (2.0, 5.0, 10.0)
    ),
    # The range of conventional mashes, thick to thin (common practice, no source).
    pytest.param(3.0, 5.0, 0.0, 0.011, id="alkalinity in a thick mash"),
    pytest.param(4.5, 5.0, 0.0, 0.011, id="alkalinity in a thin mash"),
    pytest.param(3.0, 0.0, 5.0, 0.011, id="calcium in a thick mash"),
    pytest.param(4.5, 0.0, 5.0, 0.011, id="calcium in a thin mash"),
]


@pytest.mark.parametrize(("litres_per_kg", "alkaline", "taken_off", "within"), KOLBACH_MASHES)
def test_a_degree_of_residual_alkalinity_moves_a_conventional_mash_as_kolbach_says(
    litres_per_kg: float, alkaline: float, taken_off: float, within: float
) -> None:
    found = mash_ph(
        distilled_ph=5.75,
        grain_kg=1.0,
        water_l=litres_per_kg,
        alkalinity_mg_l=alkaline * MG_L_PER_GERMAN_DEGREE,
        calcium_mg_l=1.40 * taken_off * MG_L_PER_GERMAN_DEGREE,
    )
    for_each_degree = (found - 5.75) / (alkaline - taken_off)
    assert for_each_degree == pytest.approx(0.03, abs=within)


@pytest.mark.parametrize("litres_per_kg", [4.0, 4.5, 5.0, 5.5, 6.0])
def test_alkalinity_moves_a_thin_mash_about_as_troester_measured(litres_per_kg: float) -> None:
    # K. Troester, "The effect of brewing water and grist composition on the pH of the mash" (2009):
    # 0.013 (1 + L/kg) for a milliequivalent to the litre; from memory, unchecked.
    measured = 0.013 * (1.0 + litres_per_kg) * 2.0
    found = mash_ph(
        distilled_ph=5.7, grain_kg=1.0, water_l=litres_per_kg, alkalinity_mg_l=2.0 * 50.04
    )
    assert found - 5.7 == pytest.approx(measured, rel=0.25)


@pytest.mark.parametrize(
    ("calcium_mg_l", "measured_ph"),
    [
        # D. G. Taylor, as quoted by Briggs et al. (2004), from memory, unchecked; mash at 65 °C,
        # thickness taken as 3 L/kg.
        (0.0, 5.74),
        (100.0, 5.48),
        (200.0, 5.39),
        (300.0, 5.28),
    ],
)
def test_calcium_lowers_a_pale_mash_as_measured_within_the_stated_uncertainty(
    calcium_mg_l: float, measured_ph: float
) -> None:
    found = mash_ph(
        distilled_ph=5.74,
        grain_kg=1.0,
        water_l=3.0,
        alkalinity_mg_l=0.0,
        calcium_mg_l=calcium_mg_l,
    )
    assert found == pytest.approx(measured_ph, abs=PH_UNCERTAINTY)


@pytest.mark.parametrize(
    ("acid_ml", "strength"),
    [
        # German brewing tables: 60 mL of 80 % lactic acid to 100 kg of malt for a tenth of a pH
        # (hobbybrauer-kompendium.de, Biologische Säuerung); 90 g of pure acid is an equivalent.
        pytest.param(60.0, 0.80, id="lactic acid"),
        # 53 mL of 37 % hydrochloric acid (12.06 mol/L, CRC Handbook) in the same table, as meq.
        pytest.param(53.0 * 12.06 / lactic_acid_meq(1.0, 0.80), 0.80, id="hydrochloric acid"),
        # 17 mL of 98 % sulphuric acid (18.36 mol/L, CRC Handbook), two equivalents to the mole.
        pytest.param(17.0 * 36.72 / lactic_acid_meq(1.0, 0.80), 0.80, id="sulphuric acid"),
    ],
)
def test_acid_for_a_tenth_is_not_more_than_the_brewing_table_says(
    acid_ml: float, strength: float
) -> None:
    found_ml = acid_to_reach_ph(
        from_ph=5.6,
        to_ph=5.5,
        grain_kg=100.0,
        water_l=400.0,
        alkalinity_mg_l=0.0,
        strength=strength,
    )
    assert 0.6 * acid_ml < found_ml < acid_ml


@pytest.mark.parametrize(("ph", "meq"), [(5.2, 60.4), (5.4, 61.4), (5.6, 62.0)])
def test_the_table_of_acids_asks_for_stiffer_malt_than_is_taken_here(ph: float, meq: float) -> None:
    # The same 60 mL to 100 kg for a tenth, by hand: 631.5 meq, of which 96 to 98 % are given up.
    of_the_table = lactic_acid_meq(60.0, 0.80) * lactic_dissociated(ph) / 100.0 / 0.1
    assert of_the_table == pytest.approx(meq, abs=0.1)
    assert of_the_table / MALT_MEQ_KG_PH == pytest.approx(1.5, abs=0.06)


def test_a_full_volume_mash_shifts_more_for_the_same_water() -> None:
    # Kunze, "Technology Brewing and Malting", puts first mashes at 3 to 4 L/kg; a bag takes 5 to 6.
    shifts = [
        mash_ph(**PALE, water_l=5.0 * litres_per_kg, alkalinity_mg_l=100.0) - 5.8
        for litres_per_kg in (2.7, 3.5, 5.5)
    ]
    assert 0.08 < shifts[0] < shifts[1] < shifts[2]
    assert shifts[2] > 1.4 * shifts[1]


@given(malts_ph, weights, waters)
def test_distilled_water_leaves_a_grist_its_own_ph(
    distilled_ph: float, grain_kg: float, water_l: float
) -> None:
    found = mash_ph(
        distilled_ph=distilled_ph, grain_kg=grain_kg, water_l=water_l, alkalinity_mg_l=0.0
    )
    assert found == pytest.approx(distilled_ph, abs=1e-12)


@given(malts_ph, weights, waters, alkalinities, st.floats(0.1, 100.0))
def test_alkaline_water_raises_the_mash_and_calcium_and_acid_lower_it(
    distilled_ph: float, grain_kg: float, water_l: float, alkalinity_mg_l: float, more: float
) -> None:
    mash = {"distilled_ph": distilled_ph, "grain_kg": grain_kg, "water_l": water_l}
    before = mash_ph(**mash, alkalinity_mg_l=alkalinity_mg_l)
    assert mash_ph(**mash, alkalinity_mg_l=alkalinity_mg_l + more) > before
    for lowering in ({"calcium_mg_l": more}, {"magnesium_mg_l": more}, {"acid_ml": more}):
        assert mash_ph(**mash, alkalinity_mg_l=alkalinity_mg_l, **lowering) < before


@given(malts_ph, weights, waters, alkalinities, st.floats(0.0, 100.0), st.floats(0.0, 10.0))
def test_charge_is_in_balance(
    distilled_ph: float,
    grain_kg: float,
    water_l: float,
    alkalinity_mg_l: float,
    calcium_mg_l: float,
    acid_ml: float,
) -> None:
    ph = mash_ph(
        distilled_ph=distilled_ph,
        grain_kg=grain_kg,
        water_l=water_l,
        alkalinity_mg_l=alkalinity_mg_l,
        calcium_mg_l=calcium_mg_l,
        acid_ml=acid_ml,
    )
    # By hand: 50.04 mg to the milliequivalent, pK 6.35 and 3.86, and Kolbach's calcium.
    bicarbonate_meq = water_l * alkalinity_mg_l / 50.043 / (1.0 + 10.0 ** (ph - 6.35))
    calcium_meq = water_l * calcium_mg_l / 1.40 / 50.043
    lactic_meq = lactic_acid_meq(acid_ml) / (1.0 + 10.0 ** (3.86 - ph))
    malt_meq = grain_kg * MALT_MEQ_KG_PH * (ph - distilled_ph)
    if 2.0 < ph < 9.999:
        assert malt_meq == pytest.approx(bicarbonate_meq - calcium_meq - lactic_meq, abs=1e-6)


@given(malts_ph, weights, waters, alkalinities, st.floats(0.0, 5.0), st.floats(4.8, 6.2))
def test_the_dose_brings_the_mash_to_the_wanted_ph(
    distilled_ph: float,
    grain_kg: float,
    water_l: float,
    alkalinity_mg_l: float,
    acid_ml: float,
    wanted: float,
) -> None:
    mash = {"grain_kg": grain_kg, "water_l": water_l}
    ph = mash_ph(
        **mash, distilled_ph=distilled_ph, alkalinity_mg_l=alkalinity_mg_l, acid_ml=acid_ml
    )
    way = {"from_ph": ph, "to_ph": wanted, "alkalinity_mg_l": alkalinity_mg_l, "acid_ml": acid_ml}
    dose_ml = acid_to_reach_ph(**mash, **way)
    soda_g = soda_to_reach_ph(**mash, **way)
    assert min(dose_ml, soda_g) == 0.0
    soda_mg_l = soda_g * GRAM_PER_LITRE[Salt.BAKING_SODA].alkalinity_mg_l / water_l
    mended = mash_ph(
        **mash,
        distilled_ph=distilled_ph,
        alkalinity_mg_l=alkalinity_mg_l + soda_mg_l,
        acid_ml=acid_ml + dose_ml,
    )
    assert mended == pytest.approx(wanted, abs=1e-9)


@pytest.mark.parametrize(
    ("temperature_c", "lower_by"),
    [
        # Briggs et al., Brewing: Science and Practice (2004).
        pytest.param(65.0, 0.35, id="in the mash"),
        pytest.param(78.0, 0.45, id="at mash-out"),
        pytest.param(20.0, 0.0, id="the cooled sample"),
    ],
)
def test_a_hot_mash_is_truly_sourer_than_its_cooled_sample(
    temperature_c: float, lower_by: float
) -> None:
    assert ph_when_hot(5.4, temperature_c) == pytest.approx(5.4 - lower_by, abs=0.005)


@given(st.floats(4.0, 7.0), st.floats(0.0, 100.0))
def test_cooling_a_sample_undoes_its_heat(cooled_ph: float, temperature_c: float) -> None:
    assert ph_cooled(ph_when_hot(cooled_ph, temperature_c), temperature_c) == pytest.approx(
        cooled_ph
    )


def test_a_mash_past_all_sense_is_held_to_the_ends_of_the_scale() -> None:
    absurd = {"distilled_ph": 5.8, "grain_kg": 0.01, "water_l": 1000.0, "alkalinity_mg_l": 0.0}
    assert mash_ph(**absurd, calcium_mg_l=1000.0) == pytest.approx(2.0)
    assert mash_ph(**{**absurd, "alkalinity_mg_l": 1e5}) < 10.0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: malt_ph(-1.0), r"^malt colour -1 EBC is outside 0 to 3000 EBC$"),
        (lambda: grist_ph([]), r"^grist 0 kg is outside 0.001 to 500 kg$"),
        (lambda: grist_ph([(-1.0, 5.8)]), r"^malt weight -1 kg is outside 0 to 500 kg$"),
        (lambda: grist_ph([(4.0, 58.0)]), r"^malt pH 58 is outside 2 to 10$"),
        (
            lambda: mash_ph(distilled_ph=0.0, grain_kg=5.0, water_l=20.0, alkalinity_mg_l=0.0),
            r"^pH of the grist 0 is outside 2 to 10$",
        ),
        (
            lambda: mash_ph(distilled_ph=5.8, grain_kg=0.0, water_l=20.0, alkalinity_mg_l=0.0),
            r"^grain weight 0 kg is outside 0.001 to 500 kg$",
        ),
        (
            lambda: mash_ph(**PALE, water_l=-1.0, alkalinity_mg_l=0.0),
            r"^mash water -1 L is outside 0 to 1000 L$",
        ),
        (
            lambda: mash_ph(**PALE, water_l=20.0, alkalinity_mg_l=-1.0),
            r"^alkalinity -1 mg/L is outside 0 to 100,000 mg/L$",
        ),
        (
            lambda: acid_to_reach_ph(
                from_ph=11.0, to_ph=5.4, grain_kg=5.0, water_l=20.0, alkalinity_mg_l=0.0
            ),
            r"^pH of the mash 11 is outside 2 to 10$",
        ),
        (
            lambda: soda_to_reach_ph(
                from_ph=5.0, to_ph=1.0, grain_kg=5.0, water_l=20.0, alkalinity_mg_l=0.0
            ),
            r"^wanted pH 1 is outside 2 to 10$",
        ),
        (
            lambda: ph_when_hot(5.4, 120.0),
            r"^mash temperature 120 °C is outside 0 to 105 °C$",
        ),
        (lambda: ph_cooled(1.0, 20.0), r"^pH of the sample 1 is outside 2 to 10$"),
    ],
)
def test_an_impossible_mash_ph_is_refused(call, message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()

"""Every key of a schedule and of a kettle, and a value it takes."""

from operator import attrgetter
from typing import Any

import pytest
from schedule_texts import hops, kettle, malt, schedule_with

from assistant.schedule import (
    AdditionKind,
    ChillMethod,
    HeaterKind,
    HopForm,
    Moment,
    PrimingSugar,
    Units,
    Vessel,
    YeastForm,
)

GOOD_VALUES = [
    ("beer", "Amber", "beer", "Amber"),
    ("beer", "'1984'", "beer", "1984"),
    ("beer", "'  Amber  '", "beer", "Amber"),
    ("beer", "Bière d'été №7 🍺", "beer", "Bière d'été №7 🍺"),
    ("beer", "x" * 80, "beer", "x" * 80),
    ("volume", "20 L", "volume_l", 20),
    ("volume", "'20 L'", "volume_l", 20),
    ("volume", "5 gal", "volume_l", 18.92705892),
    ("volume", "100 L", "volume_l", 100),
    ("volume", "1000 mL", "volume_l", 1),
    ("units", "us", "units", Units.US),
    ("kettle", kettle("kettle: old pot"), "kettle.name", "old pot"),
    ("kettle", "{holds: 8 gal, heater: {power: 1 kW}}", "kettle.holds_l", 30.283294),
    ("kettle", kettle("heat_capacity: 2 kJ/degF"), "kettle.heat_capacity_j_k", 3600),
    ("kettle", kettle("heat_loss: 5 W/K"), "kettle.heat_loss_w_k", 5),
    ("kettle", kettle("boil_off: 1 gal/h"), "kettle.boil_off_l_h", 3.785411784),
    ("kettle", kettle("left_behind: 0 L"), "kettle.left_behind_l", 0),
    ("kettle", kettle("absorption: 0.35 qt/lb"), "kettle.absorption_l_kg", 0.7302239),
    ("kettle", kettle("extract_efficiency: 80 %"), "kettle.extract_efficiency", 0.8),
    ("kettle", kettle("room: 68 degF"), "kettle.room_c", 20),
    ("kettle", kettle("tap_water: 8 degC"), "kettle.tap_water_c", 8),
    ("kettle", kettle("altitude: 5280 ft"), "kettle.altitude_m", 1609.344),
    ("kettle", kettle("altitude: -400 m"), "kettle.altitude_m", -400),
    ("kettle", kettle("hydrometer: 59 degF"), "kettle.hydrometer_c", 15),
    ("kettle", kettle("refractometer: 1.02"), "kettle.wort_correction", 1.02),
    ("kettle", "{holds: 9 L, heater: {power: 10000 Btu/h}}", "kettle.heater.power_w", 2930.711),
    (
        "kettle",
        "{holds: 9 L, heater: {power: 3 kW, kind: gas, efficiency: 45 percent}}",
        "kettle.heater.efficiency",
        0.45,
    ),
    (
        "kettle",
        "{holds: 9 L, heater: {power: 3 kW, kind: induction}}",
        "kettle.heater.kind",
        HeaterKind.INDUCTION,
    ),
    ("grist", malt("weight: 10 lb"), "grist.0.weight_kg", 4.5359237),
    ("grist", malt("weight: 4 kg, extract: 82.5 %"), "grist.0.extract", 0.825),
    ("grist", malt("weight: 4 kg, extract: 0 %"), "grist.0.extract", 0),
    ("grist", malt("weight: 4 kg, colour: 3 degL"), "grist.0.colour_ebc", 6.75),
    ("grist", malt("weight: 4 kg, colour: 1400 EBC"), "grist.0.colour_ebc", 1400),
    ("mash", "[{rest: single, at: 66 degC, for: 1 h}]", "mash.0.name", "single"),
    ("mash", "[{at: 150.8 degF, for: 60 min}]", "mash.0.temperature_c", 66),
    ("mash", "[{at: 176 degF, for: 60 min}]", "mash.0.temperature_c", 80),
    ("mash", "[{at: 66 degC, for: 1.5 h}]", "mash.0.minutes", 90),
    ("boil", "{for: 1 h}", "boil_minutes", 60),
    ("boil", "{for: 180 min}", "boil_minutes", 180),
    ("additions", "[]", "additions", ()),
    ("additions", hops("alpha: 7.2 %, at: 60 min"), "additions.0.alpha", 0.072),
    ("additions", hops("alpha: 7.2 %, at: 70 min"), "additions.0.minutes_before_end", 70),
    ("additions", hops("alpha: 7.2 %, at: 1 h"), "additions.0.minutes_before_end", 60),
    ("additions", hops("alpha: 7.2 %, at: 0 min"), "additions.0.minutes_before_end", 0),
    ("additions", hops("alpha: 7 %, at: 5 min"), "additions.0.moment", Moment.BEFORE_END),
    ("additions", hops("alpha: 7 %, at: boil start"), "additions.0.moment", Moment.BOIL_START),
    ("additions", hops("alpha: 7 %, at: first wort"), "additions.0.moment", Moment.FIRST_WORT),
    ("additions", hops("alpha: 7 %, at: flameout"), "additions.0.moment", Moment.FLAMEOUT),
    ("additions", hops("alpha: 7 %, at: whirlpool"), "additions.0.moment", Moment.WHIRLPOOL),
    ("additions", hops("at: day 4"), "additions.0.day", 4),
    ("additions", hops("at: day 0"), "additions.0.moment", Moment.DAY),
    ("additions", hops("alpha: 7 %, form: whole, at: 9 min"), "additions.0.form", HopForm.WHOLE),
    ("additions", "[{add: x, weight: 1 oz, kind: salt, at: 9 min}]", "additions.0.weight_g", 28.35),
    (
        "additions",
        "[{add: honey, kind: sugar, extract: 80 %, weight: 1 lb, at: day 3}]",
        "additions.0.extract",
        0.8,
    ),
    *(
        (
            "additions",
            f"[{{add: x, kind: {kind.value}, weight: 1 g, at: day 1}}]",
            "additions.0.kind",
            kind,
        )
        for kind in AdditionKind
    ),
    ("whirlpool", "{at: 170 degF}", "whirlpool.temperature_c", 76.666667),
    ("whirlpool", "{steep: 0 min}", "whirlpool.steep_minutes", 0),
    ("whirlpool", "{settle: 900 s}", "whirlpool.settle_minutes", 15),
    ("chill", "{to: 68 degF}", "chill.to_c", 20),
    ("chill", "{method: ice bath}", "chill.method", ChillMethod.ICE_BATH),
    ("chill", "{method: top-up, top_up: 1 gal}", "chill.top_up_l", 3.785411784),
    ("yeast", "{name: house yeast}", "yeast.name", "house yeast"),
    ("yeast", "{form: slurry}", "yeast.form", YeastForm.SLURRY),
    ("yeast", "{attenuation: 81 %}", "yeast.attenuation", 0.81),
    ("yeast", "{rate: 1.5}", "yeast.rate_million_ml_p", 1.5),
    ("yeast", "{rate: '1'}", "yeast.rate_million_ml_p", 1),
    ("ferment", "{at: 64.4 degF to 20 degC}", "ferment.low_c", 18),
    ("ferment", "{at: 18 degC to 20 degC}", "ferment.high_c", 20),
    ("ferment", "{at: 12 degC}", "ferment.low_c", 12),
    ("ferment", "{for: 2 weeks}", "ferment.days", 14),
    ("package", "{into: keg}", "package.into", Vessel.KEG),
    ("package", "{carbonation: 1.9 vol}", "package.carbonation_vol", 1.9),
    *(("package", f"{{sugar: {sugar.value}}}", "package.sugar", sugar) for sugar in PrimingSugar),
]


@pytest.mark.parametrize(("key", "text", "field", "expected"), GOOD_VALUES)
def test_a_key_takes(key: str, text: str, field: str, expected: Any) -> None:
    value: Any = schedule_with(**{key: text})
    for step in field.split("."):
        value = value[int(step)] if step.isdigit() else attrgetter(step)(value)
    number = isinstance(expected, int | float)
    assert value == (pytest.approx(expected, rel=1e-4) if number else expected)

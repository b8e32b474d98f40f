"""What is said of a value that its key does not take, and of keys unknown, missing or twice."""

import pytest
from schedule_texts import FILE, faults_of, hops, kettle, line_of, malt, schedule_text

from assistant.schedule import Fault

NAME = "{} in 1 to 80 characters"
BOTH_MOMENTS = (
    "a time before the end of the boil such as 60 min, boil start, first wort, flameout, "
    "whirlpool or day 4"
)

BAD_VALUES = [
    # Names
    ("beer", "1984", "beer", "a number, 1984", NAME.format("the beer's name") + ", in quotes"),
    ("beer", "1.5", "beer", "a number, 1.5", "in quotes if it is no word"),
    ("beer", "no", "beer", "yes or no, no", "in quotes if it is no word"),
    ("beer", "true", "beer", "yes or no, true", "in quotes if it is no word"),
    ("beer", "~", "beer", "nothing", NAME.format("the beer's name")),
    ("beer", "", "beer", "nothing", NAME.format("the beer's name")),
    ("beer", "''", "beer", "nothing", NAME.format("the beer's name")),
    ("beer", "'   '", "beer", "nothing", NAME.format("the beer's name")),
    ("beer", "2024-01-01", "beer", "a date, 2024-01-01", "in quotes if it is no word"),
    ("beer", "x" * 81, "beer", "x" * 81, NAME.format("the beer's name")),
    ("beer", "[a]", "beer", "a list", NAME.format("the beer's name")),
    ("beer", "{a: b}", "beer", "a group of keys", NAME.format("the beer's name")),
    ("beer", r'"a\e[31mb"', "beer", "a\x1b[31mb", "all of them printable"),
    ("beer", r'"a\nb"', "beer", "a\nb", "all of them printable"),
    ("beer", r'"\u202EelA"', "beer", "\u202eelA", "all of them printable"),
    ("beer", r'"a\uD800"', "beer", "a\ud800", "all of them printable"),
    ("kettle", kettle("kettle: 35"), "kettle.kettle", "a number, 35", "the kettle's name in 1"),
    (
        "grist",
        "[{malt: no, weight: 4 kg}]",
        "grist 1.malt",
        "yes or no, no",
        "the malt's name in 1",
    ),
    (
        "mash",
        "[{rest: 1, at: 66 degC, for: 60 min}]",
        "mash 1.rest",
        "a number, 1",
        "the rest's name in 1",
    ),
    (
        "additions",
        "[{add: ~, weight: 9 g, at: day 2}]",
        "additions 1.add",
        "nothing",
        "the addition's name in 1",
    ),
    ("yeast", "{name: 5}", "yeast.name", "a number, 5", "the yeast's name in 1"),
    # Quantities: no unit, the wrong unit, an impossible figure
    ("volume", "20", "volume", "20", "a volume such as 19 L"),
    ("volume", "19 kg", "volume", "19 kg", "a volume such as 19 L"),
    ("volume", "19 litrs", "volume", "19 litrs", "a volume such as 19 L"),
    ("volume", "twenty", "volume", "twenty", "a volume such as 19 L"),
    ("volume", ".nan", "volume", ".nan", "a volume such as 19 L"),
    ("volume", ".inf", "volume", ".inf", "a volume such as 19 L"),
    ("volume", "9**9**9 L", "volume", "9**9**9 L", "a volume such as 19 L"),
    ("volume", "19 L * 2", "volume", "19 L * 2", "a volume such as 19 L"),
    ("volume", "9" * 40 + " L", "volume", "9" * 40 + " L", "a volume such as 19 L"),
    ("volume", "[20 L]", "volume", "a list", "a volume such as 19 L"),
    ("volume", "0 L", "volume", "0 L", "a volume from 1 L to 100 L"),
    ("volume", "-20 L", "volume", "-20 L", "a volume from 1 L to 100 L"),
    ("volume", "50 gal", "volume", "50 gal", "a volume from 0.2642 gal to 26.42 gal"),
    ("kettle", "{holds: 1 L, heater: {power: 1 kW}}", "kettle.holds", "1 L", "from 2 L to 300 L"),
    ("kettle", "{holds: 30 L, heater: {power: 3}}", "kettle.heater.power", "3", "such as 2.5 kW"),
    (
        "kettle",
        "{holds: 30 L, heater: {power: 3 kWh}}",
        "kettle.heater.power",
        "3 kWh",
        "a power such as 2.5 kW",
    ),
    (
        "kettle",
        "{holds: 30 L, heater: {power: 90 kW}}",
        "kettle.heater.power",
        "90 kW",
        "a power from 0.1 kW to 50 kW",
    ),
    (
        "kettle",
        "{holds: 30 L, heater: {power: 3 kW, efficiency: 101 %}}",
        "kettle.heater.efficiency",
        "101 %",
        "a share from 5 % to 100 %",
    ),
    ("kettle", kettle("heat_capacity: 4 kJ"), "kettle.heat_capacity", "4 kJ", "such as 4.0 kJ/K"),
    (
        "kettle",
        kettle("heat_capacity: 0 J/K"),
        "kettle.heat_capacity",
        "0 J/K",
        "a heat capacity from 50 J/K to 100000 J/K",
    ),
    ("kettle", kettle("heat_loss: 4 W"), "kettle.heat_loss", "4 W", "a heat loss such as 4 W/K"),
    ("kettle", kettle("heat_loss: 0 W/K"), "kettle.heat_loss", "0 W/K", "from 0.1 W/K to 100 W/K"),
    ("kettle", kettle("boil_off: 3 L"), "kettle.boil_off", "3 L", "a boil-off such as 3 L/h"),
    ("kettle", kettle("boil_off: -3 L/h"), "kettle.boil_off", "-3 L/h", "from 0.1 L/h to 30 L/h"),
    ("kettle", kettle("left_behind: 1 kg"), "kettle.left_behind", "1 kg", "a volume such as 1 L"),
    ("kettle", kettle("left_behind: 21 L"), "kettle.left_behind", "21 L", "from 0 L to 20 L"),
    ("kettle", kettle("absorption: 1 L"), "kettle.absorption", "1 L", "such as 0.6 L/kg"),
    ("kettle", kettle("absorption: 3 L/kg"), "kettle.absorption", "3 L/kg", "0 L/kg to 2 L/kg"),
    (
        "kettle",
        kettle("extract_efficiency: 0.75"),
        "kettle.extract_efficiency",
        "0.75",
        "a share of the extract such as 72 %",
    ),
    (
        "kettle",
        kettle("extract_efficiency: 120 %"),
        "kettle.extract_efficiency",
        "120 %",
        "a share of the extract from 20 % to 100 %",
    ),
    ("kettle", kettle("room: 20 C"), "kettle.room", "20 C", "a temperature such as 20 degC"),
    ("kettle", kettle("room: 200 degF"), "kettle.room", "200 degF", "from 14 degF to 122 degF"),
    ("kettle", kettle("tap_water: -3 degC"), "kettle.tap_water", "-3 degC", "0 degC to 50 degC"),
    ("kettle", kettle("altitude: 40"), "kettle.altitude", "40", "a height such as 40 m"),
    (
        "kettle",
        kettle("hydrometer: 20"),
        "kettle.hydrometer",
        "20",
        "a temperature such as 20 degC",
    ),
    (
        "kettle",
        kettle("refractometer: 1.5"),
        "kettle.refractometer",
        "1.5",
        "Brix shown for a degree Plato from 0.9 to 1.2 such as 1.04",
    ),
    ("kettle", kettle("altitude: 9 km"), "kettle.altitude", "9 km", "from -0.5 km to 5 km"),
    ("grist", malt("weight: 4 L"), "grist 1.weight", "4 L", "a weight such as 4 kg"),
    ("grist", malt("weight: -3 kg"), "grist 1.weight", "-3 kg", "a weight from 0.001 kg to 50 kg"),
    ("grist", malt("weight: 0 g"), "grist 1.weight", "0 g", "a weight from 1 g to 50000 g"),
    ("grist", malt("weight: 1 kg, extract: 80"), "grist 1.extract", "80", "such as 80 %"),
    (
        "grist",
        malt("weight: 1 kg, extract: 80 degrees"),
        "grist 1.extract",
        "80 degrees",
        "an extract such as 80 %",
    ),
    (
        "grist",
        malt("weight: 1 kg, extract: 106 %"),
        "grist 1.extract",
        "106 %",
        "from 0 % to 105 %",
    ),
    (
        "grist",
        malt("weight: 1 kg, colour: 6 SRM"),
        "grist 1.colour",
        "6 SRM",
        "a malt colour such as 6 EBC or 3 degL",
    ),
    (
        "grist",
        malt("weight: 1 kg, colour: 9999 EBC"),
        "grist 1.colour",
        "9999 EBC",
        "0 EBC to 2500",
    ),
    ("mash", "[{at: 300 degC, for: 60 min}]", "mash 1.at", "300 degC", "from 30 degC to 80 degC"),
    ("mash", "[{at: 66 degF, for: 60 min}]", "mash 1.at", "66 degF", "from 86 degF to 176 degF"),
    ("mash", "[{at: 66 delta_degC, for: 9 min}]", "mash 1.at", "66 delta_degC", "such as 66 degC"),
    ("mash", "[{at: 66 degC, for: 60 m}]", "mash 1.for", "60 m", "a time such as 60 min"),
    ("mash", "[{at: 66 degC, for: 0 min}]", "mash 1.for", "0 min", "a time from 1 min to 720 min"),
    ("boil", "{for: 60}", "boil.for", "60", "a time such as 60 min"),
    ("boil", "{for: 4 h}", "boil.for", "4 h", "a time from 0.01667 h to 3 h"),
    ("boil", "60 min", "boil", "60 min", "a group of keys such as {for: 60 min}"),
    (
        "additions",
        "[{add: x, weight: 25, alpha: 7 %, at: 60 min}]",
        "additions 1.weight",
        "25",
        "a weight such as 25 g",
    ),
    (
        "additions",
        "[{add: x, weight: 0 g, alpha: 7 %, at: 60 min}]",
        "additions 1.weight",
        "0 g",
        "a weight from 0.01 g to 10000 g",
    ),
    (
        "additions",
        hops("alpha: 72 %, at: 60 min"),
        "additions 1.alpha",
        "72 %",
        "an alpha-acid share from 0 % to 30 %",
    ),
    ("additions", hops("alpha: 7.2, at: 60 min"), "additions 1.alpha", "7.2", "such as 7.2 %"),
    ("additions", hops("alpha: 7 %, at: 60"), "additions 1.at", "60", BOTH_MOMENTS),
    ("additions", hops("alpha: 7 %, at: Flameout"), "additions 1.at", "Flameout", BOTH_MOMENTS),
    (
        "additions",
        hops("alpha: 7 %, at: wirlpool"),
        "additions 1.at",
        "wirlpool",
        "(did you mean whirlpool?)",
    ),
    ("additions", hops("alpha: 7 %, at: [60 min]"), "additions 1.at", "a list", BOTH_MOMENTS),
    ("additions", hops("alpha: 7 %, at: day -1"), "additions 1.at", "day -1", BOTH_MOMENTS),
    ("additions", hops("alpha: 7 %, at: day 4.5"), "additions 1.at", "day 4.5", BOTH_MOMENTS),
    (
        "additions",
        hops("alpha: 7 %, at: -5 min"),
        "additions 1.at",
        "-5 min",
        "a time before the end from 0 min to 180 min",
    ),
    ("whirlpool", "{at: 20 degC}", "whirlpool.at", "20 degC", "from 50 degC to 100 degC"),
    ("whirlpool", "{steep: 20}", "whirlpool.steep", "20", "a time such as 20 min"),
    ("whirlpool", "{settle: 3 h}", "whirlpool.settle", "3 h", "a time from 0 h to 2 h"),
    ("chill", "{to: 60 degC}", "chill.to", "60 degC", "from 0 degC to 45 degC"),
    ("chill", "{top_up: -1 L}", "chill.top_up", "-1 L", "a volume from 0 L to 50 L"),
    ("yeast", "{attenuation: 400 %}", "yeast.attenuation", "400 %", "from 40 % to 100 %"),
    ("yeast", "{rate: 0}", "yeast.rate", "0", "million cells per mL and degP from 0.1 to 5"),
    ("yeast", "{rate: 0.75 g}", "yeast.rate", "0.75 g", "from 0.1 to 5 such as 0.75"),
    ("yeast", "{rate: .inf}", "yeast.rate", ".inf", "from 0.1 to 5 such as 0.75"),
    ("ferment", "{at: 18 to 20 degC}", "ferment.at", "18 to 20 degC", "such as 18 degC to 20 degC"),
    ("ferment", "{at: 20 degC to 18 degC}", "ferment.at", "20 degC to 18 degC", "lower end first"),
    ("ferment", "{at: 18 degC to 68 degC}", "ferment.at", "68 degC", "from 0 degC to 45 degC"),
    ("ferment", "{for: 14}", "ferment.for", "14", "a time such as 14 days"),
    ("ferment", "{for: 0 days}", "ferment.for", "0 days", "a time from 1 days to 365 days"),
    ("package", "{carbonation: 2.3}", "package.carbonation", "2.3", "such as 2.4 vol"),
    ("package", "{carbonation: 2.3 L}", "package.carbonation", "2.3 L", "such as 2.4 vol"),
    ("package", "{carbonation: 9 vol}", "package.carbonation", "9 vol", "from 0.5 vol to 5 vol"),
    # Choices
    ("units", "imperial", "units", "imperial", "one of metric, us"),
    ("units", "METRIC", "units", "METRIC", "one of metric, us (did you mean metric?)"),
    (
        "kettle",
        "{holds: 30 L, heater: {power: 3 kW, kind: steam}}",
        "kettle.heater.kind",
        "steam",
        "one of electric, induction, gas",
    ),
    (
        "additions",
        hops("kind: hop, alpha: 7 %, at: 60 min"),
        "additions 1.kind",
        "hop",
        "one of hops, finings, sugar, malt extract, nutrient, salt, spice, other "
        "(did you mean hops?)",
    ),
    (
        "additions",
        hops("form: pellets, alpha: 7 %, at: 60 min"),
        "additions 1.form",
        "pellets",
        "one of pellet, whole (did you mean pellet?)",
    ),
    ("chill", "{method: ice}", "chill.method", "ice", "one of coil, ice bath, top-up"),
    ("yeast", "{form: no}", "yeast.form", "no", "one of dry, liquid, slurry"),
    ("package", "{into: barrels}", "package.into", "barrels", "one of bottles, keg"),
    (
        "package",
        "{sugar: glucose mono}",
        "package.sugar",
        "glucose mono",
        "one of sucrose, glucose, glucose monohydrate",
    ),
    # Lists and groups
    ("grist", "[]", "grist", "0 of them", "a list of 1 to 30 malts"),
    ("grist", "pale malt", "grist", "pale malt", "a list of 1 to 30 malts"),
    (
        "grist",
        "[pale malt]",
        "grist 1",
        "pale malt",
        "a group of keys such as {malt: pale ale malt",
    ),
    ("mash", "[]", "mash", "0 of them", "a list of 1 to 10 rests"),
    ("mash", "{at: 66 degC, for: 60 min}", "mash", "a group of keys", "a list of 1 to 10 rests"),
    ("additions", "", "additions", "nothing", "a list of up to 60 additions"),
    ("additions", "[" + "x, " * 61 + "]", "additions", "61 of them", "up to 60 additions"),
    ("package", "", "package", "nothing", "a group of keys such as {into: bottles"),
    ("chill", "[coil]", "chill", "a list", "a group of keys such as {to: 19 degC"),
    ("kettle", "", "kettle", "nothing", "a path relative to this file"),
    ("kettle", "[a, b]", "kettle", "a list", "a group of keys such as {holds: 30 L"),
]


@pytest.mark.parametrize(
    ("key", "text", "place", "found", "wanted"),
    BAD_VALUES,
    ids=[f"{row[2]}-{row[1][:40]!r}" for row in BAD_VALUES],
)
def test_a_key_refuses(key: str, text: str, place: str, found: str, wanted: str) -> None:
    (fault,) = faults_of(schedule_text(**{key: text}))
    assert (fault.file, fault.line, fault.key) == (FILE, line_of(key), place)
    assert fault.found == found
    assert wanted in fault.wanted


@pytest.mark.parametrize(
    ("key", "text", "place", "near"),
    [
        ("colour", "6 EBC", "colour", None),
        ("addition", "[]", "addition", "additions"),
        ("Package", "{into: keg}", "Package", "package"),
        ("kettle", kettle("efficency: 72 %"), "kettle.efficency", "extract_efficiency"),
        ("grist", malt("weight: 4 kg, color: 6 EBC"), "grist 1.color", "colour"),
        ("mash", "[{at: 66 degC, for: 60 min, temp: 5}]", "mash 1.temp", None),
        ("boil", "{for: 60 min, fro: 5}", "boil.fro", "for"),
        ("additions", hops("alpha: 7 %, at: 60 min, wieght: 5 g"), "additions 1.wieght", "weight"),
        ("whirlpool", "{step: 5 min}", "whirlpool.step", "steep"),
        ("chill", "{topup: 5 L}", "chill.topup", "top_up"),
        ("yeast", "{atenuation: 75 %}", "yeast.atenuation", "attenuation"),
        ("ferment", "{days: 5}", "ferment.days", None),
        ("package", "{carbonaton: 2 vol}", "package.carbonaton", "carbonation"),
    ],
)
def test_an_unknown_key_is_named_with_the_nearest(
    key: str, text: str, place: str, near: str | None
) -> None:
    (fault,) = faults_of(schedule_text(**{key: text}))
    assert (fault.line, fault.key, fault.found) == (line_of(key), place, "an unknown key")
    assert fault.wanted.startswith("one of ")
    assert fault.wanted.endswith(f"(did you mean {near}?)") or near is None
    assert ("did you mean" in fault.wanted) == (near is not None)


@pytest.mark.parametrize("key", ["beer", "volume", "kettle", "grist", "mash", "boil", "yeast"])
def test_what_must_be_there_is_missed(key: str) -> None:
    (fault,) = faults_of(schedule_text(**{key: None}))
    assert (fault.line, fault.key, fault.found) == (1, key, "nothing")


@pytest.mark.parametrize(
    ("key", "text", "place", "wanted"),
    [
        ("kettle", "{heater: {power: 2 kW}}", "kettle.holds", "a volume such as 30 L"),
        ("kettle", "{holds: 30 L}", "kettle.heater", "a group of keys such as {kind: electric"),
        ("kettle", "{holds: 30 L, heater: {}}", "kettle.heater.power", "a power such as 2.5 kW"),
        ("grist", "[{weight: 4 kg}]", "grist 1.malt", "the malt's name"),
        ("grist", "[{malt: pale malt}]", "grist 1.weight", "a weight such as 4 kg"),
        ("mash", "[{for: 60 min}]", "mash 1.at", "a temperature such as 66 degC"),
        ("mash", "[{at: 66 degC}]", "mash 1.for", "a time such as 60 min"),
        ("boil", "{}", "boil.for", "a time such as 60 min"),
        ("additions", "[{weight: 9 g, at: day 1}]", "additions 1.add", "the addition's name"),
        ("additions", "[{add: x, at: day 1}]", "additions 1.weight", "a weight such as 25 g"),
        ("additions", "[{add: x, weight: 9 g, alpha: 7 %}]", "additions 1.at", BOTH_MOMENTS),
    ],
)
def test_what_a_group_must_have_is_missed(key: str, text: str, place: str, wanted: str) -> None:
    (fault,) = faults_of(schedule_text(**{key: text}))
    assert (fault.line, fault.key, fault.found) == (line_of(key), place, "nothing")
    assert fault.wanted.startswith(wanted)


@pytest.mark.parametrize(
    ("key", "text", "place", "first"),
    [
        ("boil", "{for: 60 min, for: 70 min}", "boil.for", 6),
        ("grist", malt("weight: 1 kg, weight: 2 kg"), "grist 1.weight", 4),
        ("chill", "{}\nboil: {for: 60 min}", "boil", 6),
    ],
)
def test_a_key_given_twice_is_refused(key: str, text: str, place: str, first: int) -> None:
    (fault,) = faults_of(schedule_text(**{key: text}))
    line = line_of(key) + text.count("\n")
    assert fault == Fault(FILE, line, place, f"it again, first on line {first}", "each key once")

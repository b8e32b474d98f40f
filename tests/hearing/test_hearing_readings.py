"""Readings by any of their names, in any of their units, and numbers that answer an ask."""

import pytest
from listening_contexts import BOIL, US_BOIL, asking
from test_hearing_numbers import GRAVITIES, digit_by_digit, in_pairs, with_its_point

from assistant.day.events import CommandGiven, NumberSaid, ReadingTaken, Source
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.hearing.vocabulary import EXAMPLES, SUBJECTS, UNIT_NAMES, UNIT_WORDS, example
from assistant.hearing.words import NotUnderstood, understand
from assistant.schedule.model import Units

WATER, MASH, KETTLE = (
    Quantity.WATER_TEMPERATURE,
    Quantity.MASH_TEMPERATURE,
    Quantity.KETTLE_TEMPERATURE,
)
ROOM, TOP_UP, FERMENTER = (
    Quantity.ROOM_TEMPERATURE,
    Quantity.TOP_UP_TEMPERATURE,
    Quantity.FERMENTER_TEMPERATURE,
)
KETTLE_VOLUME, FERMENTER_VOLUME = Quantity.KETTLE_VOLUME, Quantity.FERMENTER_VOLUME
GRAVITY, BRIX, PH, BOILING = Quantity.GRAVITY, Quantity.BRIX, Quantity.MASH_PH, Quantity.BOILING


def read(
    quantity: Quantity, value: float, unit: str, sample_c: float | None = None
) -> ReadingTaken:
    return ReadingTaken(
        at=7.0,
        quantity=quantity,
        value=value,
        unit=unit,
        sample_c=sample_c,
        source=Source.WORDS,
    )


@pytest.mark.parametrize(
    ("said", "reading"),
    [
        ("mash temperature 66.5", read(MASH, 66.5, "degC")),
        ("Mash temperature: 66.5.", read(MASH, 66.5, "degC")),
        ("mash temp sixty six point five", read(MASH, 66.5, "degC")),
        ("mash sixty-six and a half degrees", read(MASH, 66.5, "degC")),
        ("the mash is at sixty six", read(MASH, 66, "degC")),
        ("the mash temperature is 66\N{DEGREE SIGN}C", read(MASH, 66, "degC")),
        ("mash 66 degC", read(MASH, 66, "degC")),
        ("mash one fifty two fahrenheit", read(MASH, 152, "degF")),
        ("mash a hundred and fifty two degrees fahrenheit", read(MASH, 152, "degF")),
        ("water 71", read(WATER, 71, "degC")),
        ("strike water is at 71 celsius", read(WATER, 71, "degC")),
        ("kettle temperature ninety eight point two", read(KETTLE, 98.2, "degC")),
        ("wort 80 c", read(KETTLE, 80, "degC")),
        ("kettle 98", read(KETTLE, 98, "degC")),
        ("room minus two", read(ROOM, -2, "degC")),
        ("room temperature -2", read(ROOM, -2, "degC")),
        ("top-up water 4 degrees", read(TOP_UP, 4, "degC")),
        ("top up temperature four", read(TOP_UP, 4, "degC")),
        ("fermenter 19", read(FERMENTER, 19, "degC")),
        ("fermenter 19 degrees", read(FERMENTER, 19, "degC")),
        ("fermenter nineteen litres", read(FERMENTER_VOLUME, 19, "L")),
        ("fermenter volume 19", read(FERMENTER_VOLUME, 19, "L")),
        ("volume twenty three and a quarter", read(KETTLE_VOLUME, 23.25, "L")),
        ("kettle volume 24l", read(KETTLE_VOLUME, 24, "L")),
        ("kettle 24 liters", read(KETTLE_VOLUME, 24, "L")),
        ("kettle volume six point three gallons", read(KETTLE_VOLUME, 6.3, "gal")),
        ("kettle volume 26 quarts", read(KETTLE_VOLUME, 6.5, "gal")),
        ("kettle volume 24 litres at 98 degrees", read(KETTLE_VOLUME, 24, "L", 98)),
        ("kettle volume at 24", read(KETTLE_VOLUME, 24, "L")),
        ("gravity 1.048", read(GRAVITY, 1.048, "SG")),
        ("gravity one oh four eight", read(GRAVITY, 1.048, "SG")),
        ("gravity ten forty eight", read(GRAVITY, 1.048, "SG")),
        ("gravity 1048", read(GRAVITY, 1.048, "SG")),
        ("gravity nine ninety eight", read(GRAVITY, 0.998, "SG")),
        ("SG 1.048", read(GRAVITY, 1.048, "SG")),
        ("O.G. 1.048", read(GRAVITY, 1.048, "SG")),
        ("the original gravity is one point oh four eight", read(GRAVITY, 1.048, "SG")),
        ("gravity 48 points", read(GRAVITY, 1.048, "SG")),
        ("gravity 12 plato", read(GRAVITY, 12, "degP")),
        ("plato twelve point four", read(GRAVITY, 12.4, "degP")),
        ("gravity 1.044 at 25 degrees", read(GRAVITY, 1.044, "SG", 25)),
        ("gravity ten forty four at twenty five", read(GRAVITY, 1.044, "SG", 25)),
        ("gravity 1.044 at 77 fahrenheit", read(GRAVITY, 1.044, "SG", pytest.approx(25))),
        ("gravity at start of boil 1.040", read(GRAVITY, 1.040, "SG")),
        ("the gravity at the start of the boil is 1.040", read(GRAVITY, 1.040, "SG")),
        ("gravity 1.040 at start of boil", read(GRAVITY, 1.040, "SG")),
        ("gravity 1.040 at 30 degrees at start of boil", read(GRAVITY, 1.040, "SG", 30)),
        ("brix 12.4", read(BRIX, 12.4, "brix")),
        ("mash pH 5.4", read(PH, 5.4, "pH")),
        ("pH five point four two", read(PH, 5.42, "pH")),
        ("p h five point four", read(PH, 5.4, "pH")),
        ("kettle, mash temperature 66", read(MASH, 66, "degC")),
        ("kettle kettle volume 24", read(KETTLE_VOLUME, 24, "L")),
    ],
)
def test_a_reading_in_metric_units(said: str, reading: ReadingTaken) -> None:
    assert understand(said, BOIL, 7.0) == reading


@pytest.mark.parametrize(
    ("said", "reading"),
    [
        ("mash one fifty two", read(MASH, 152, "degF")),
        ("mash 152 degrees", read(MASH, 152, "degF")),
        ("mash 66 celsius", read(MASH, 66, "degC")),
        ("kettle volume 6.3", read(KETTLE_VOLUME, 6.3, "gal")),
        ("kettle volume 24 litres", read(KETTLE_VOLUME, 24, "L")),
        ("gravity 1.048 at 77 degrees", read(GRAVITY, 1.048, "SG", pytest.approx(25))),
        ("gravity 1.048 at 77", read(GRAVITY, 1.048, "SG", pytest.approx(25))),
    ],
)
def test_a_reading_in_us_units(said: str, reading: ReadingTaken) -> None:
    assert understand(said, US_BOIL, 7.0) == reading


@pytest.mark.parametrize("thousandths", GRAVITIES)
def test_every_gravity_is_read_in_its_three_forms(thousandths: int) -> None:
    for form in (digit_by_digit, in_pairs, with_its_point):
        said = f"gravity {form(thousandths)}"
        assert understand(said, BOIL, 7.0) == read(GRAVITY, thousandths / 1000, "SG")


@pytest.mark.parametrize("words", SUBJECTS, ids=" ".join)
def test_every_name_of_a_quantity_takes_a_figure(words: tuple[str, ...]) -> None:
    heard = understand(f"{' '.join(words)} 20", BOIL, 0.0)
    expected = SUBJECTS[words].quantities[:1]
    assert isinstance(heard, ReadingTaken | NumberSaid)
    assert expected == ((heard.quantity,) if isinstance(heard, ReadingTaken) else ())


@pytest.mark.parametrize("units", Units, ids=lambda units: units.value)
@pytest.mark.parametrize("quantity", EXAMPLES, ids=lambda quantity: quantity.value)
def test_the_example_of_each_reading_is_understood(quantity: Quantity, units: Units) -> None:
    heard = understand(example(quantity, units), asking(units=units), 0.0)
    assert isinstance(heard, ReadingTaken)
    assert heard.quantity is quantity
    assert heard.unit == QUANTITIES[quantity].asked_unit(units)


def test_every_quantity_with_a_figure_has_a_name_and_an_example() -> None:
    named = {quantity for subject in SUBJECTS.values() for quantity in subject.quantities}
    assert named == set(EXAMPLES) == set(Quantity) - {BOILING}


def test_every_unit_heard_is_one_the_core_reads() -> None:
    core = {unit for spec in QUANTITIES.values() for unit in spec.units} - {"1"}
    assert set(UNIT_WORDS.values()) - {"degrees", "quart", "points"} == core == set(UNIT_NAMES)


@pytest.mark.parametrize(
    ("said", "asked", "heard"),
    [
        ("66.5", (MASH,), NumberSaid(at=7.0, value=66.5)),
        ("it's 66.5", (MASH,), NumberSaid(at=7.0, value=66.5)),
        ("it's at sixty six", (MASH,), NumberSaid(at=7.0, value=66)),
        ("sixty six degrees", (), NumberSaid(at=7.0, value=66, unit="degC")),
        ("temperature 66", (), NumberSaid(at=7.0, value=66, unit="degC")),
        ("one fifty two fahrenheit", (), NumberSaid(at=7.0, value=152, unit="degF")),
        ("one fifty two", (GRAVITY,), NumberSaid(at=7.0, value=152)),
        ("five gallons", (), NumberSaid(at=7.0, value=5, unit="gal")),
        ("minus two", (ROOM,), NumberSaid(at=7.0, value=-2)),
        ("1.048", (), NumberSaid(at=7.0, value=1.048)),
        ("one oh four eight", (GRAVITY,), NumberSaid(at=7.0, value=1.048)),
        ("one oh four eight", (), NumberSaid(at=7.0, value=1.048)),
        ("ten forty eight", (), NumberSaid(at=7.0, value=1.048)),
        ("980", (GRAVITY,), NumberSaid(at=7.0, value=0.98)),
        ("980", (), NumberSaid(at=7.0, value=980)),
        ("kettle, 66", (MASH,), NumberSaid(at=7.0, value=66)),
        ("kettle, 66 degrees", (MASH,), NumberSaid(at=7.0, value=66, unit="degC")),
        ("kettle, 1.048", (GRAVITY,), NumberSaid(at=7.0, value=1.048)),
    ],
)
def test_a_bare_number_is_left_to_what_was_asked(
    said: str, asked: tuple[Quantity, ...], heard: NumberSaid
) -> None:
    assert understand(said, asking(*asked), 7.0) == heard


@pytest.mark.parametrize(
    ("said", "asked", "reading"),
    [
        ("12.4 brix", (), read(BRIX, 12.4, "brix")),
        ("twelve plato", (), read(GRAVITY, 12, "degP")),
        ("1.048 SG", (), read(GRAVITY, 1.048, "SG")),
        ("forty eight points", (), read(GRAVITY, 1.048, "SG")),
        ("5.4 pH", (), read(PH, 5.4, "pH")),
        ("1.044 at 25 degrees", (), read(GRAVITY, 1.044, "SG", 25)),
        ("ten forty four at twenty five", (), read(GRAVITY, 1.044, "SG", 25)),
        ("24 litres at 98 degrees", (KETTLE_VOLUME,), read(KETTLE_VOLUME, 24, "L", 98)),
        ("24 at 98", (GRAVITY, KETTLE_VOLUME), read(KETTLE_VOLUME, 24, "L", 98)),
        ("fermenter 19", (FERMENTER_VOLUME,), read(FERMENTER_VOLUME, 19, "L")),
        ("fermenter 19 degrees", (FERMENTER_VOLUME,), read(FERMENTER, 19, "degC")),
        ("volume 19", (FERMENTER_VOLUME,), read(FERMENTER_VOLUME, 19, "L")),
        ("kettle 24", (KETTLE_VOLUME,), read(KETTLE_VOLUME, 24, "L")),
        ("kettle 98", (KETTLE,), read(KETTLE, 98, "degC")),
        ("kettle 98 degrees", (GRAVITY,), read(KETTLE, 98, "degC")),
    ],
)
def test_what_names_its_quantity_is_a_reading(
    said: str, asked: tuple[Quantity, ...], reading: ReadingTaken
) -> None:
    assert understand(said, asking(*asked), 7.0) == reading


@pytest.mark.parametrize("said", ["not boiling", "Not yet.", "it's not boiling", "kettle, not yet"])
def test_not_boiling_answers_the_ask_for_the_boil(said: str) -> None:
    assert understand(said, asking(BOILING), 7.0) == read(BOILING, 0, "1")


def test_not_boiling_means_nothing_unasked() -> None:
    with pytest.raises(NotUnderstood):
        understand("not yet", BOIL, 0.0)


def test_boiling_is_a_report_even_when_asked() -> None:
    assert isinstance(understand("boiling", asking(BOILING), 0.0), CommandGiven)


@pytest.mark.parametrize(
    ("said", "hint"),
    [
        ("mash temperature", 'A reading needs a figure, such as "mash temperature 66".'),
        ("mash temperature blorb", 'A reading needs a figure, such as "mash temperature 66".'),
        ("mash sixty blorb", 'A reading needs a figure, such as "mash temperature 66".'),
        ("mash temperature sixty six point", "A reading needs a figure"),
        ("mash 66 67", "A reading needs a figure"),
        ("mash 60-66", "A reading needs a figure"),
        ("mash not 66", "A reading needs a figure"),
        ("mash 66 or so", "A reading needs a figure"),
        ("mash 66 percent", "A reading needs a figure"),
        ("gravity", 'A reading needs a figure, such as "gravity 1.048".'),
        ("gravity 1.048 at", "A reading needs a figure"),
        ("gravity 1.048 at blorb", "A reading needs a figure"),
        ("gravity 1.048 at 25 litres", "A reading needs a figure"),
        ("mash 66,5", "A number takes a decimal point, as in 66.5."),
        ("1,048", "A number takes a decimal point, as in 66.5."),
        ("mash 66 litres", "The mash temperature is read in degrees Celsius or degrees Fahr"),
        ("gravity 12 brix", "The gravity is read in specific gravity or degrees Plato."),
        ("kettle volume 24 degrees", "The kettle volume is read in litres or gallons."),
        ("mash 66 at 20 degrees", "Only a gravity or a volume goes with a temperature."),
        ("12.4 brix at 20 degrees", "Only a gravity or a volume goes with a temperature."),
        ("24 at 98", 'Say what was read, such as "gravity 1.048 at 25 degrees".'),
        ("24 litres at 98 degrees", 'Say what was read, such as "gravity 1.048 at 25 degrees".'),
    ],
)
def test_a_reading_that_is_none_is_told_what_it_needs(said: str, hint: str) -> None:
    with pytest.raises(NotUnderstood) as raised:
        understand(said, BOIL, 0.0)
    assert raised.value.hint.startswith(hint)


def test_us_brewers_are_shown_a_sample_in_their_degrees() -> None:
    with pytest.raises(NotUnderstood, match=r'such as "gravity 1\.048 at 77 degrees"'):
        understand("6 at 200", US_BOIL, 0.0)


@pytest.mark.parametrize(
    "said",
    ["wash 66", "mash tun 66", "mashed 66", "66 blorbs", "66 mash", "degrees", "sixty six point"],
)
def test_words_near_a_reading_are_none(said: str) -> None:
    with pytest.raises(NotUnderstood):
        understand(said, BOIL, 0.0)

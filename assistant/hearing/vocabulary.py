"""The words of readings, one table each: what is read, in which unit, and the words around it.

Whatever listens takes its phrases from here, so that what can be heard and what is understood are
the same. The commands' words stand in ``assistant.day.commands``.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from assistant.day.quantities import QUANTITIES, Quantity
from assistant.hearing.spoken import Words, spoken
from assistant.schedule.model import Units

WAKE_WORD = "kettle"

ARTICLES = tuple((article,) for article in ("the", "a", "an", "my"))


@dataclass(frozen=True, kw_only=True)
class Subject:
    """What a reading's first words speak of.

    ``quantities`` are those it can be, the usual one first; none means whichever was asked for.
    ``unit`` is the unit where the words imply one.
    """

    quantities: tuple[Quantity, ...]
    unit: str | None = None


_SUBJECT_WORDS: Mapping[Subject, tuple[str, ...]] = {
    Subject(quantities=(Quantity.WATER_TEMPERATURE,)): (
        "water temp",
        "water",
        "strike water temperature",
        "strike water temp",
        "strike water",
        "strike temperature",
        "strike temp",
        "strike",
    ),
    Subject(quantities=(Quantity.MASH_TEMPERATURE,)): ("mash temp", "mash"),
    Subject(quantities=(Quantity.KETTLE_TEMPERATURE,)): (
        "kettle temp",
        "wort temperature",
        "wort temp",
        "wort",
    ),
    Subject(quantities=(Quantity.ROOM_TEMPERATURE,)): ("room temp", "room"),
    Subject(quantities=(Quantity.TOP_UP_TEMPERATURE,)): (
        "top up temp",
        "top up water temperature",
        "top up water temp",
        "top up water",
        "top up",
    ),
    Subject(quantities=(Quantity.FERMENTER_TEMPERATURE,)): (
        "fermenter temp",
        "beer temperature",
        "beer temp",
    ),
    Subject(quantities=(Quantity.KETTLE_VOLUME,)): ("pre boil volume", "post boil volume"),
    Subject(quantities=(Quantity.GRAVITY,)): (
        "specific gravity",
        "original gravity",
        "final gravity",
        "pre boil gravity",
        "post boil gravity",
        "sg",
        "s g",
        "og",
        "o g",
    ),
    Subject(quantities=(Quantity.GRAVITY,), unit="degP"): ("plato",),
    Subject(quantities=(Quantity.SLURRY_VOLUME,)): ("slurry volume", "yeast slurry"),
    Subject(quantities=(Quantity.MASH_PH,)): ("ph", "p h", "mash p h"),
    Subject(quantities=(Quantity.KETTLE_TEMPERATURE, Quantity.KETTLE_VOLUME)): ("kettle",),
    Subject(quantities=(Quantity.FERMENTER_TEMPERATURE, Quantity.FERMENTER_VOLUME)): ("fermenter",),
    Subject(quantities=(Quantity.KETTLE_VOLUME, Quantity.FERMENTER_VOLUME)): ("volume",),
    Subject(quantities=(), unit="degrees"): ("temperature", "temp"),
}

SUBJECTS: Mapping[Words, Subject] = {
    **{
        spoken(spec.spoken): Subject(quantities=(quantity,))
        for quantity, spec in QUANTITIES.items()
        if quantity is not Quantity.BOILING
    },
    **{spoken(said): subject for subject, words in _SUBJECT_WORDS.items() for said in words},
}
"""What a reading can begin with: each quantity's name, and what else brewers call it."""

UNIT_WORDS: Mapping[Words, str] = {
    spoken(said): unit
    for unit, words in {
        "degrees": ("degree", "degrees"),
        "degC": (
            "degrees celsius",
            "degrees centigrade",
            "degrees c",
            "celsius",
            "centigrade",
            "deg c",
            "degc",
            "c",
        ),
        "degF": ("degrees fahrenheit", "degrees f", "fahrenheit", "deg f", "degf", "f"),
        "L": ("litre", "litres", "liter", "liters", "l"),
        "gal": ("gallon", "gallons", "gal", "gals"),
        "quart": ("quart", "quarts", "qt"),
        "mL": ("millilitre", "millilitres", "milliliter", "milliliters", "ml"),
        "fluid_ounce": ("fluid ounce", "fluid ounces", "fl oz"),
        "SG": ("sg", "s g", "specific gravity"),
        "points": ("points", "gravity points"),
        "degP": ("plato", "degrees plato", "degp"),
        "brix": ("brix", "degrees brix"),
        "pH": ("ph", "p h"),
    }.items()
    for said in words
}
"""Words after a figure. Three are no unit of the core's: degrees, quart and points.

"Point" is not among them: "sixty six point" is a number cut short, not a gravity.
"""

UNIT_NAMES: Mapping[str, str] = {
    "degC": "degrees Celsius",
    "degF": "degrees Fahrenheit",
    "L": "litres",
    "gal": "gallons",
    "mL": "millilitres",
    "fluid_ounce": "fluid ounces",
    "SG": "specific gravity",
    "degP": "degrees Plato",
    "brix": "brix",
    "pH": "pH",
}

LEADS = tuple(spoken(said) for said in ("the", "it's", "it is", "it's at", "it is at", "it reads"))
LINKS = tuple(spoken(said) for said in ("is", "at", "is at", "reads", "is now"))

MOMENTS = tuple(
    spoken(said)
    for said in (
        "at start of boil",
        "at the start of the boil",
        "before the boil",
        "at end of boil",
        "at the end of the boil",
        "after the boil",
    )
)
"""When a gravity or a volume was taken: understood, but the core goes by when it is said."""

NOT_BOILING = tuple(
    spoken(said)
    for said in ("not boiling", "not yet", "not boiling yet", "it's not boiling", "no not yet")
)

SAMPLED = (Quantity.GRAVITY, Quantity.KETTLE_VOLUME, Quantity.FERMENTER_VOLUME)
"""Readings that can carry the temperature they were taken at."""

EXAMPLES: Mapping[Quantity, tuple[str, str]] = {
    Quantity.WATER_TEMPERATURE: ("71", "160"),
    Quantity.MASH_TEMPERATURE: ("66", "151"),
    Quantity.KETTLE_TEMPERATURE: ("98", "208"),
    Quantity.ROOM_TEMPERATURE: ("18", "64"),
    Quantity.TOP_UP_TEMPERATURE: ("4", "39"),
    Quantity.FERMENTER_TEMPERATURE: ("19", "66"),
    Quantity.KETTLE_VOLUME: ("24", "6.3"),
    Quantity.FERMENTER_VOLUME: ("19", "5"),
    Quantity.GRAVITY: ("1.048", "1.048"),
    Quantity.BRIX: ("12.4", "12.4"),
    Quantity.MASH_PH: ("5.4", "5.4"),
    Quantity.SLURRY_VOLUME: ("200", "7"),
}
"""A figure to show how each is said, in metric and in US units."""


def example(quantity: Quantity, units: Units) -> str:
    """``mash temperature 66``; of a quantity that has no figure, of the mash temperature."""
    shown = quantity if quantity in EXAMPLES else Quantity.MASH_TEMPERATURE
    return f"{QUANTITIES[shown].spoken} {EXAMPLES[shown][units is Units.US]}"

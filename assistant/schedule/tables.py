"""Every key a schedule and a kettle file may have: its unit, its limits and its default.

The limits are those past which a figure is a slip of the pen rather than a beer; they are common
practice, no source, as are the defaults unless the table says otherwise. A key that is not listed
must be there.

| key | default | why |
|---|---|---|
| units | metric | the units of science and of most malt sacks |
| additions | none | a beer may have no hops |
| additions: kind | hops | most additions are |
| additions: form | pellet (hops) | how most hops are sold |
| additions: extract | 100 % (sugar), 96 % (malt extract) | both dry |
| grist: extract | 80 % | a pale base malt, as-is |
| grist: colour | 5 EBC | a pale base malt |
| grist: ph | guessed from the colour | of a mash of this malt alone in distilled water |
| mash: rest | "rest 1", "rest 2" | its place in the mash |
| whirlpool: at | 80 degC | keeps aroma and brings little bitterness |
| whirlpool: steep | 20 min with whirlpool hops, else 0 min | nothing to steep without them |
| whirlpool: settle | 10 min | lets the trub form a cone |
| chill: to | the middle of ferment: at | pitch at the fermentation's temperature |
| chill: method | coil | the usual chiller |
| chill: top_up | 0 L | a full boil |
| yeast: name | "yeast" | the packet says |
| yeast: form | dry | the usual packet |
| yeast: attenuation | 75 % | an ordinary ale yeast |
| yeast: rate | 0.75 | ale rate of White & Zainasheff, "Yeast" (2010), from memory, unchecked |
| yeast: age | none given (liquid, slurry) | the pack or the jar says |
| yeast: pack | 100 (liquid) | billion cells in the usual fresh pack |
| ferment: at | 18 degC to 20 degC | an ordinary ale yeast |
| ferment: for | 14 days | time to finish and to clear |
| package | none | may be decided later |
| package: into | bottles | need nothing but a capper |
| package: carbonation | 2.4 vol | the middle of most ales |
| package: sugar | sucrose | table sugar |
| package: glass | ordinary (bottles) | what most beer is sold in |
| water | unknown | then nothing is said of it |
| water: alkalinity, bicarbonate | one of them must be there | without it no pH can be foretold |
| water: calcium, magnesium, sodium, sulphate, chloride | 0 mg/L | as in distilled water |
| water: gypsum, calcium_chloride, epsom_salt, baking_soda | 0 g | none in the strike water |
| water: lactic_acid | 0 mL | none in the strike water |
| water: lactic_strength | 88 % | the usual bottle |
| kettle | the file's name; "kettle" in a schedule | |
| heater: kind | electric | an element inside the kettle |
| heater: efficiency | 90 % electric, 80 % induction, 40 % gas | a flame heats the room as well |
| heat_capacity | 0.11 kJ/K for each litre it holds | steel of about 0.22 kg to the litre |
| heat_loss | 4 W/K | a bare steel kettle, lid on |
| boil_off | 3 L/h | a home boil is 2 to 5 |
| left_behind | 1 L | trub and what the tap does not reach |
| absorption | 0.6 L/kg | a bag left to drain, not squeezed |
| extract_efficiency | 72 % | a full-volume mash without sparging |
| room | 20 degC | |
| tap_water | 12 degC | |
| altitude | 0 m | |
| hydrometer | 20 degC | the temperature printed on it |
| refractometer | 1.04 | Brix it shows for a degree Plato of wort; 0.99 to 1.06 is met |
"""

from assistant.brewing.minerals import USUAL_LACTIC_STRENGTH, Salt
from assistant.schedule.additions import AdditionMoment
from assistant.schedule.groups import Group, Key, Listing
from assistant.schedule.kettle_card import KettleOrPath
from assistant.schedule.model import (
    AdditionKind,
    ChillMethod,
    Glass,
    HeaterKind,
    HopForm,
    PrimingSugar,
    Units,
    Vessel,
    YeastForm,
)
from assistant.schedule.readers import Choice, Measure, Name, Number, Share, Span
from assistant.schedule.water import WaterOrUnknown

_VOLUME = "a volume"
_TEMPERATURE = "a temperature"
_TIME = "a time"
_WEIGHT = "a weight"


def _litres(low: float, high: float, example: str) -> Measure:
    return Measure(what=_VOLUME, unit="L", low=low, high=high, example=example)


def _celsius(low: float, high: float, example: str) -> Measure:
    return Measure(what=_TEMPERATURE, unit="degC", low=low, high=high, example=example)


def _share(what: str, low: float, high: float, example: str) -> Share:
    percent = Measure(what=what, unit="percent", low=low, high=high, example=example)
    return Share(measure=percent)


def _minutes(low: float, high: float, example: str) -> Measure:
    return Measure(what=_TIME, unit="min", low=low, high=high, example=example)


def _in_water(example: str) -> Measure:
    return Measure(what="a concentration", unit="mg/L", low=0, high=2000, example=example)


HEATER = Group(
    example="{kind: electric, power: 2.5 kW}",
    keys={
        "kind": Key(Choice(among=HeaterKind), default=HeaterKind.ELECTRIC),
        "power": Key(
            Measure(what="a power", unit="W", low=100, high=50_000, example="2.5 kW"),
            required=True,
        ),
        "efficiency": Key(_share("a share", 5, 100, "88 %")),
    },
)

KETTLE = Group(
    example="{holds: 30 L, heater: {power: 2.5 kW}}",
    keys={
        "kettle": Key(Name(what="the kettle's name")),
        "holds": Key(_litres(2, 300, "30 L"), required=True),
        "heater": Key(HEATER, required=True),
        "heat_capacity": Key(
            Measure(what="a heat capacity", unit="J/K", low=50, high=100_000, example="4.0 kJ/K")
        ),
        "heat_loss": Key(
            Measure(what="a heat loss", unit="W/K", low=0.1, high=100, example="4 W/K"),
            default=4.0,
        ),
        "boil_off": Key(
            Measure(what="a boil-off", unit="L/h", low=0.1, high=30, example="3 L/h"),
            default=3.0,
        ),
        "left_behind": Key(_litres(0, 20, "1 L"), default=1.0),
        "absorption": Key(
            Measure(what="an absorption", unit="L/kg", low=0, high=2, example="0.6 L/kg"),
            default=0.6,
        ),
        "extract_efficiency": Key(_share("a share of the extract", 20, 100, "72 %"), default=0.72),
        "room": Key(_celsius(-10, 50, "20 degC"), default=20.0),
        "tap_water": Key(_celsius(0, 50, "12 degC"), default=12.0),
        "altitude": Key(
            Measure(what="a height", unit="m", low=-500, high=5000, example="40 m"), default=0.0
        ),
        "hydrometer": Key(_celsius(10, 30, "20 degC"), default=20.0),
        "refractometer": Key(
            Number(what="Brix shown for a degree Plato", low=0.9, high=1.2, example="1.04"),
            default=1.04,
        ),
    },
)

MALT = Group(
    example="{malt: pale ale malt, weight: 4 kg}",
    keys={
        "malt": Key(Name(what="the malt's name"), required=True),
        "weight": Key(
            Measure(what=_WEIGHT, unit="kg", low=0.001, high=50, example="4 kg"), required=True
        ),
        "extract": Key(_share("an extract", 0, 105, "80 %"), default=0.8),
        "colour": Key(
            Measure(what="a malt colour", unit="EBC", low=0, high=2500, example="6 EBC or 3 degL"),
            default=5.0,
        ),
        "ph": Key(
            Number(what="the pH of the malt in distilled water", low=3, high=8, example="5.7")
        ),
    },
)

REST = Group(
    example="{at: 66 degC, for: 60 min}",
    keys={
        "rest": Key(Name(what="the rest's name")),
        "at": Key(_celsius(30, 80, "66 degC"), required=True),
        "for": Key(_minutes(1, 720, "60 min"), required=True),
    },
)

ADDITION = Group(
    example="{add: Challenger, weight: 25 g, alpha: 7 %, at: 60 min}",
    keys={
        "add": Key(Name(what="the addition's name"), required=True),
        "kind": Key(Choice(among=AdditionKind), default=AdditionKind.HOPS),
        "weight": Key(
            Measure(what=_WEIGHT, unit="g", low=0.01, high=10_000, example="25 g"), required=True
        ),
        "at": Key(AdditionMoment(), required=True),
        "alpha": Key(_share("an alpha-acid share", 0, 30, "7.2 %")),
        "form": Key(Choice(among=HopForm)),
        "extract": Key(_share("an extract", 0, 105, "100 %")),
    },
)

BOIL = Group(example="{for: 60 min}", keys={"for": Key(_minutes(1, 180, "60 min"), required=True)})

WHIRLPOOL = Group(
    example="{at: 80 degC, steep: 20 min}",
    keys={
        "at": Key(_celsius(50, 100, "80 degC"), default=80.0),
        "steep": Key(_minutes(0, 120, "20 min")),
        "settle": Key(_minutes(0, 120, "10 min"), default=10.0),
    },
)

CHILL = Group(
    example="{to: 19 degC, method: coil}",
    keys={
        "to": Key(_celsius(0, 45, "19 degC")),
        "method": Key(Choice(among=ChillMethod), default=ChillMethod.COIL),
        "top_up": Key(_litres(0, 50, "4 L"), default=0.0),
    },
)

YEAST = Group(
    example="{name: ale yeast, attenuation: 75 %}",
    keys={
        "name": Key(Name(what="the yeast's name"), default="yeast"),
        "form": Key(Choice(among=YeastForm), default=YeastForm.DRY),
        "attenuation": Key(_share("an attenuation", 40, 100, "75 %"), default=0.75),
        "rate": Key(
            Number(what="million cells per mL and degP", low=0.1, high=5, example="0.75"),
            default=0.75,
        ),
        "age": Key(Measure(what=_TIME, unit="day", low=0, high=365, example="30 days")),
        "pack": Key(
            Number(what="billion cells in a fresh pack", low=10, high=1000, example="100"),
            default=100.0,
        ),
    },
)

FERMENT = Group(
    example="{at: 18 degC to 20 degC, for: 14 days}",
    keys={
        "at": Key(Span(measure=_celsius(0, 45, "18 degC to 20 degC")), default=(18.0, 20.0)),
        "for": Key(
            Measure(what=_TIME, unit="day", low=1, high=365, example="14 days"), default=14.0
        ),
    },
)

PACKAGE = Group(
    example="{into: bottles, carbonation: 2.4 vol}",
    keys={
        "into": Key(Choice(among=Vessel), default=Vessel.BOTTLES),
        "carbonation": Key(
            Measure(what="a carbonation", unit="vol", low=0.5, high=5, example="2.4 vol"),
            default=2.4,
        ),
        "sugar": Key(Choice(among=PrimingSugar), default=PrimingSugar.SUCROSE),
        "glass": Key(Choice(among=Glass), default=Glass.ORDINARY),
    },
)

WATER = Group(
    example="{calcium: 60 mg/L, alkalinity: 110 mg/L}",
    keys={
        "calcium": Key(_in_water("60 mg/L"), default=0.0),
        "magnesium": Key(_in_water("5 mg/L"), default=0.0),
        "sodium": Key(_in_water("12 mg/L"), default=0.0),
        "sulphate": Key(_in_water("40 mg/L"), default=0.0),
        "chloride": Key(_in_water("30 mg/L"), default=0.0),
        "alkalinity": Key(_in_water("110 mg/L")),
        "bicarbonate": Key(_in_water("134 mg/L")),
        **{
            salt.value: Key(
                Measure(what=_WEIGHT, unit="g", low=0, high=100, example="4 g"), default=0.0
            )
            for salt in Salt
        },
        "lactic_acid": Key(
            Measure(what=_VOLUME, unit="mL", low=0, high=100, example="3 mL"), default=0.0
        ),
        "lactic_strength": Key(
            _share("a strength of the acid", 5, 100, "88 %"), default=USUAL_LACTIC_STRENGTH
        ),
    },
)

SCHEDULE = Group(
    example="beer, volume, kettle, grist, mash, boil and yeast",
    keys={
        "beer": Key(Name(what="the beer's name"), required=True),
        "volume": Key(_litres(1, 100, "19 L"), required=True),
        "units": Key(Choice(among=Units), default=Units.METRIC),
        "kettle": Key(KettleOrPath(keys=KETTLE), required=True),
        "grist": Key(Listing(of=MALT, what="malts", fewest=1, most=30), required=True),
        "mash": Key(Listing(of=REST, what="rests", fewest=1, most=10), required=True),
        "boil": Key(BOIL, required=True),
        "additions": Key(Listing(of=ADDITION, what="additions", fewest=0, most=60), default=()),
        "whirlpool": Key(WHIRLPOOL),
        "chill": Key(CHILL),
        "yeast": Key(YEAST, required=True),
        "ferment": Key(FERMENT),
        "package": Key(PACKAGE),
        "water": Key(WaterOrUnknown(keys=WATER)),
    },
)

"""What a checked schedule holds: one beer, its kettle, and how the day is to go.

Everything here is frozen and in the units named by each field, so that no other room ever
meets text such as ``18 degC to 20 degC``; ``load.py`` turns a file into these. Volumes are
litres at 20 °C, shares are fractions between 0 and 1.
"""

from dataclasses import dataclass
from enum import Enum


class Units(Enum):
    """The units a brewer hears and sees; the file may be written in either."""

    METRIC = "metric"
    US = "us"


class HeaterKind(Enum):
    """What heats the kettle; it sets the default share of the power that reaches the wort."""

    ELECTRIC = "electric"
    INDUCTION = "induction"
    GAS = "gas"


@dataclass(frozen=True, kw_only=True)
class Heater:
    """The kettle's heat source: nameplate ``power_w`` and the share of it that heats the wort."""

    kind: HeaterKind
    power_w: float
    efficiency: float

    @property
    def reaches_w(self) -> float:
        """What reaches the wort at full power, in watts."""
        return self.power_w * self.efficiency


@dataclass(frozen=True, kw_only=True)
class Kettle:
    """The kettle card: what the brewer believes of the kettle and of what stands beside it.

    ``hydrometer_c`` is the temperature printed on the hydrometer, ``wort_correction`` what the
    refractometer shows in Brix for a degree Plato of wort.
    """

    name: str
    holds_l: float
    heater: Heater
    heat_capacity_j_k: float
    heat_loss_w_k: float
    boil_off_l_h: float
    left_behind_l: float
    absorption_l_kg: float
    extract_efficiency: float
    room_c: float
    tap_water_c: float
    altitude_m: float
    hydrometer_c: float = 20.0
    wort_correction: float = 1.04


@dataclass(frozen=True, kw_only=True)
class Malt:
    """One line of the grist; ``extract`` is the as-is fine-grind share, 0 to 1.

    ``ph`` is that of a mash of this malt alone in distilled water, cooled; None where not given.
    """

    name: str
    weight_kg: float
    extract: float
    colour_ebc: float
    ph: float | None = None


@dataclass(frozen=True, kw_only=True)
class Rest:
    """One temperature the mash is held at."""

    name: str
    temperature_c: float
    minutes: float


class AdditionKind(Enum):
    """What an addition is; only hops bring bitterness, only sugar and malt extract bring extract.

    Sugar ferments right out, malt extract as malt does.
    """

    HOPS = "hops"
    FININGS = "finings"
    SUGAR = "sugar"
    MALT_EXTRACT = "malt extract"
    NUTRIENT = "nutrient"
    SALT = "salt"
    SPICE = "spice"
    OTHER = "other"


class HopForm(Enum):
    """How the hops come."""

    PELLET = "pellet"
    WHOLE = "whole"


class Moment(Enum):
    """When an addition goes in; ``BEFORE_END`` and ``DAY`` carry a figure beside them."""

    FIRST_WORT = "first wort"
    BOIL_START = "boil start"
    BEFORE_END = "before the end of the boil"
    FLAMEOUT = "flameout"
    WHIRLPOOL = "whirlpool"
    DAY = "day of fermentation"


@dataclass(frozen=True, kw_only=True)
class Addition:
    """Something added to the kettle, or (``Moment.DAY``) to the fermenting beer.

    ``alpha`` is the alpha-acid share of hops and ``form`` how they come, both None for the rest;
    ``extract`` is the share of a sugar or malt extract that dissolves, None for the rest;
    ``minutes_before_end`` stands with BEFORE_END only, ``day`` (0 = pitching) with DAY only.
    """

    name: str
    kind: AdditionKind
    weight_g: float
    moment: Moment
    minutes_before_end: float | None = None
    day: int | None = None
    alpha: float | None = None
    form: HopForm | None = None
    extract: float | None = None


@dataclass(frozen=True, kw_only=True)
class Whirlpool:
    """Hops steeped off the boil, then the rest that lets the trub settle, lid on."""

    temperature_c: float
    steep_minutes: float
    settle_minutes: float


class ChillMethod(Enum):
    """How the wort is cooled."""

    COIL = "coil"
    ICE_BATH = "ice bath"
    TOP_UP = "top-up"


@dataclass(frozen=True, kw_only=True)
class Chill:
    """What the wort is cooled to, how, and the chilled water added in the fermenter."""

    to_c: float
    method: ChillMethod
    top_up_l: float


class YeastForm(Enum):
    """How the yeast comes."""

    DRY = "dry"
    LIQUID = "liquid"
    SLURRY = "slurry"


@dataclass(frozen=True, kw_only=True)
class Yeast:
    """The yeast; ``attenuation`` is apparent, ``rate`` million cells per millilitre per °P.

    ``age_days`` is since the pack was filled or the slurry cropped, None where it was not given
    and for dry yeast; ``pack_billion``, the cells in a fresh pack, counts for liquid yeast only.
    ``generation`` is how many beers it has fermented before: no file tells it, but the record does
    of slurry that was kept.
    """

    name: str
    form: YeastForm
    attenuation: float
    rate_million_ml_p: float
    age_days: float | None = None
    pack_billion: float = 100.0
    generation: int = 0


@dataclass(frozen=True, kw_only=True)
class Ferment:
    """The temperatures to hold and for how long."""

    low_c: float
    high_c: float
    days: float


class Vessel(Enum):
    """What the finished beer goes into."""

    BOTTLES = "bottles"
    KEG = "keg"


class PrimingSugar(Enum):
    """What carbonates the bottles."""

    SUCROSE = "sucrose"
    GLUCOSE = "glucose"
    GLUCOSE_MONOHYDRATE = "glucose monohydrate"


class Glass(Enum):
    """What the bottles are made of; it sets the carbonation they are good for."""

    ORDINARY = "ordinary"
    THICK = "thick"


@dataclass(frozen=True, kw_only=True)
class Package:
    """How the beer is packaged; carbonation in volumes of CO2 per volume of beer.

    ``glass`` counts for bottles only.
    """

    into: Vessel
    carbonation_vol: float
    sugar: PrimingSugar
    glass: Glass = Glass.ORDINARY


@dataclass(frozen=True, kw_only=True)
class Water:
    """The water as it comes, in mg/L, and what goes into the strike water.

    ``alkalinity_mg_l`` is as CaCO3; ``lactic_strength`` is the acid's share by weight, 0 to 1.
    """

    calcium_mg_l: float
    magnesium_mg_l: float
    sodium_mg_l: float
    sulphate_mg_l: float
    chloride_mg_l: float
    alkalinity_mg_l: float
    gypsum_g: float
    calcium_chloride_g: float
    epsom_salt_g: float
    baking_soda_g: float
    lactic_acid_ml: float
    lactic_strength: float


@dataclass(frozen=True, kw_only=True)
class Schedule:
    """One beer from grist to package, checked: no field needs checking again."""

    beer: str
    volume_l: float
    units: Units
    kettle: Kettle
    grist: tuple[Malt, ...]
    mash: tuple[Rest, ...]
    boil_minutes: float
    additions: tuple[Addition, ...]
    whirlpool: Whirlpool
    chill: Chill
    yeast: Yeast
    ferment: Ferment
    package: Package | None
    water: Water | None = None

    @property
    def grain_kg(self) -> float:
        """The weight of the whole grist."""
        return sum(malt.weight_kg for malt in self.grist)

"""The beers of the closed-loop benchmark: the samples, and variations of them made here."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from assistant.schedule import load
from assistant.schedule.model import Heater, HeaterKind, Kettle, Moment, Rest, Schedule

FOLDER = Path(__file__).parent.parent.parent / "schedules"
SINGLE = (Rest(name="single", temperature_c=66.0, minutes=60.0),)
STEPPED = (
    Rest(name="protein", temperature_c=52.0, minutes=15.0),
    Rest(name="beta", temperature_c=63.0, minutes=35.0),
    Rest(name="alpha", temperature_c=72.0, minutes=20.0),
    Rest(name="mash-out", temperature_c=78.0, minutes=8.0),
)


def beers() -> Mapping[str, Schedule]:
    """Every beer by a short name."""
    amber = load(FOLDER / "breakwater-amber.yaml")
    return {
        "amber": amber,
        "top-up galley": load(FOLDER / "galley-bitter.yaml"),
        "strong stout": load(FOLDER / "harbour-light-stout.yaml"),
        "US pale": load(FOLDER / "saltgrass-pale.yaml"),
        "single rest": replace(amber, mash=SINGLE),
        "four rests": replace(amber, mash=STEPPED),
        "small": _scaled(amber, 10.0),
        "large": _scaled(replace(amber, kettle=_large(amber)), 38.0),
        "no whirlpool": replace(
            amber,
            additions=tuple(a for a in amber.additions if a.moment is not Moment.WHIRLPOOL),
        ),
        "top-up amber": replace(amber, chill=replace(amber.chill, top_up_l=4.0)),
    }


def of_one_kettle() -> Mapping[str, Schedule]:
    """The beers that are brewed in the same kettle, for brews one after another."""
    kettle = beers()["amber"].kettle
    return {name: beer for name, beer in beers().items() if beer.kettle == kettle}


def _scaled(beer: Schedule, volume_l: float) -> Schedule:
    """The same beer for another volume: grist and additions in proportion."""
    times = volume_l / beer.volume_l
    return replace(
        beer,
        volume_l=volume_l,
        grist=tuple(replace(malt, weight_kg=malt.weight_kg * times) for malt in beer.grist),
        additions=tuple(replace(a, weight_g=a.weight_g * times) for a in beer.additions),
    )


def _large(beer: Schedule) -> Kettle:
    return replace(
        beer.kettle,
        name="cellar 65 L",
        holds_l=65.0,
        heater=Heater(kind=HeaterKind.ELECTRIC, power_w=5500.0, efficiency=0.92),
        heat_capacity_j_k=8000.0,
        heat_loss_w_k=5.0,
        boil_off_l_h=4.5,
        left_behind_l=2.5,
    )

"""The bitterness of a beer from what went into the boil and when.

One sum serves the plan and the day: the plan's doses carry the minutes wanted, the day's the
minutes they really got.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from assistant.brewing.hops import COLDEST_C, bitterness_ibu, steep_equivalent_minutes, utilisation
from assistant.schedule.model import AdditionKind, Schedule

STEEP_COOLING_PER_HOUR = 0.15
"""How fast a covered 20 litre kettle nears the room's temperature; from memory, unchecked."""

LONGEST_BOIL_MIN = 600.0
"""Utilisation has long levelled off by then."""


@dataclass(frozen=True, kw_only=True)
class Dose:
    """Hops and the time they boil; ``minutes`` is None where they never see a boil (dry hops).

    ``alpha`` is a share, 0 to 1. ``in_kettle`` tells those whose time grows with the boil from
    those still to be added at their time before its end.
    """

    weight_g: float
    alpha: float
    minutes: float | None
    in_kettle: bool = False


def is_bittering(kind: AdditionKind, alpha: float | None) -> bool:
    """Whether an addition counts towards bitterness: hops whose alpha acid is known."""
    return kind is AdditionKind.HOPS and alpha is not None


def steep_minutes_at_boil(schedule: Schedule, boiling_c: float) -> float:
    """The boil minutes that the whirlpool steep is worth, for hops in it and hops before it.

    Source: isomerisation rate of Malowicki & Shellhammer 2005 integrated over Newton cooling.
    """
    whirlpool = schedule.whirlpool
    start_c = min(whirlpool.temperature_c, boiling_c)
    if whirlpool.steep_minutes == 0 or start_c < COLDEST_C:
        return 0.0
    return steep_equivalent_minutes(
        from_c=start_c,
        minutes=whirlpool.steep_minutes,
        room_c=schedule.kettle.room_c,
        cooling_per_hour=STEEP_COOLING_PER_HOUR,
    )


def dose_ibu(
    dose: Dose, *, boil_gravity: float, postboil_volume_l: float, steep_minutes: float
) -> float:
    """What one dose brings, in IBU (mg/L), in the wort at the end of the boil.

    ``boil_gravity`` is the mean over the boil and ``steep_minutes`` the boil minutes the
    whirlpool is worth. Source: Tinseth, with time after flameout as equivalent boil minutes.
    """
    if dose.minutes is None:
        return 0.0
    minutes = min(max(dose.minutes, 0.0) + steep_minutes, LONGEST_BOIL_MIN)
    return bitterness_ibu(
        weight_g=dose.weight_g,
        alpha=dose.alpha,
        utilisation=utilisation(boil_gravity, minutes),
        volume_l=postboil_volume_l,
    )


def total_ibu(
    doses: Iterable[Dose], *, boil_gravity: float, postboil_volume_l: float, steep_minutes: float
) -> float:
    """The sum over all doses, in IBU in the wort at the end of the boil."""
    return sum(
        dose_ibu(
            dose,
            boil_gravity=boil_gravity,
            postboil_volume_l=postboil_volume_l,
            steep_minutes=steep_minutes,
        )
        for dose in doses
    )

"""The bitterness of a beer from what went into the boil and when.

One sum serves the plan and the day: the plan's doses carry the minutes wanted, the day's the
minutes they really got.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from assistant.brewing.hops import (
    FIRST_WORT_AGAINST_BOIL,
    WHOLE_AGAINST_PELLETS,
    bitterness_ibu,
    utilisation,
    worth_of_a_minute,
)
from assistant.schedule.model import Addition, AdditionKind, HopForm, Moment

LEVELLED_OFF_MIN = 600.0
"""Utilisation has long levelled off by then."""


@dataclass(frozen=True, kw_only=True)
class Dose:
    """Hops and the time they get; ``minutes`` is None where they never see a boil (dry hops).

    ``alpha`` is a share, 0 to 1. ``after_min`` is what their time after flameout is worth in
    minutes of boil, ``factor`` what their form and place give against pellets in the boil.
    ``in_kettle`` tells those whose time grows with the boil from those still to be added at their
    time before its end.
    """

    weight_g: float
    alpha: float
    minutes: float | None
    after_min: float = 0.0
    factor: float = 1.0
    in_kettle: bool = False


def is_bittering(kind: AdditionKind, alpha: float | None) -> bool:
    """Whether an addition counts towards bitterness: hops whose alpha acid is known."""
    return kind is AdditionKind.HOPS and alpha is not None


def hop_factor(addition: Addition) -> float:
    """What the form of hops and their place give against pellets in the boil."""
    form = WHOLE_AGAINST_PELLETS if addition.form is HopForm.WHOLE else 1.0
    place = FIRST_WORT_AGAINST_BOIL if addition.moment is Moment.FIRST_WORT else 1.0
    return form * place


def boil_minutes_worth(minutes: float, boiling_c: float) -> float:
    """Boil minutes at the kettle's boiling point as minutes at 100 °C: fewer up a mountain."""
    return max(minutes, 0.0) * worth_of_a_minute(min(boiling_c, 100.0))


def dose_share(dose: Dose, *, boil_gravity: float, boiling_c: float) -> float:
    """The share of a dose's alpha acid that ends up as bitterness, 0 to 1.

    Source: Tinseth, with the boil and the time after it as minutes at 100 °C by the rates of
    Malowicki and Shellhammer (2005).
    """
    if dose.minutes is None:
        return 0.0
    minutes = boil_minutes_worth(dose.minutes, boiling_c) + dose.after_min
    share = dose.factor * utilisation(boil_gravity, min(minutes, LEVELLED_OFF_MIN))
    return min(share, 1.0)


def dose_ibu(
    dose: Dose, *, boil_gravity: float, postboil_volume_l: float, boiling_c: float
) -> float:
    """What one dose brings, in IBU (mg/L), in the wort at the end of the boil.

    ``boil_gravity`` is the mean over the boil, ``boiling_c`` where it boils.
    Source: as for ``dose_share``.
    """
    return bitterness_ibu(
        weight_g=dose.weight_g,
        alpha=dose.alpha,
        utilisation=dose_share(dose, boil_gravity=boil_gravity, boiling_c=boiling_c),
        volume_l=postboil_volume_l,
    )


def total_ibu(
    doses: Iterable[Dose], *, boil_gravity: float, postboil_volume_l: float, boiling_c: float
) -> float:
    """The sum over all doses, in IBU in the wort at the end of the boil."""
    return sum(
        dose_ibu(
            dose,
            boil_gravity=boil_gravity,
            postboil_volume_l=postboil_volume_l,
            boiling_c=boiling_c,
        )
        for dose in doses
    )

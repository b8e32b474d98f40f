"""How a plan with the kettle as learned differs from the plan by its card."""

from collections.abc import Callable
from dataclasses import dataclass

from assistant.advice import figures
from assistant.advice.plan import Plan
from assistant.advice.timeline import Stage
from assistant.schedule.model import Units


@dataclass(frozen=True, kw_only=True)
class PlanFigure:
    """A figure of a plan by its name, in words, and the least difference worth a line."""

    name: str
    value: Callable[[Plan], float]
    words: Callable[[float, Units], str]
    least: float


@dataclass(frozen=True, kw_only=True)
class Differs:
    """A figure that is not the same in two plans, in words."""

    name: str
    by_card: str
    as_learned: str


def _pitch_min(plan: Plan) -> float:
    return next(stage.starts_min for stage in plan.stages if stage.stage == Stage.PITCH.value)


def _minutes(minutes: float, units: Units) -> str:
    return figures.duration(minutes * 60)


def _bitterness(ibu: float, units: Units) -> str:
    return f"{ibu:.0f} IBU"


def _alcohol(percent: float, units: Units) -> str:
    return f"{percent:.1f} %"


def _gravity(gravity: float, units: Units) -> str:
    return figures.gravity(gravity)


COMPARED = (
    PlanFigure(
        name="water in all",
        value=lambda plan: plan.total_water_l,
        words=figures.volume,
        least=0.15,
    ),
    PlanFigure(
        name="strike temperature",
        value=lambda plan: plan.strike_temperature_c,
        words=figures.temperature,
        least=0.25,
    ),
    PlanFigure(
        name="heating to strike",
        value=lambda plan: plan.strike_heat_minutes,
        words=_minutes,
        least=1.5,
    ),
    PlanFigure(
        name="volume before the boil",
        value=lambda plan: plan.preboil_volume_l,
        words=figures.volume,
        least=0.15,
    ),
    PlanFigure(
        name="gravity before the boil",
        value=lambda plan: plan.preboil_gravity,
        words=_gravity,
        least=0.0005,
    ),
    PlanFigure(
        name="original gravity",
        value=lambda plan: plan.original_gravity,
        words=_gravity,
        least=0.0005,
    ),
    PlanFigure(name="alcohol", value=lambda plan: plan.abv_percent, words=_alcohol, least=0.05),
    PlanFigure(name="bitterness", value=lambda plan: plan.ibu, words=_bitterness, least=0.5),
    PlanFigure(name="yeast pitched after", value=_pitch_min, words=_minutes, least=3.0),
)
"""What is compared, in the order of the day; what is worth a line is common practice, no source."""


def plan_changes(by_card: Plan, as_learned: Plan, units: Units) -> tuple[Differs, ...]:
    """What differs noticeably: by as much as is worth a line, and in words."""
    return tuple(
        Differs(name=figure.name, by_card=card, as_learned=learned)
        for figure in COMPARED
        if abs(figure.value(as_learned) - figure.value(by_card)) >= figure.least
        for card in [figure.words(figure.value(by_card), units)]
        for learned in [figure.words(figure.value(as_learned), units)]
        if card != learned
    )

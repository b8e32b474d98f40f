"""What was not as expected on a day and is worth learning from, with what it made of the beer."""

from collections.abc import Iterator, Mapping

from assistant.advice.learned import Trait
from assistant.advice.timeline import Stage
from assistant.day.state import Fate, State
from assistant.record.reporting.account import (
    AdditionAccount,
    Cause,
    Deviation,
    Off,
    Reason,
    Taught,
)
from assistant.record.reporting.followed import Held
from assistant.record.reporting.quantities import TRAIT_UNITS
from assistant.record.reporting.stages import longer_s

STAGE_S, STAGE_SHARE = 600.0, 0.2
"""A stage is worth a word where it took so much more or less time than planned: both of it."""

OWN_TIME = (Stage.GATHER, Stage.CLEAN)
"""Stages whose length is nobody's business but the brewer's."""

REST_K = 1.0
BOILED_MIN = 1.0
"""Late or early, or the boil longer or shorter after it went in: its share of the boil tells."""

WEIGHT_SHARE = 0.05

BEYOND = 1.0
"""A figure of the kettle this many of its spreads off what was expected taught something."""

TRAIT_CAUSES: Mapping[Trait, Cause] = {
    Trait.ABSORPTION: Cause.GRAIN,
    Trait.EXTRACT: Cause.EXTRACT,
    Trait.BOIL_OFF: Cause.BOIL_OFF,
    Trait.LEFT_BEHIND: Cause.LEFT_BEHIND,
}
"""The figures of the kettle that move the beer itself, each with the reason that tells how far."""


def deviations(
    state: State,
    additions: tuple[AdditionAccount, ...],
    held: tuple[Held, ...],
    taught: tuple[Taught, ...],
    reasons: tuple[Reason, ...],
) -> tuple[Deviation, ...]:
    """All of it, in the order of the day: the stages, the rests, the additions, the kettle."""
    return (
        *_stages(state),
        *_rests(held),
        *(found for line in additions for found in _addition(line)),
        *_kettle(taught, reasons),
    )


def _stages(state: State) -> Iterator[Deviation]:
    for stage, longer in longer_s(state).items():
        planned = state.plan.stage_minutes(stage) * 60
        if stage in OWN_TIME or abs(longer) < max(STAGE_S, STAGE_SHARE * planned):
            continue
        at_s = next(entry.at for entry in state.reached if entry.stage is stage)
        yield Deviation(
            off=Off.STAGE,
            name=stage.value,
            stage=stage,
            at_s=at_s,
            planned=planned,
            was=planned + longer,
            unit="s",
        )


def _rests(held: tuple[Held, ...]) -> Iterator[Deviation]:
    for rest in held:
        if abs(rest.mean_c - rest.wanted_c) >= REST_K:
            yield Deviation(
                off=Off.REST,
                name=rest.rest,
                at_s=rest.from_s,
                planned=rest.wanted_c,
                was=rest.mean_c,
                unit="degC",
            )


def _addition(line: AdditionAccount) -> Iterator[Deviation]:
    if line.fate is Fate.LEFT_OUT:
        lost = None if line.planned_ibu is None else -line.planned_ibu
        yield Deviation(
            off=Off.LEFT_OUT,
            name=line.name,
            planned=line.addition.weight_g,
            was=0.0,
            unit="g",
            ibu=lost,
        )
        return
    if line.planned_boiled_min is not None and line.boiled_min is not None:
        longer_min = line.boiled_min - line.planned_boiled_min
        if abs(longer_min) >= BOILED_MIN:
            yield Deviation(
                off=Off.MORE_BOIL if longer_min > 0 else Off.LESS_BOIL,
                name=line.name,
                at_s=line.in_s,
                planned=line.planned_boiled_min,
                was=line.boiled_min,
                unit="min",
                ibu=line.time_ibu,
            )
    if line.planned_g and abs(line.weight_g / line.planned_g - 1) >= WEIGHT_SHARE:
        share = line.weight_g / line.planned_g
        yield Deviation(
            off=Off.CHANGED,
            name=line.name,
            at_s=line.in_s,
            planned=line.planned_g,
            was=line.weight_g,
            unit="g",
            ibu=None if line.planned_ibu is None else line.planned_ibu * (share - 1),
        )


def _kettle(taught: tuple[Taught, ...], reasons: tuple[Reason, ...]) -> Iterator[Deviation]:
    by_cause = {reason.cause: reason for reason in reasons}
    for figure in taught:
        if abs(figure.value - figure.before) < BEYOND * figure.before_spread:
            continue
        reason = by_cause.get(TRAIT_CAUSES.get(figure.trait, Cause.REST))
        moved = reason if figure.trait in TRAIT_CAUSES else None
        yield Deviation(
            off=Off.KETTLE,
            name=figure.trait.value,
            trait=figure.trait,
            planned=figure.before,
            was=figure.value,
            unit=TRAIT_UNITS[figure.trait],
            volume_l=moved.volume_l if moved else None,
            gravity=moved.gravity if moved else None,
        )

"""The stages of a day and its great moments: when they were, and when they should have been."""

from collections.abc import Mapping

from assistant.advice.timeline import ORDER, Stage
from assistant.day.state import Reached, State
from assistant.record.reporting.account import Milestone, StageSpent

MILESTONES: Mapping[str, tuple[Stage, ...]] = {
    "Strike": (Stage.DOUGH_IN, Stage.MASH),
    "Boil": (Stage.BOIL,),
    "Flameout": (Stage.WHIRLPOOL, Stage.CHILL, Stage.TRANSFER),
    "Pitch": (Stage.CLEAN,),
}
"""The moments a brewer remembers a day by: planned where the first stage begins, reached with any.

The plan counts the yeast as pitched when the cleaning begins.
"""

PASSED_OVER_S = 1.0
"""A stage no longer than this was told of only when it was over: how long it took is not known."""

WORTH_NAMING_S = 180.0
"""A stage that took so much more or less than planned is named as a reason."""


def began_s(state: State) -> float:
    """The second at which the day began."""
    return state.reached[0].at if state.reached else 0.0


def ended_s(state: State) -> float:
    """When the day was finished, or how far it has come."""
    last = state.reached[-1] if state.reached else None
    return last.at if last is not None and last.stage is Stage.FINISHED else state.now_s


def planned_s(state: State, stage: Stage) -> float:
    """When a stage was to begin, counted from when the day really began."""
    starts_min = next(p.starts_min for p in state.plan.stages if p.stage == stage.value)
    return began_s(state) + starts_min * 60


def stages_spent(state: State) -> tuple[StageSpent, ...]:
    """Each stage and rest that was entered, in order; the end of the day has no length."""
    ends = (*(entry.at for entry in state.reached[1:]), state.now_s)
    spent = []
    for entry, until_s in zip(state.reached, ends, strict=False):
        over = entry.stage is Stage.FINISHED
        planned, with_heating = (None, False) if over else _length_s(state, entry)
        spent.append(
            StageSpent(
                stage=entry.stage,
                rest=entry.rest,
                from_s=entry.at,
                until_s=entry.at if over else until_s,
                planned_s=planned,
                with_heating=with_heating,
                open=entry is state.reached[-1] and not over,
            )
        )
    return tuple(spent)


def _length_s(state: State, entry: Reached) -> tuple[float, bool]:
    if entry.rest is None:
        return state.plan.stage_minutes(entry.stage) * 60, False
    rests = state.schedule.mash
    place = next((i for i, rest in enumerate(rests) if rest.name == entry.rest), 0)
    return rests[place].minutes * 60, place > 0


def milestones(state: State) -> tuple[Milestone, ...]:
    """Each great moment, planned and reached, with the stages that moved it."""
    found: list[Milestone] = []
    since = Stage.GATHER
    for name, stages in MILESTONES.items():
        reached = _reached_s(state.reached, stages)
        found.append(
            Milestone(
                name=name,
                planned_s=planned_s(state, stages[0]),
                reached_s=reached,
                because=() if reached is None else _longer(state, since, stages[0]),
            )
        )
        since = stages[0]
    return tuple(found)


def longer_s(state: State) -> dict[Stage, float]:
    """How much longer each stage took than planned; only of those that are over and known."""
    took: dict[Stage, float] = {}
    for spent in stages_spent(state):
        if not spent.open and spent.stage is not Stage.FINISHED:
            took[spent.stage] = took.get(spent.stage, 0.0) + spent.until_s - spent.from_s
    at_hand = state.reached[-1].stage if state.reached else None
    return {
        stage: seconds - state.plan.stage_minutes(stage) * 60
        for stage, seconds in took.items()
        if stage is not at_hand and seconds > PASSED_OVER_S
    }


def _longer(state: State, since: Stage, until: Stage) -> tuple[tuple[Stage, float], ...]:
    between = ORDER[ORDER.index(since) : ORDER.index(until)]
    longer = longer_s(state)
    return tuple(
        (stage, longer[stage])
        for stage in between
        if stage in longer and abs(longer[stage]) >= WORTH_NAMING_S
    )


def _reached_s(reached: tuple[Reached, ...], stages: tuple[Stage, ...]) -> float | None:
    """When one of the stages first began for good: not before the brewer last went back past it."""
    found: float | None = None
    for entry in reached:
        if ORDER.index(entry.stage) < ORDER.index(stages[0]):
            found = None
        elif entry.stage in stages and found is None:
            found = entry.at
    return found

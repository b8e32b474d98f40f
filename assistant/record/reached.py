"""What a day came to, beside what was planned: its figures and its great moments."""

from collections.abc import Mapping

from assistant.advice import figures
from assistant.advice.forecast import make_forecast
from assistant.advice.timeline import ORDER, Stage
from assistant.advice.wort_options import ADD_EXTRACT
from assistant.advice.worts import brewhouse_share
from assistant.brewing.errors import OutOfRange
from assistant.brewing.fermentation import abv_percent, final_gravity
from assistant.day.outlook import prospect
from assistant.day.quantities import Quantity
from assistant.day.state import Reached, State
from assistant.record.page import Clock

ON_TIME_S = 60.0

NONE = "-"

MILESTONES: Mapping[str, tuple[Stage, ...]] = {
    "Strike": (Stage.DOUGH_IN, Stage.MASH),
    "Boil": (Stage.BOIL,),
    "Flameout": (Stage.WHIRLPOOL, Stage.CHILL, Stage.TRANSFER),
    "Pitch": (Stage.CLEAN,),
}
"""The moments a brewer remembers a day by: planned where the first stage begins, reached with any.

The plan counts the yeast as pitched when the cleaning begins.
"""


def planned_s(state: State, stage: Stage, clock: Clock) -> float:
    """When a stage was to begin, in seconds of the day, counted from when the day really began."""
    starts_min = next(p.starts_min for p in state.plan.stages if p.stage == stage.value)
    return clock.at_s + starts_min * 60


def outcome_rows(state: State) -> list[tuple[str, str, str, str]]:
    """Each figure of the beer: planned, reached, and how it is known."""
    plan, units = state.plan, state.schedule.units
    made = make_forecast(state.batch, state.schedule, prospect(state), state.now_s)
    abv = _abv_percent(state, made.original_gravity)
    read_volume = _read_in_fermenter(state, Quantity.FERMENTER_VOLUME)
    read_gravity = _read_in_fermenter(state, Quantity.GRAVITY, Quantity.BRIX)
    return [
        ("", "planned", "reached", ""),
        (
            "Volume",
            figures.volume(plan.fermenter_volume_l, units),
            figures.volume(made.fermenter_volume_l, units),
            _known(read_volume),
        ),
        (
            "Original gravity",
            figures.gravity(plan.original_gravity),
            figures.gravity(made.original_gravity),
            _known(read_gravity),
        ),
        ("Bitterness", f"{plan.ibu:.0f} IBU", f"{made.ibu:.0f} IBU", _known(False)),
        (
            "Alcohol by volume",
            f"{plan.abv_percent:.1f} %",
            NONE if abv is None else f"{abv:.1f} %",
            "expected",
        ),
        (
            "Extract from the grist",
            _share(state, plan.fermenter_volume_l, plan.original_gravity),
            NONE
            if _extract_was_added(state)
            else _share(state, made.fermenter_volume_l, made.original_gravity),
            "in the fermenter",
        ),
    ]


def _share(state: State, volume_l: float, gravity: float) -> str:
    """What the fermenter holds of the grist's extract, in percent."""
    try:
        share = brewhouse_share(state.schedule, volume_l=volume_l, gravity=gravity)
    except OutOfRange:
        return NONE
    return f"{share * 100:.0f} %"


def _extract_was_added(state: State) -> bool:
    return any(taken.say == ADD_EXTRACT for taken in state.taken)


def _known(read: bool) -> str:
    return "by the readings" if read else "reckoned"


def _read_in_fermenter(state: State, *quantities: Quantity) -> bool:
    moved_s = next((r.at for r in reversed(state.reached) if r.stage is Stage.TRANSFER), None)
    return moved_s is not None and any(
        reading.quantity in quantities and reading.at >= moved_s for reading in state.readings
    )


def _abv_percent(state: State, original_gravity: float) -> float | None:
    """Alcohol to expect of a gravity, with the schedule's yeast and the plan's share of sugar.

    Sugar that goes into the fermenter is counted in as planned.
    """
    plan = state.plan
    original_gravity += plan.fermented_gravity - plan.original_gravity
    try:
        finish = final_gravity(
            original_gravity=original_gravity,
            attenuation=state.schedule.yeast.attenuation,
            sugar_share=plan.sugar_share,
        )
        return abv_percent(original_gravity, finish)
    except OutOfRange:
        return None


def milestone_rows(state: State, clock: Clock) -> list[tuple[str, str, str, str]]:
    """Each great moment by the clock: planned, reached, and how late."""
    rows = []
    for name, stages in MILESTONES.items():
        due_s = planned_s(state, stages[0], clock)
        reached_s = _reached_s(state.reached, stages)
        rows.append(
            (
                name,
                clock.time(due_s),
                NONE if reached_s is None else clock.time(reached_s),
                "" if reached_s is None else _late(reached_s - due_s),
            )
        )
    return rows


def _reached_s(reached: tuple[Reached, ...], stages: tuple[Stage, ...]) -> float | None:
    """When one of the stages first began for good: not before the brewer last went back past it."""
    found: float | None = None
    for entry in reached:
        if ORDER.index(entry.stage) < ORDER.index(stages[0]):
            found = None
        elif entry.stage in stages and found is None:
            found = entry.at
    return found


def _late(late_s: float) -> str:
    if abs(late_s) < ON_TIME_S:
        return "on time"
    return f"{figures.duration(abs(late_s))} {'late' if late_s > 0 else 'early'}"

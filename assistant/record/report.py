"""A page of one brew day: what was planned beside what came of it."""

from collections.abc import Mapping
from datetime import tzinfo

from assistant.advice import figures
from assistant.advice.mash_minerals import amount
from assistant.advice.timeline import Stage
from assistant.day.additions import BOIL_MOMENTS
from assistant.day.incidents import incident_words
from assistant.day.outlook import boiled_from_min
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.state import AdditionState, Fate, Reached, Reading, State
from assistant.day.wording import MOMENT_WORDS, STAGE_NAMES, addition_names
from assistant.record.journal import Day, DayStatus
from assistant.record.page import Clock, columns, paragraph, section
from assistant.record.reached import milestone_rows, outcome_rows, planned_s
from assistant.schedule.faults import harmless
from assistant.schedule.load import INLINE_KETTLE_NAME
from assistant.schedule.model import Addition, Moment, Units

STATUS_WORDS: Mapping[DayStatus, str] = {
    DayStatus.OPEN: "not finished yet",
    DayStatus.FINISHED: "finished",
    DayStatus.LEFT: "left unfinished",
}

FATE_WORDS: Mapping[Fate, str] = {
    Fate.PENDING: "not yet",
    Fate.DUE: "due, not in yet",
    Fate.LEFT_OUT: "left out",
}

ADDITION_STAGES: Mapping[Moment, Stage] = {
    Moment.FIRST_WORT: Stage.BOIL_UP,
    Moment.BOIL_START: Stage.BOIL,
    Moment.BEFORE_END: Stage.BOIL,
    Moment.FLAMEOUT: Stage.WHIRLPOOL,
    Moment.WHIRLPOOL: Stage.WHIRLPOOL,
}
"""The stage an addition goes in with, by the plan; one for the fermenter belongs to none."""


def report(state: State, day: Day, *, zone: tzinfo | None = None) -> str:
    """The page of a day as plain text, in the brewer's units and with the clock times of ``zone``.

    ``zone`` None is the zone of this machine. A day run with the clock sped up shows the times
    its own clock told.
    """
    began_s = state.reached[0].at if state.reached else 0.0
    clock = Clock(wall_s=day.began_wall, at_s=began_s, zone=zone)
    beer = outcome_rows(state) + milestone_rows(state, clock)
    lines = [
        *_head(state, day, clock),
        *section("Planned and reached", columns(beer)),
        *section("Stages", columns(_stages(state, clock)) if state.reached else ()),
        *section("Readings", columns(_readings(state, clock)) if state.readings else ()),
        *section(
            "Additions",
            columns(_additions(state, clock)) if state.additions or state.stirred else (),
        ),
        *section("Advice taken", _advice(state, clock)),
        *section("Notes", _notes(state, clock)),
        *section("The record and the clock", _incidents(state, clock)),
    ]
    return "\n".join(lines)


def _head(state: State, day: Day, clock: Clock) -> list[str]:
    schedule = state.schedule
    volume = figures.volume(schedule.volume_l, schedule.units)
    grain = figures.weight(schedule.grain_kg * 1000, schedule.units)
    kettle = schedule.kettle.name
    named = "" if kettle == INLINE_KETTLE_NAME else f", kettle {harmless(kettle)}"
    return [
        harmless(schedule.beer),
        f"Day {day.id}: {clock.moment(clock.at_s):%Y-%m-%d}, {clock.time(clock.at_s)} to "
        f"{clock.time(_end_s(state))}, {STATUS_WORDS[day.status]}",
        f"{volume} from {grain} of grain{named}",
        f"Schedule {harmless(day.schedule_path, 300)}",
    ]


def _end_s(state: State) -> float:
    last = state.reached[-1] if state.reached else None
    return last.at if last is not None and last.stage is Stage.FINISHED else state.now_s


def _stages(state: State, clock: Clock) -> list[tuple[str, str, str, str]]:
    rows = [("", "began", "took", "planned")]
    ends = [*(entry.at for entry in state.reached[1:]), state.now_s]
    for entry, end_s in zip(state.reached, ends, strict=True):
        name = STAGE_NAMES[entry.stage]
        if entry.rest is not None:
            name = f"{name}, {entry.rest}"
        over = entry.stage is Stage.FINISHED
        took = "" if over else figures.duration(end_s - entry.at)
        rows.append((name, clock.time(entry.at), took, "" if over else _length(state, entry)))
    return rows


def _length(state: State, entry: Reached) -> str:
    if entry.rest is None:
        return figures.duration(state.plan.stage_minutes(entry.stage) * 60)
    rests = state.schedule.mash
    place = next((i for i, rest in enumerate(rests) if rest.name == entry.rest), 0)
    length = figures.duration(rests[place].minutes * 60)
    return length if place == 0 else f"{length} and the heating"


def _readings(state: State, clock: Clock) -> list[tuple[str, str, str, str]]:
    units = state.schedule.units
    return [
        ("", "", "as said", "as kept"),
        *(
            (
                clock.time(reading.at),
                figures.sentence(QUANTITIES[reading.quantity].spoken),
                _said(reading, units),
                QUANTITIES[reading.quantity].show(reading.value, units),
            )
            for reading in state.readings
        ),
    ]


def _said(reading: Reading, units: Units) -> str:
    if reading.quantity is Quantity.BOILING:
        return "yes" if reading.said else "no"
    said = f"{figures.number(reading.said, 3)} {reading.said_unit}"
    if reading.said_unit == "SG":
        said = figures.gravity(reading.said)
    if reading.sample_c is None:
        return said
    return f"{said} at {figures.temperature_read(reading.sample_c, units)}"


def _additions(state: State, clock: Clock) -> list[tuple[str, str, str, str, str]]:
    schedule = state.schedule
    rows = [("", "weight", "planned", "", "went in"), *_minerals(state, clock)]
    names = addition_names(schedule)
    for name, addition, entry in zip(names, schedule.additions, state.additions, strict=True):
        weight = figures.weight(entry.weight_g, schedule.units)
        if entry.weight_g != addition.weight_g:
            weight += f" ({figures.weight(addition.weight_g, schedule.units)} planned)"
        rows.append((name, weight, *_planned_moment(state, addition, clock), _fate(entry)))
        if entry.in_at_s is not None:
            rows[-1] = (*rows[-1][:-1], _went_in(state, addition, entry.in_at_s, clock))
        for extra in entry.extra:
            went_in = _went_in(state, addition, extra.at_s, clock)
            more = figures.weight(extra.grams, schedule.units)
            rows.append((f"more {addition.name}", more, "", "", went_in))
    return rows


def _minerals(state: State, clock: Clock) -> list[tuple[str, str, str, str, str]]:
    """The salts and acids of the mash, as they went in or were left out."""
    return [
        (
            stirred.action.item or "",
            amount(stirred.action),
            "",
            "",
            "left out" if stirred.left_out else clock.time(stirred.at),
        )
        for stirred in state.stirred
    ]


def _fate(entry: AdditionState) -> str:
    return FATE_WORDS.get(entry.fate, "in")


def _planned_moment(state: State, addition: Addition, clock: Clock) -> tuple[str, str]:
    """When an addition was to go in: in words, and by the clock of the plan."""
    if addition.day is not None:
        return f"day {addition.day}", ""
    due_s = planned_s(state, ADDITION_STAGES[addition.moment], clock)
    if addition.minutes_before_end is None:
        return MOMENT_WORDS[addition.moment], clock.time(due_s)
    minutes = addition.minutes_before_end
    due_s += (state.schedule.boil_minutes - minutes) * 60
    return f"at {figures.number(minutes, 0)} minutes", clock.time(due_s)


def _went_in(state: State, addition: Addition, at_s: float, clock: Clock) -> str:
    if addition.moment not in BOIL_MOMENTS:
        return clock.time(at_s)
    return f"{clock.time(at_s)}, boiled {figures.duration(boiled_from_min(state, at_s) * 60)}"


def _advice(state: State, clock: Clock) -> list[str]:
    return [
        line
        for taken in state.taken
        for line in paragraph(
            clock.time(taken.at),
            f"{figures.sentence(taken.finding)}. Chosen: {taken.say}. Then: {taken.effect}.",
        )
    ]


def _notes(state: State, clock: Clock) -> list[str]:
    return [line for note in state.notes for line in paragraph(clock.time(note.at), note.text)]


def _incidents(state: State, clock: Clock) -> list[str]:
    return [
        line
        for incident in state.incidents
        for line in paragraph(clock.time(incident.at), incident_words(incident))
    ]

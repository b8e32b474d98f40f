"""Of whatever happened on a day, in whatever order, every form of its report can be made."""

import csv
import io
import json
from dataclasses import replace

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from reported_days import BEGAN
from small_day import small_schedule

from assistant.advice.plan import make_plan
from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.events import (
    CommandGiven,
    DayBegan,
    DayResumed,
    Event,
    HeardUnsurely,
    NoteTaken,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    Source,
    TaskDone,
    TimePassed,
)
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.state import State, new_day
from assistant.record.journal import Day, DayStatus
from assistant.record.reporting.account import Account, Figure
from assistant.record.reporting.as_csv import COLUMNS, as_csv
from assistant.record.reporting.as_json import as_json
from assistant.record.reporting.comparing import compared
from assistant.record.reporting.laying import laid_out
from assistant.record.reporting.making import account_of_events
from assistant.record.reporting.text import as_text
from assistant.schedule.model import Units

DAY = Day(
    id=1,
    began_wall=BEGAN,
    schedule_path="/beers/slipway.yaml",
    beer="Slipway Bitter",
    status=DayStatus.OPEN,
)
VALUES = st.sampled_from(
    [0.0, 1.0, 1.04, 1.05, 1.09, 5.4, 12.0, 18.0, 23.0, 63.0, 66.0, 70.0, 82.0, 99.6, 150.0]
)
GAPS_S = st.sampled_from([0.0, 5.0, 60.0, 300.0, 900.0, 3600.0, 3 * 86400.0])
READINGS = st.sampled_from(list(Quantity)).flatmap(
    lambda quantity: st.builds(
        ReadingTaken,
        at=st.just(0.0),
        quantity=st.just(quantity),
        value=VALUES,
        unit=st.sampled_from(QUANTITIES[quantity].units),
        source=st.sampled_from(Source),
    )
)
ONWARDS = (
    Command.SKIP,
    Command.GRAIN_IN,
    Command.BAG_OUT,
    Command.BOILING,
    Command.FLAME_OUT,
    Command.CHILLED,
    Command.PITCHED,
    Command.UNDO,
    Command.YES,
    Command.NO,
)
STEPS = st.lists(
    st.tuples(
        GAPS_S,
        st.one_of(
            READINGS,
            READINGS,
            st.builds(CommandGiven, at=st.just(0.0), command=st.sampled_from(Command)),
            st.builds(CommandGiven, at=st.just(0.0), command=st.sampled_from(ONWARDS)),
            st.builds(NumberSaid, at=st.just(0.0), value=VALUES),
            st.builds(NoteTaken, at=st.just(0.0), text=st.text(max_size=20)),
            st.builds(DayResumed, at=st.just(0.0)),
            st.builds(TimePassed, at=st.just(0.0)),
            st.builds(HeardUnsurely, at=st.just(0.0), meanings=st.tuples(READINGS, READINGS)),
            st.sampled_from(["option", "task"]),
        ),
    ),
    max_size=40,
)


def driven(steps: list[tuple[float, Event | str]]) -> tuple[State, list[Event]]:
    """The state and the events of a day on which these things happened in turn."""
    schedule = small_schedule()
    events: list[Event] = [DayBegan(at=0.0)]
    state, _ = advance(new_day(schedule, make_plan(schedule)), events[0])
    for gap_s, step in steps:
        at = state.now_s + gap_s
        if step == "option":
            options = state.advice.finding.options if state.advice else ()
            event: Event = OptionChosen(at=at, say=options[0].say if options else "heat")
        elif step == "task":
            event = TaskDone(at=at, task_id=state.tasks[0].id if state.tasks else 1)
        else:
            assert not isinstance(step, str)
            event = replace(step, at=at)
        events.append(event)
        state, _ = advance(state, event)
    return state, events


def no_such_figure(name: str) -> None:
    raise AssertionError(f"{name} is no figure")


def in_every_form(account: Account) -> None:
    text = as_text(laid_out(account))
    assert all(line.isprintable() for line in text.splitlines())
    json.loads(as_json(account), parse_constant=no_such_figure)
    rows = list(csv.reader(io.StringIO(as_csv(account))))
    assert {len(row) for row in rows} == {len(COLUMNS)}


@given(steps=STEPS)
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_every_form_can_be_made_of_any_day(steps: list[tuple[float, Event | str]]) -> None:
    _, events = driven(steps)
    account = account_of_events(DAY, small_schedule(), events)
    in_every_form(account)
    as_text(compared(account, account))


@given(steps=STEPS)
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_what_stands_on_record_is_what_was_not_taken_back(
    steps: list[tuple[float, Event | str]],
) -> None:
    state, events = driven(steps)
    account = account_of_events(DAY, small_schedule(), events, Units.US)
    kept = [seen.reading for seen in account.readings if seen.taken_back_s is None]
    assert kept == list(state.readings)
    times = [believed.at_s for believed in account.believed]
    assert times == sorted(times)


@given(steps=STEPS)
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_the_reasons_add_up_to_the_difference(steps: list[tuple[float, Event | str]]) -> None:
    _, events = driven(steps)
    account = account_of_events(DAY, small_schedule(), events)
    outcomes = {outcome.figure: outcome for outcome in account.outcomes}
    volume, bitterness = outcomes[Figure.VOLUME], outcomes[Figure.BITTERNESS]
    if any(reason.volume_l for reason in account.reasons):
        moved_l = sum(reason.volume_l for reason in account.reasons)
        assert abs(moved_l - (volume.reached - volume.planned)) < 0.5
    moved_ibu = sum(reason.ibu for reason in account.reasons)
    assert abs(moved_ibu - (bitterness.reached - bitterness.planned)) < 1.0
    brought = sum(line.ibu or 0.0 for line in account.additions)
    assert abs(brought - bitterness.reached) < 0.01

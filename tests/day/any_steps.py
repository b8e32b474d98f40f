"""Steps of a day in any order, possible and impossible, for hypothesis to draw."""

from dataclasses import replace

from hypothesis import strategies as st

from assistant.day.commands import Command
from assistant.day.events import (
    ClockJumped,
    CommandGiven,
    DayResumed,
    EarTroubled,
    Event,
    HeardUnsurely,
    Jump,
    Meaning,
    NoteTaken,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    RecordMended,
    RecordTrouble,
    RecordTroubled,
    SensorsTroubled,
    SensorTrouble,
    Source,
    TaskDone,
    TimePassed,
    TimerRequested,
    Trouble,
)
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.state import State
from assistant.day.timers import next_due_s

OPTIONS = (
    "leave it",
    "heat",
    "boiling water",
    "cold water",
    "boil longer",
    "boil shorter",
    "add extract",
    "add water",
    "top up",
    "more hops",
    "chill more",
    "stir it cool",
    "dance",
)
VALUES = st.one_of(
    st.sampled_from(
        [
            0.0,
            1.0,
            1.03,
            1.045,
            1.05,
            1.09,
            5.4,
            12.0,
            18.0,
            22.0,
            60.0,
            63.0,
            67.4,
            70.0,
            77.0,
            82.0,
            99.0,
            100.0,
            150.0,
            210.0,
        ]
    ),
    st.floats(min_value=-20, max_value=250),
)


NUMBERS = st.builds(
    NumberSaid, at=st.just(0.0), value=VALUES, unit=st.sampled_from([None, "degC", "L", "degP"])
)
READINGS = st.sampled_from(list(Quantity)).flatmap(
    lambda quantity: st.builds(
        ReadingTaken,
        at=st.just(0.0),
        quantity=st.just(quantity),
        value=VALUES,
        unit=st.sampled_from(QUANTITIES[quantity].units),
    )
)
MEANINGS: st.SearchStrategy[Meaning] = st.one_of(
    NUMBERS,
    READINGS,
    READINGS,
    st.builds(CommandGiven, at=st.just(0.0), command=st.sampled_from(Command)),
    st.builds(OptionChosen, at=st.just(0.0), say=st.sampled_from(OPTIONS)),
    st.builds(
        TimerRequested,
        at=st.just(0.0),
        seconds=st.sampled_from([90.0, 900.0, 3000.0, 1e9]),
        name=st.sampled_from(["timer", "yeast"]),
    ),
)
TO_A_DOUBT = (
    Command.YES,
    Command.NO,
    Command.FIRST,
    Command.SECOND,
    Command.THIRD,
    Command.UNDO,
    Command.SKIP,
    Command.STOP,
    Command.REPEAT,
)


INCIDENTS = st.one_of(
    st.builds(RecordTroubled, at=st.just(0.0), trouble=st.sampled_from(RecordTrouble)),
    st.builds(RecordMended, at=st.just(0.0), missing=st.integers(0, 40)),
    st.builds(
        ClockJumped,
        at=st.just(0.0),
        jump=st.sampled_from(Jump),
        seconds=st.sampled_from([12.0, 70.0, 7200.0, -3600.0]),
    ),
    st.builds(
        SensorsTroubled,
        at=st.just(0.0),
        trouble=st.sampled_from(SensorTrouble),
        quantity=st.sampled_from([None, *Quantity]),
    ),
)


@st.composite
def steps(draw: st.DrawFn) -> tuple[float, str, object]:
    wait_s = draw(st.sampled_from([0.0, 1.0, 15.0, 40.0, 130.0, 600.0, 3000.0, 20000.0]))
    kind = draw(
        st.sampled_from(
            [
                "time",
                "due",
                "command",
                "command",
                "task",
                "task",
                "reading",
                "number",
                "option",
                "timer",
                "note",
                "resume",
                "undo",
                "unsure",
                "unsure",
                "answer",
                "again",
                "trouble",
                "incident",
            ]
        )
    )
    match kind:
        case "command":
            return wait_s, kind, draw(st.sampled_from(sorted(Command, key=lambda c: c.value)))
        case "task":
            return wait_s, kind, draw(st.integers(0, 5))
        case "reading":
            quantity = draw(st.sampled_from(list(Quantity)))
            unit = draw(st.sampled_from([*QUANTITIES[quantity].units, "furlong"]))
            sample_c = draw(st.sampled_from([None, 20.0, 65.0, 400.0]))
            source = draw(st.sampled_from(list(Source)))
            return wait_s, kind, (quantity, draw(VALUES), unit, sample_c, source)
        case "number":
            return wait_s, kind, (draw(VALUES), draw(st.sampled_from([None, "degC", "L", "degP"])))
        case "option":
            return wait_s, kind, draw(st.sampled_from(OPTIONS))
        case "timer":
            return wait_s, kind, draw(st.sampled_from([0.0, 10.0, 600.0, 1e9]))
        case "note":
            return wait_s, kind, draw(st.text(max_size=20))
        case "unsure":
            return wait_s, kind, tuple(draw(st.lists(MEANINGS, max_size=4)))
        case "answer":
            return min(wait_s, 40.0), kind, draw(st.sampled_from(TO_A_DOUBT))
        case "again":
            return min(wait_s, 40.0), kind, draw(st.integers(0, 2))
        case "trouble":
            return wait_s, kind, draw(st.sampled_from(Trouble))
        case "incident":
            return wait_s, kind, draw(INCIDENTS)
    return wait_s, kind, None


def event_of(state: State, step: tuple[float, str, object]) -> Event:
    wait_s, kind, what = step
    at = state.now_s + wait_s
    match kind, what:
        case "due", _:
            return TimePassed(at=max(next_due_s(state) or at, state.now_s))
        case "command", Command():
            return CommandGiven(at=at, command=what)
        case "task", int():
            ids = [task.id for task in state.tasks] or [99999]
            return TaskDone(at=at, task_id=ids[what % len(ids)])
        case "reading", (quantity, value, unit, sample_c, source):
            return ReadingTaken(
                at=at, quantity=quantity, value=value, unit=unit, sample_c=sample_c, source=source
            )
        case "number", (value, unit):
            return NumberSaid(at=at, value=value, unit=unit)
        case "option", str():
            return OptionChosen(at=at, say=what)
        case "timer", float():
            return TimerRequested(at=at, seconds=what, name="yeast")
        case "note", str():
            return NoteTaken(at=at, text=what)
        case "unsure", tuple():
            return HeardUnsurely(at=at, meanings=what)
        case "answer", Command():
            return CommandGiven(at=at, command=what)
        case "again", int() if state.doubt is not None:
            return replace(state.doubt.meanings[what % len(state.doubt.meanings)], at=at)
        case "trouble", Trouble():
            return EarTroubled(at=at, trouble=what)
        case "incident", RecordTroubled() | RecordMended() | ClockJumped() | SensorsTroubled():
            return replace(what, at=at)
        case "resume", _:
            return DayResumed(at=at)
        case "undo", _:
            return CommandGiven(at=at, command=Command.UNDO)
    return TimePassed(at=at)


ANY_STEPS = st.lists(steps(), max_size=45)

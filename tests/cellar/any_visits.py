"""What may happen to a beer in any order, possible and impossible, for hypothesis to draw."""

from dataclasses import replace

from beers import beer, schedule_with
from hypothesis import strategies as st
from sample_files import SAMPLES

from assistant.cellar.beer import Beer
from assistant.cellar.events import BeerEvent, Errand, VisitBegan
from assistant.cellar.state import DAY_S, CellarState
from assistant.day.commands import Command
from assistant.day.events import (
    ClockJumped,
    CommandGiven,
    DayBegan,
    DayResumed,
    EarTroubled,
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
from assistant.day.wording import addition_names
from assistant.schedule import Schedule, load
from assistant.schedule.model import Glass, Package, PrimingSugar, Vessel

LAGER = "ferment: {at: 9 degC to 12 degC, for: 21 days}\n"
SUGAR = "  - {add: candy sugar, kind: sugar, weight: 500 g, at: day 3}\n"
TWO_HOPS = (
    "  - {add: Bramling, kind: hops, weight: 30 g, alpha: 6 %, at: day 4}\n"
    "  - {add: Bramling, kind: hops, weight: 20 g, alpha: 6 %, at: day 8}\n"
)
KEG = "package: {into: keg, carbonation: 2.5 vol}\n"

SCHEDULES: tuple[Schedule, ...] = (
    *(load(path) for path in sorted(SAMPLES.glob("*.yaml"))),
    schedule_with(LAGER),
    schedule_with(additions=SUGAR),
    schedule_with(LAGER, additions=SUGAR + TWO_HOPS),
    schedule_with("units: us\n" + KEG, additions=TWO_HOPS),
    schedule_with("ferment: {for: 3 days}\n"),
    replace(schedule_with(), additions=()),
)

BEERS: tuple[Beer, ...] = (
    beer(),
    beer(1.095),
    beer(1.030, volume_l=8.0),
    replace(beer(1.048), gravity_read=False, volume_read=False, original_brix=12.4, ibu=None),
    beer(1.012, 1.0115),
    beer(1.130, 1.036),
)

GRAVITIES = st.one_of(
    st.sampled_from([1.05, 1.03, 1.02, 1.014, 1.013, 1.012, 1.012, 1.012, 1.011, 1.010, 0.998]),
    st.floats(min_value=0.97, max_value=1.16),
)
ANY_VALUES = st.one_of(
    st.sampled_from([0.0, 1.0, 3.0, 6.0, 8.0, 12.0, 18.0, 19.5, 20.0, 24.0, 31.0, 39.0, 250.0]),
    st.floats(min_value=-50, max_value=1000),
)
OF_A_BEER = (
    Quantity.GRAVITY,
    Quantity.GRAVITY,
    Quantity.GRAVITY,
    Quantity.BRIX,
    Quantity.FERMENTER_TEMPERATURE,
    Quantity.FERMENTER_TEMPERATURE,
    Quantity.FERMENTER_VOLUME,
    Quantity.SLURRY_VOLUME,
)
COMMANDS = st.one_of(
    st.sampled_from(sorted(Command, key=lambda command: command.value)),
    st.sampled_from([Command.PACKAGED, Command.DONE, Command.HOPS_IN, Command.YES, Command.ADDED]),
)
PACKAGES = st.one_of(
    st.none(),
    st.builds(
        Package,
        into=st.sampled_from(Vessel),
        carbonation_vol=st.floats(min_value=0.5, max_value=5.0),
        sugar=st.sampled_from(PrimingSugar),
        glass=st.sampled_from(Glass),
    ),
)
VISITS = st.builds(
    VisitBegan,
    at=st.just(0.0),
    errand=st.sampled_from(Errand),
    package=PACKAGES,
    bottle_ml=st.sampled_from([None, 50.0, 330.0, 20_000.0]),
    serving_c=st.sampled_from([None, 0.0, 6.0, 25.0]),
    final_gravity=st.sampled_from([None, None, 0.98, 1.008, 1.011, 1.1]),
)
TO_A_DOUBT = (
    Command.YES,
    Command.NO,
    Command.FIRST,
    Command.SECOND,
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
        seconds=st.sampled_from([12.0, 7200.0, -3600.0]),
    ),
    st.builds(
        SensorsTroubled,
        at=st.just(0.0),
        trouble=st.sampled_from(SensorTrouble),
        quantity=st.sampled_from([None, Quantity.FERMENTER_TEMPERATURE, Quantity.GRAVITY]),
    ),
)
WAITS_S = st.sampled_from(
    [0.0, 1.0, 70.0, 3600.0, 0.4 * DAY_S, DAY_S, 2 * DAY_S, 3 * DAY_S, 5 * DAY_S, 40 * DAY_S]
)


def readings(quantities: st.SearchStrategy[Quantity]) -> st.SearchStrategy[ReadingTaken]:
    return quantities.flatmap(
        lambda quantity: st.builds(
            ReadingTaken,
            at=st.just(0.0),
            quantity=st.just(quantity),
            value=GRAVITIES if quantity is Quantity.GRAVITY else ANY_VALUES,
            unit=st.sampled_from(
                [QUANTITIES[quantity].unit] * 4 + [*QUANTITIES[quantity].units, "furlong"]
            ),
            sample_c=st.sampled_from([None, None, None, 20.0, 65.0, 400.0]),
            source=st.sampled_from(Source),
        )
    )


ORDERS = st.one_of(
    st.builds(
        CommandGiven,
        at=st.just(0.0),
        command=COMMANDS,
        subject=st.sampled_from([None, "Bramling", "candy sugar", "a goat"]),
    ),
    st.builds(CommandGiven, at=st.just(0.0), command=COMMANDS),
)
MEANINGS: st.SearchStrategy[Meaning] = st.one_of(
    st.builds(
        NumberSaid,
        at=st.just(0.0),
        value=st.one_of(GRAVITIES, ANY_VALUES),
        unit=st.sampled_from([None, "degC", "degF", "L", "degP", "mL"]),
    ),
    readings(st.sampled_from(OF_A_BEER)),
    ORDERS,
    st.builds(OptionChosen, at=st.just(0.0), say=st.sampled_from(["leave it", "dance"])),
    st.builds(
        TimerRequested, at=st.just(0.0), seconds=st.sampled_from([90.0, 1e9]), name=st.just("yeast")
    ),
)
MOMENTS: st.SearchStrategy[BeerEvent] = st.one_of(
    readings(st.sampled_from(OF_A_BEER)),
    readings(st.sampled_from(OF_A_BEER)),
    readings(st.sampled_from(list(Quantity))),
    MEANINGS,
    ORDERS,
    st.builds(CommandGiven, at=st.just(0.0), command=st.sampled_from(TO_A_DOUBT)),
    st.builds(CommandGiven, at=st.just(0.0), command=st.just(Command.UNDO)),
    st.builds(TaskDone, at=st.just(0.0), task_id=st.integers(0, 12)),
    st.builds(NoteTaken, at=st.just(0.0), text=st.text(max_size=20), dictated=st.booleans()),
    st.builds(
        HeardUnsurely,
        at=st.just(0.0),
        meanings=st.lists(MEANINGS, max_size=4).map(tuple),
    ),
    st.builds(EarTroubled, at=st.just(0.0), trouble=st.sampled_from(Trouble)),
    INCIDENTS,
    VISITS,
    st.builds(DayResumed, at=st.just(0.0)),
    st.builds(DayBegan, at=st.just(0.0)),
    st.builds(TimePassed, at=st.just(0.0)),
)

Step = tuple[float, BeerEvent]
ANY_VISITS = st.lists(st.tuples(WAITS_S, MOMENTS), max_size=25)
ANY_BEER = st.tuples(st.integers(0, len(SCHEDULES) - 1), st.integers(0, len(BEERS) - 1))
"""By its places in these, which tell a failing one apart in few words."""


def event_of(state: CellarState, step: Step) -> BeerEvent:
    """The step at its moment; a name that the schedule has stands for whichever it has."""
    wait_s, event = step
    if isinstance(event, CommandGiven) and event.subject == "Bramling":
        names = addition_names(state.schedule)
        event = replace(event, subject=names[-1] if names else None)
    return replace(event, at=state.now_s + wait_s)

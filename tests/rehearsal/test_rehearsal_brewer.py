"""The simulated brewer does what the program says, in whatever way it comes to say it."""

import random
from collections.abc import Sequence
from dataclasses import replace

import pytest

from assistant.advice.actions import Action, Do, Finding, Option
from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.events import Event, OptionChosen, ReadingTaken, TaskDone
from assistant.day.listening import listening
from assistant.day.quantities import Quantity
from assistant.day.state import Advice, Ask, Phase, State, Task, Timer, TimerKind, new_day
from assistant.hearing.words import understand
from assistant.rehearsal.brewer import Brewer
from assistant.rehearsal.habits import Habits
from assistant.rehearsal.instruments import Noise
from assistant.rehearsal.kettle import SimulatedKettle
from assistant.rehearsal.structure import Structure
from assistant.rehearsal.telling import InEvents, InWords, Telling
from assistant.rehearsal.truths import Truths
from assistant.schedule import Schedule

EXACT = Noise(thermometer_k=0.0, hydrometer=0.0, hydrometer_step=0.0005, volume_l=0.0)
HABITS = Habits(delay_s=(10.0, 10.0), at_once_s=(5.0, 5.0), sample_s=(180.0, 180.0), adding_s=0.0)
HEAT_FOR = Task(id=7, action=Action(do=Do.HEAT_FOR, seconds=60.0, power=0.5))


def brewer_of(
    beer: Schedule,
    telling: type[Telling] = InEvents,
    *,
    follow_advice: bool = True,
    structure: Structure | None = None,
) -> Brewer:
    kettle = SimulatedKettle.of(beer, Truths(), strike_l=27.3, structure=structure)
    kettle.pour(27.3, 66.0)
    kettle.grain_in(beer.grain_kg)
    kettle.run(3600)
    kettle.clock_s = 0.0
    return Brewer(
        beer,
        kettle,
        random.Random(1),
        follow_advice=follow_advice,
        forgets=(),
        habits=HABITS,
        noise=EXACT,
        telling=telling,
    )


def mashing(beer: Schedule) -> State:
    return replace(new_day(beer, make_plan(beer)), begun=True, stage=Stage.MASH)


def until(brewer: Brewer, state: State, at: float) -> list[str | Event]:
    """All the brewer tells while the state stays as it is."""
    told: list[str | Event] = []
    brewer.look(replace(state, now_s=brewer.kettle.clock_s))
    while brewer.next_act_s is not None and brewer.next_act_s <= at:
        now_s = brewer.next_act_s
        brewer.kettle.run(now_s - brewer.kettle.clock_s)
        told += brewer.act(replace(state, now_s=now_s))
    brewer.kettle.run(at - brewer.kettle.clock_s)
    return told


def test_heat_that_no_timer_watches_is_counted_by_the_brewer(amber: Schedule) -> None:
    brewer = brewer_of(amber)
    state = replace(mashing(amber), tasks=(HEAT_FOR,))
    assert until(brewer, state, 4) == []
    assert brewer.kettle.power_w == 0.0
    until(brewer, state, 6)
    assert brewer.kettle.power_w == pytest.approx(0.5 * 2800 * 0.91)
    assert until(brewer, state, 66) == [TaskDone(at=65.0, task_id=7)]
    assert brewer.kettle.power_w == 0.0


@pytest.mark.parametrize("task_stays_open", [False, True])
@pytest.mark.parametrize("acknowledged", [False, True])
def test_heat_goes_off_when_its_timer_is_due_whatever_becomes_of_the_rest(
    amber: Schedule, acknowledged: bool, task_stays_open: bool
) -> None:
    brewer = brewer_of(amber)
    timer = Timer(name="heat off", kind=TimerKind.BURST, due_s=90.0)
    state = replace(mashing(amber), tasks=(HEAT_FOR,), timers=(timer,))
    until(brewer, state, 90)
    assert brewer.kettle.power_w > 0.0
    tasks = state.tasks if task_stays_open else ()
    due = replace(state, tasks=tasks, timers=(replace(timer, phase=Phase.DUE, announced_s=90.0),))
    brewer.look(replace(due, now_s=90.0))
    until(brewer, replace(due, timers=()) if acknowledged else due, 96)
    assert brewer.kettle.power_w == 0.0
    assert brewer.kettle.lid_on


def test_heat_whose_task_is_taken_back_goes_off(amber: Schedule) -> None:
    brewer = brewer_of(amber)
    state = replace(mashing(amber), tasks=(HEAT_FOR,))
    until(brewer, state, 20)
    until(brewer, replace(state, tasks=()), 26)
    assert brewer.kettle.power_w == 0.0


def test_a_new_heat_is_not_put_out_by_the_end_of_the_one_before(amber: Schedule) -> None:
    brewer = brewer_of(amber)
    state = replace(mashing(amber), tasks=(HEAT_FOR,))
    until(brewer, state, 20)
    until(brewer, replace(state, tasks=(replace(HEAT_FOR, id=8),)), 40)
    assert brewer.kettle.power_w > 0.0


def test_heat_is_turned_down_when_its_task_says_so_and_kept_when_only_its_target_moves(
    amber: Schedule,
) -> None:
    brewer = brewer_of(amber)
    heat = Task(id=3, action=Action(do=Do.HEAT, to_c=70.0, power=1.0))
    until(brewer, replace(mashing(amber), tasks=(heat,)), 20)
    assert brewer.kettle.power_w == pytest.approx(2800 * 0.91)
    hotter = replace(heat, action=replace(heat.action, to_c=72.0))
    until(brewer, replace(mashing(amber), tasks=(hotter,)), 40)
    assert brewer.kettle.power_w == pytest.approx(2800 * 0.91)
    gentler = replace(heat, action=replace(heat.action, power=0.3))
    until(brewer, replace(mashing(amber), tasks=(gentler,)), 60)
    assert brewer.kettle.power_w == pytest.approx(0.3 * 2800 * 0.91)


def test_a_boil_is_turned_up_when_its_task_says_so(amber: Schedule) -> None:
    brewer = brewer_of(amber, structure=Structure(by_power=True))
    boil = Task(id=3, action=Action(do=Do.BOIL, power=0.7))
    state = replace(mashing(amber), stage=Stage.BOIL)
    until(brewer, replace(state, tasks=(boil,)), 20)
    assert brewer.kettle.power_w == pytest.approx(0.7 * 2800 * 0.91)
    harder = replace(boil, action=replace(boil.action, power=0.9))
    until(brewer, replace(state, tasks=(harder,)), 40)
    assert brewer.kettle.power_w == pytest.approx(0.9 * 2800 * 0.91)


def test_the_tap_is_shut_as_the_reading_shows_the_steep(amber: Schedule) -> None:
    brewer = brewer_of(amber)
    chill = Task(id=3, action=Action(do=Do.CHILL, to_c=60.0))
    state = replace(mashing(amber), stage=Stage.WHIRLPOOL, tasks=(chill,))
    until(brewer, state, 6)
    assert brewer.kettle.cooling is not None
    brewer.look(replace(state, tasks=(), now_s=6.0))
    assert brewer.kettle.cooling is None


def test_water_asked_for_without_any_advice_is_poured(amber: Schedule) -> None:
    brewer = brewer_of(amber)
    water = Task(id=4, action=Action(do=Do.ADD_WATER, litres=2.0, temperature_c=100.0))
    told = until(brewer, replace(mashing(amber), tasks=(water,)), 101)
    assert told == [TaskDone(at=100.0, task_id=4)]
    assert brewer.kettle.poured_l == pytest.approx(29.3)


def test_the_gravity_of_a_mash_is_that_of_the_wort_it_will_give(amber: Schedule) -> None:
    brewer = brewer_of(amber)
    ask = Ask(id=9, quantity=Quantity.GRAVITY, unit="SG", why="")
    (told,) = until(brewer, replace(mashing(amber), asks=(ask,)), 181)
    assert isinstance(told, ReadingTaken)
    kettle = brewer.kettle
    before = kettle.sample_gravity
    kettle.lift()
    assert before == kettle.gravity
    assert told.value == pytest.approx(kettle.gravity, abs=0.0015)


def advised(beer: Schedule, says: Sequence[str]) -> State:
    options = tuple(
        Option(say=say, phrase=say, action=Action(do=Do.LEAVE_IT), effect="") for say in says
    )
    finding = Finding(about="x", finding="x", options=options, recommended=says[0])
    return replace(mashing(beer), advice=Advice(id=2, finding=finding))


CHOICES = [
    (True, ("heat", "leave it"), OptionChosen(at=10.0, say="heat")),
    (False, ("heat", "leave it"), OptionChosen(at=10.0, say="leave it")),
    (False, ("heat", "cool"), "skip"),
]


@pytest.mark.parametrize(("follows", "says", "told"), CHOICES)
def test_a_brewer_who_takes_no_advice_leaves_it_or_skips_it(
    amber: Schedule, follows: bool, says: tuple[str, ...], told: str | Event
) -> None:
    brewer = brewer_of(amber, follow_advice=follows)
    assert until(brewer, advised(amber, says), 11) == [told]


def test_a_reading_nobody_can_take_is_not_skipped_while_that_would_drop_the_choice(
    amber: Schedule,
) -> None:
    brewer = brewer_of(amber, InWords)
    ask = Ask(id=9, quantity=Quantity.MASH_PH, unit="pH", why="")
    state = replace(advised(amber, ("heat", "leave it")), asks=(ask,))
    assert until(brewer, state, 15) == ["heat"]
    assert until(brewer, replace(state, advice=None), 31) == ["skip"]


def test_an_addition_told_by_its_number_is_told_to_be_in_once_it_is(amber: Schedule) -> None:
    brewer = brewer_of(amber)
    add = Action(do=Do.ADD, item="Northern Brewer", grams=24.0)
    state = replace(mashing(amber), stage=Stage.BOIL, tasks=(Task(id=5, action=add, index=0),))
    assert until(brewer, state, 11) == [TaskDone(at=10.0, task_id=5)]
    assert brewer.hands_at == {0: 10.0}
    assert brewer.kettle.bittering.hops[0].alpha_g == pytest.approx(24 * 0.084)


SAID = (
    Quantity.WATER_TEMPERATURE,
    Quantity.ROOM_TEMPERATURE,
    Quantity.TOP_UP_TEMPERATURE,
    Quantity.KETTLE_VOLUME,
    Quantity.GRAVITY,
    Quantity.BRIX,
)


@pytest.mark.parametrize("quantity", SAID)
def test_words_and_events_tell_the_same_reading(amber: Schedule, quantity: Quantity) -> None:
    # The hydrometer of words is read to 0.001.
    ask = Ask(id=9, quantity=quantity, unit="", why="")
    state = replace(mashing(amber), asks=(ask,))
    (event,) = until(brewer_of(amber), state, 181)
    (words,) = until(brewer_of(amber, InWords), state, 181)
    assert isinstance(event, ReadingTaken)
    assert isinstance(words, str)
    heard = understand(words, listening(state), event.at)
    assert isinstance(heard, ReadingTaken)
    assert (heard.quantity, heard.unit) == (event.quantity, event.unit)
    assert heard.value == pytest.approx(event.value, abs=0.0006)
    assert heard.sample_c == event.sample_c

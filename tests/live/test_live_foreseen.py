"""What will be said next is known before it is said, all the day long."""

from assistant.advice.plan import Plan
from assistant.advice.timeline import Stage
from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.effects import Effect, Say
from assistant.day.events import CommandGiven, DayBegan, EarTroubled, TimePassed, Trouble
from assistant.day.state import State, new_day
from assistant.day.timers import next_due_s
from assistant.foreseen import foreseen
from assistant.schedule import Schedule

MOST_STEPS = 200


def texts(effects: tuple[Effect, ...]) -> set[str]:
    return {effect.text for effect in effects if isinstance(effect, Say)}


def begun(amber: Schedule, amber_plan: Plan) -> State:
    return advance(new_day(amber, amber_plan), DayBegan(at=0.0))[0]


def test_each_prompt_of_a_day_was_foreseen_a_step_before(amber: Schedule, amber_plan: Plan) -> None:
    state, said = begun(amber, amber_plan), set[str]()
    for step in range(MOST_STEPS):
        command = Command.SKIP if step % 3 == 0 else Command.DONE
        likely = set(foreseen(state))
        state, effects = advance(state, CommandGiven(at=state.now_s + 1, command=command))
        assert texts(effects) <= likely
        said |= texts(effects)
        if state.stage is Stage.FINISHED:
            break
    assert state.stage is Stage.FINISHED
    assert len(said) > 20


def test_what_a_timer_will_say_is_foreseen(amber: Schedule, amber_plan: Plan) -> None:
    state = begun(amber, amber_plan)
    while (due_s := next_due_s(state)) is None:
        state, _ = advance(state, CommandGiven(at=state.now_s, command=Command.DONE))
    likely = set(foreseen(state))
    _, effects = advance(state, TimePassed(at=due_s))
    assert texts(effects)
    assert texts(effects) <= likely


def test_troubles_are_foreseen(amber: Schedule, amber_plan: Plan) -> None:
    state = begun(amber, amber_plan)
    _, effects = advance(state, EarTroubled(at=0.0, trouble=Trouble.MICROPHONE_GONE))
    assert texts(effects) <= set(foreseen(state))
    assert texts(effects)

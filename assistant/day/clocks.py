"""The clocks a brewer can stop: the rest, boil or steep at hand, and timers of their own."""

from dataclasses import replace

from assistant.advice import figures
from assistant.advice.happenings import boiling
from assistant.advice.timeline import Stage
from assistant.day import answers
from assistant.day.effects import TimerNews, Why
from assistant.day.state import TimerKind
from assistant.day.steeping import begin_steeping, cool_by_itself
from assistant.day.timers import pause_timers, resume_timers
from assistant.day.turn import Turn


def pause(turn: Turn, subject: str | None) -> None:
    """Stop the clock of the rest, boil or steep at hand."""
    if any(timer.left_s is not None for timer in turn.state.timers):
        turn.refuse("The clock stands already. Say carry on.")
        return
    if not turn.runs(TimerKind.REST, TimerKind.BOIL, TimerKind.STEEP, TimerKind.SETTLE):
        turn.refuse("No clock is running that could be paused.")
        return
    pause_timers(turn)
    state = turn.state
    if state.stage is Stage.BOIL and state.boil is not None:
        spell = (state.boil.start_s, turn.now_s)
        turn.change(
            boil=replace(
                state.boil,
                left_s=state.boil.end_s - turn.now_s,
                spells=(*state.boil.spells, spell),
            ),
            batch=boiling(state.batch, state.schedule, turn.now_s, on=False),
        )
        begin_steeping(turn, from_boil=True)
    turn.say("Paused. Say carry on.", Why.READBACK)


def carry_on(turn: Turn, subject: str | None) -> None:
    """Let the clock run again."""
    if not any(timer.left_s is not None for timer in turn.state.timers):
        turn.refuse("No clock is paused.")
        return
    resume_timers(turn)
    state = turn.state
    if state.boil is not None and state.boil.left_s is not None:
        cool_by_itself(turn)
        end_s = turn.now_s + state.boil.left_s
        turn.change(
            boil=replace(state.boil, start_s=turn.now_s, end_s=end_s, left_s=None),
            batch=boiling(turn.state.batch, state.schedule, turn.now_s, on=True),
        )
    answers.how_long(turn, None)


def cancel_timer(turn: Turn, subject: str | None) -> None:
    """Drop a timer of the brewer's own: the one named, else the latest."""
    own = [timer for timer in turn.state.timers if timer.kind is TimerKind.OWN]
    chosen = [timer for timer in own if subject is None or timer.name == subject]
    if not chosen:
        turn.refuse("There is no such timer of yours.")
        return
    name = chosen[-1].name
    turn.end_timers(lambda timer: timer.name == name, TimerNews.CANCELLED)
    turn.say(f"{figures.sentence(name)} cancelled.", Why.READBACK)

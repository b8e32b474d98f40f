"""Answers to what a brewer asks: how long, what's next, where are we, options, why and the like."""

from assistant.advice import figures
from assistant.advice.timeline import ORDER, Stage
from assistant.day.effects import Why
from assistant.day.hot_side import checklist, gathering
from assistant.day.rests import current_rest
from assistant.day.sayable import sayable
from assistant.day.state import Phase, Timer, TimerKind
from assistant.day.timer_kinds import audible
from assistant.day.timing import stage_ends
from assistant.day.turn import Turn, advice_words
from assistant.day.wording import ASK_WORDS, task_words

MAIN = (TimerKind.REST, TimerKind.BOIL, TimerKind.STEEP, TimerKind.SETTLE, TimerKind.STIR)

STAGE_WORDS = {
    Stage.GATHER: "getting ready",
    Stage.STRIKE: "heating the strike water",
    Stage.DOUGH_IN: "doughing in",
    Stage.MASH: "the mash",
    Stage.LIFT: "lifting the bag",
    Stage.BOIL_UP: "coming to the boil",
    Stage.BOIL: "the boil",
    Stage.WHIRLPOOL: "the whirlpool",
    Stage.CHILL: "chilling",
    Stage.TRANSFER: "the transfer",
    Stage.PITCH: "pitching",
    Stage.CLEAN: "cleaning",
    Stage.FINISHED: "finished",
}


def how_long(turn: Turn, subject: str | None) -> None:
    """How long is left: of the named timer, else of the main one, else of the stage."""
    state = turn.state
    if subject is not None:
        named = state.timer(subject)
        if named is not None:
            turn.say(f"{figures.sentence(_left(named, turn.now_s))}.", Why.ANSWER)
            return
    running = [timer for timer in audible(state) if timer.phase is not Phase.DUE]
    main = [timer for timer in running if timer.kind in MAIN]
    shown = [*main, *(timer for timer in running if timer.kind is TimerKind.OWN)]
    if not shown:
        left_s = stage_ends(state).at_s - turn.now_s
        length = f"about {figures.duration(left_s)}" if left_s >= 60 else "any moment now"
        turn.say(f"{figures.sentence(STAGE_WORDS[state.stage])}: {length}.", Why.ANSWER)
        return
    turn.say(
        f"{figures.sentence(', '.join(_left(timer, turn.now_s) for timer in shown[:3]))}.",
        Why.ANSWER,
    )


def whats_next(turn: Turn) -> None:
    """What comes next, with its time: the next two timers, else the stage to come."""
    state = turn.state
    running = [timer for timer in audible(state) if timer.phase is not Phase.DUE]
    running = [timer for timer in running if timer.left_s is None]
    if running:
        parts = [
            f"{timer.name} in {figures.duration(max(timer.due_s - turn.now_s, 0.0))}"
            for timer in sorted(running, key=lambda timer: timer.due_s)[:2]
        ]
        turn.say(f"{figures.sentence(', then '.join(parts))}.", Why.ANSWER)
        return
    later = ORDER[ORDER.index(state.stage) + 1]
    turn.say(f"Next: {STAGE_WORDS[later]}.", Why.ANSWER)


def where(turn: Turn) -> None:
    """The stage and what is waiting in it."""
    state = turn.state
    here = STAGE_WORDS[state.stage]
    if state.stage is Stage.MASH:
        here = f"{here}, {current_rest(state).name}"
    parts = [here]
    doubt = state.open_doubt()
    if gathering(state) and doubt is None:
        parts.append(checklist(state)[state.gathered].rstrip("."))
    elif doubt is not None:
        parts.append(doubt.text.rstrip("."))
    elif state.question is not None:
        parts.append(state.question.text.rstrip("."))
    elif state.asks:
        parts.append(ASK_WORDS[state.asks[0].quantity].rstrip("."))
    elif state.tasks:
        parts.append(task_words(state.tasks[0].action, turn.units))
    text = figures.sentence(": ".join(parts))
    turn.say(text if text.endswith("?") else f"{text}.", Why.ANSWER)


def repeat(turn: Turn) -> None:
    """The last thing said, again."""
    turn.say(turn.state.spoken or "Nothing has been said yet.", Why.ANSWER)


def help_words(turn: Turn) -> None:
    """What can be said at this stage, the most useful first."""
    turn.say(f"You can say: {', '.join(sayable(turn.state))}.", Why.ANSWER)


def options(turn: Turn) -> None:
    """The open advice, again."""
    if turn.state.advice is None:
        turn.say("Nothing is off that I know of.", Why.ANSWER)
    else:
        turn.say(advice_words(turn.state.advice.finding), Why.ANSWER)


def reason(turn: Turn) -> None:
    """Why the last advice was what it was, answered or not."""
    turn.say(turn.state.reason or "I have given no advice yet.", Why.ANSWER)


def _left(timer: Timer, now_s: float) -> str:
    if timer.left_s is not None:
        return f"{timer.name} paused at {figures.duration(timer.left_s)}"
    if timer.phase is Phase.DUE:
        return f"{timer.name} is due"
    return f"{timer.name}, {figures.duration(max(timer.due_s - now_s, 0.0))} left"

"""Speaking and hearing themselves: how the voice is to speak, silence, and troubles of the ear."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from assistant.day.commands import Command
from assistant.day.doubts import answer_wanted
from assistant.day.ear_troubles import Ear
from assistant.day.effects import Hushed, Say, VoiceChanged, Why
from assistant.day.events import Trouble
from assistant.day.manner import CHANGES, changed
from assistant.day.telling import Teller
from assistant.day.timers import due_timers
from assistant.day.turn import Turn
from assistant.day.unrest import put, stirred, unrest_of


def change_manner(command: Command) -> Callable[[Teller, str | None], None]:
    """The handler of a command that changes how the program speaks; the answer is spoken so."""
    change = CHANGES[command]

    def handle(turn: Teller, subject: str | None) -> None:
        manner = changed(turn.state.manner, change)
        if manner is None:
            turn.refuse(change.at_its_end)
            return
        turn.change(manner=manner)
        turn.effects.append(VoiceChanged(manner=manner))
        turn.say(change.said, Why.READBACK)

    return handle


def stop(turn: Turn, subject: str | None) -> None:
    """Silence what sounds; what is due is not repeated any more, but stays due."""
    turn.effects.append(Hushed())
    for timer in due_timers(turn.state):
        if timer.repeat_at_s is not None:
            turn.update_timer(replace(timer, repeat_at_s=None))


@dataclass(frozen=True, kw_only=True)
class TroubleSpec:
    """A trouble that comes or goes: the field of the ear that holds it, and what is said."""

    field: str
    begins: bool
    said: str
    why: Why


TROUBLES: Mapping[Trouble, TroubleSpec] = {
    Trouble.TOO_LOUD: TroubleSpec(
        field="too_loud",
        begins=True,
        said="It is too loud to trust my ears. Use short phrases, or the keyboard.",
        why=Why.CAUTION,
    ),
    Trouble.QUIET_AGAIN: TroubleSpec(
        field="too_loud", begins=False, said="I can hear you again.", why=Why.PROMPT
    ),
    Trouble.MICROPHONE_GONE: TroubleSpec(
        field="no_microphone",
        begins=True,
        said="The microphone is gone: I can't hear you. Use the keyboard.",
        why=Why.WARNING,
    ),
    Trouble.MICROPHONE_BACK: TroubleSpec(
        field="no_microphone",
        begins=False,
        said="The microphone is back.",
        why=Why.PROMPT,
    ),
    Trouble.VOICE_GONE: TroubleSpec(
        field="no_voice",
        begins=True,
        said="My voice is gone: watch the screen.",
        why=Why.WARNING,
    ),
    Trouble.VOICE_BACK: TroubleSpec(
        field="no_voice", begins=False, said="My voice is back.", why=Why.PROMPT
    ),
    Trouble.RECOGNISER_GONE: TroubleSpec(
        field="no_recogniser",
        begins=True,
        said="The recogniser has failed: I can't make out words. Use the keyboard.",
        why=Why.WARNING,
    ),
    Trouble.RECOGNISER_BACK: TroubleSpec(
        field="no_recogniser",
        begins=False,
        said="The recogniser is back.",
        why=Why.PROMPT,
    ),
}
"""Each is told once when it begins, and once when it is over."""

COMES_AND_GOES: Mapping[str, Say] = {
    "too_loud": Say(
        text="The noise comes and goes. Use short phrases, or the keyboard.", why=Why.CAUTION
    ),
    "no_microphone": Say(
        text="The microphone comes and goes. Look at its plug, or use the keyboard.",
        why=Why.WARNING,
    ),
    "no_voice": Say(text="My voice comes and goes: watch the screen.", why=Why.WARNING),
    "no_recogniser": Say(
        text="The recogniser comes and goes. Say it again, or use the keyboard.", why=Why.WARNING
    ),
}
"""What is said in place of all that, by field, once a trouble will not rest."""

SORRY = ("Sorry, say that again?", "Sorry, say that again?", "Type it, or say it later.")
"""What is said the first time something is not caught, the second and the third; then nothing."""


def troubled(turn: Turn, trouble: Trouble) -> None:
    """Tell of a trouble of the ear or the voice, without a word where it is known already.

    None of this is "the last thing said" that "repeat" says again, nor can it be taken back.
    """
    waiting = answer_wanted(turn.state) or bool(turn.state.asks)
    ear, said = after_trouble(turn.state.ear, trouble, turn.now_s, waiting=waiting)
    turn.change(ear=ear)
    turn.effects.extend(said)


def after_trouble(
    ear: Ear, trouble: Trouble, now_s: float, *, waiting: bool
) -> tuple[Ear, tuple[Say, ...]]:
    """The ear after a trouble, and what is said of it: nothing where it is known already.

    One that comes and goes, as with a loose plug, is told as that, once. ``waiting`` tells that
    an answer is waited for, without which it is no matter that something was not caught.
    """
    if trouble is Trouble.NOT_CAUGHT:
        return _not_caught(ear) if waiting else (ear, ())
    spec = TROUBLES[trouble]
    if getattr(ear, spec.field) is spec.begins:
        return ear, ()
    before = unrest_of(spec.field, ear.unrest)
    after = stirred(before, now_s)
    fields: dict[str, Any] = {spec.field: spec.begins, "unrest": put(after, ear.unrest)}
    changed_ear = replace(ear, **fields)
    if not after.told:
        return changed_ear, (Say(text=spec.said, why=spec.why),)
    return changed_ear, () if before.told else (COMES_AND_GOES[spec.field],)


def _not_caught(ear: Ear) -> tuple[Ear, tuple[Say, ...]]:
    before = ear.not_caught
    if before >= len(SORRY):
        return ear, ()
    why = Why.QUESTION if SORRY[before].endswith("?") else Why.ANSWER
    return replace(ear, not_caught=before + 1), (Say(text=SORRY[before], why=why),)

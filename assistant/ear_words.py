"""What the screen tells of the ear: what it does now, how loud it is, and what is wrong."""

from collections.abc import Sequence

from assistant.voice_news import EarStatus

METER_FROM_DB, METER_TO_DB = -70.0, -10.0
METER_COLUMNS = 12


def ear_words(status: EarStatus, troubles: Sequence[str]) -> tuple[str, ...]:
    """The lines for the screen: the state with a meter, then the ``troubles``."""
    state = ear_state(status)
    if listens(status):
        state = f"{meter(status.level_db, status.floor_db)} {state}"
    return (state, *troubles)


def meter(level_db: float, floor_db: float) -> str:
    """A level in dBFS as a bar, the noise floor marked in it: ``####|##.....``."""
    filled, floor = (round(share(db) * METER_COLUMNS) for db in (level_db, floor_db))
    bar = ["#" if column < filled else "." for column in range(METER_COLUMNS)]
    bar[min(floor, METER_COLUMNS - 1)] = "|"
    return "".join(bar)


def share(level_db: float) -> float:
    """How far a level in dBFS goes up a meter: 0 to 1."""
    found = (level_db - METER_FROM_DB) / (METER_TO_DB - METER_FROM_DB)
    return min(max(found, 0.0), 1.0)


def listens(status: EarStatus) -> bool:
    """Whether what is heard by now goes anywhere, so that a meter tells something."""
    return not status.deaf and not status.muted


def ear_state(status: EarStatus) -> str:
    """What the ear does, in a few words."""
    if status.deaf:
        return "keys only"
    if status.muted:
        return "speaking, not listening"
    if status.speaking:
        return "hearing you"
    if status.awaiting:
        return "listening for your answer"
    return 'say "kettle" first'

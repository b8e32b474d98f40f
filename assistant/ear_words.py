"""What the screen tells of the ear: what it does now, how loud it is, and what is wrong."""

from collections.abc import Sequence

from assistant.voice_news import EarStatus

METER_FROM_DB, METER_TO_DB = -70.0, -10.0
METER_COLUMNS = 12


def ear_words(status: EarStatus, troubles: Sequence[str]) -> tuple[str, ...]:
    """The lines for the screen: the state with a meter, then the ``troubles``."""
    return (_state(status), *troubles)


def meter(level_db: float, floor_db: float) -> str:
    """A level in dBFS as a bar, the noise floor marked in it: ``####|##.....``."""
    filled, floor = _place(level_db), _place(floor_db)
    bar = ["#" if column < filled else "." for column in range(METER_COLUMNS)]
    bar[min(floor, METER_COLUMNS - 1)] = "|"
    return "".join(bar)


def _state(status: EarStatus) -> str:
    if status.deaf:
        return "keys only"
    if status.muted:
        return "speaking, not listening"
    level = meter(status.level_db, status.floor_db)
    if status.speaking:
        return f"{level} hearing you"
    if status.awaiting:
        return f"{level} listening for your answer"
    return f'{level} say "kettle" first'


def _place(level_db: float) -> int:
    share = (level_db - METER_FROM_DB) / (METER_TO_DB - METER_FROM_DB)
    return round(min(max(share, 0.0), 1.0) * METER_COLUMNS)

"""What things are called in a report."""

from collections.abc import Mapping

from assistant.day.state import Fate
from assistant.record.kept import DayStatus
from assistant.record.reporting.account import Figure

STATUS_WORDS: Mapping[DayStatus, str] = {
    DayStatus.OPEN: "not finished yet",
    DayStatus.FINISHED: "finished",
    DayStatus.LEFT: "left unfinished",
}

FATE_WORDS: Mapping[Fate, str] = {
    Fate.PENDING: "not yet",
    Fate.DUE: "due, not in yet",
    Fate.LEFT_OUT: "left out",
}

FIGURE_NAMES: Mapping[Figure, str] = {
    Figure.VOLUME: "Volume",
    Figure.GRAVITY: "Original gravity",
    Figure.BITTERNESS: "Bitterness",
    Figure.ALCOHOL: "Alcohol by volume",
    Figure.EXTRACT: "Extract from the grist",
}

"""When the strike water is hot and the wort boils: as it was told on the way, and in truth."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum

from assistant.advice.actions import Do
from assistant.advice.timeline import Stage
from assistant.day.effects import ForecastChanged
from assistant.day.state import State

LEAST_AHEAD_S = 60.0
"""A prediction nearer to its event than this is not judged: a share of nothing is no measure."""

SETTLED_READINGS = 3
"""From this reading of a heating on, a prediction should be good."""

SLOPE_S = 120.0
"""Water whose heat went off just short of its target would have come there at its last pace."""

ABOUT = re.compile(
    r"[Aa]bout (?=\d)(?:(\d+) hours?)? ?(?:(\d+) minutes?)? ?(?:(\d+) seconds?)?[ .,m]"
)

Trace = Sequence[tuple[float, float]]


class Heating(Enum):
    """What is predicted, and by what; the value is its name in the table."""

    STRIKE = "strike forecast"
    STRIKE_SPOKEN = "strike spoken"
    BOIL = "boil forecast"
    BOIL_SPOKEN = "boil spoken"


FORECAST_NAMES = {Heating.STRIKE: "strike_at_s", Heating.BOIL: "boil_at_s"}
SPOKEN = {Stage.STRIKE: Heating.STRIKE_SPOKEN, Stage.BOIL_UP: Heating.BOIL_SPOKEN}


@dataclass(frozen=True, kw_only=True)
class Told:
    """A predicted moment: when it was told, for when, and after how many readings of the heating"""

    at_s: float
    told_s: float
    readings: int


class Heatings:
    """Follows a day's heatings; ``strike_s`` and ``boil_s`` are the true moments, once there."""

    def __init__(self, boiling_c: float) -> None:
        self.boiling_c = boiling_c
        self.strike_c: float | None = None
        self.strike_s: float | None = None
        self.boil_s: float | None = None
        self.readings = 0
        self.told: dict[Heating, list[Told]] = {heating: [] for heating in Heating}

    def passed(self, state: State, moments: Iterable[tuple[float, float]]) -> None:
        """Time has passed in a state: the true temperatures since then."""
        if state.stage is Stage.STRIKE:
            heats = [task.action.to_c for task in state.tasks if task.action.do is Do.HEAT]
            self.strike_c = heats[0] if heats else self.strike_c
        striking = self.strike_s is None and state.stage in (Stage.STRIKE, Stage.DOUGH_IN)
        for at, warm_c in moments:
            if striking and self.strike_c is not None and warm_c >= self.strike_c:
                self.strike_s, striking = at, False
            if self.boil_s is None and warm_c >= self.boiling_c:
                self.boil_s = at

    def stage(self, stage: Stage, trace: Trace) -> None:
        """A stage begins."""
        self.readings = 0
        if stage is Stage.MASH and self.strike_s is None and self.strike_c is not None:
            self.strike_s = _would_be_there_s(trace, self.strike_c)

    def forecast(self, told: ForecastChanged, at: float) -> None:
        """A forecast was told."""
        for heating, name in FORECAST_NAMES.items():
            moment_s = getattr(told, name, None)
            if moment_s is not None:
                self._tell(heating, at, moment_s)

    def said(self, stage: Stage, text: str, at: float) -> None:
        """Something was said."""
        found = ABOUT.search(text)
        if stage in SPOKEN and found is not None and any(found.groups()):
            hours, minutes, seconds = (int(part or 0) for part in found.groups())
            self._tell(SPOKEN[stage], at, at + 3600 * hours + 60 * minutes + seconds)

    def errors(self, heating: Heating) -> tuple[tuple[float, bool], ...]:
        """How far off each prediction was, in percent of the time to the event, and whether it was
        made from the third reading of its heating on.
        """
        truth_s = self.boil_s if heating in (Heating.BOIL, Heating.BOIL_SPOKEN) else self.strike_s
        if truth_s is None:
            return ()
        return tuple(
            (
                100 * (told.told_s - truth_s) / (truth_s - told.at_s),
                told.readings >= SETTLED_READINGS,
            )
            for told in self.told[heating]
            if truth_s - told.at_s >= LEAST_AHEAD_S
        )

    def _tell(self, heating: Heating, at: float, told_s: float) -> None:
        self.told[heating].append(Told(at_s=at, told_s=told_s, readings=self.readings))


def _would_be_there_s(trace: Trace, target_c: float) -> float | None:
    hottest_s, hottest_c = max(trace, key=lambda moment: moment[1], default=(0.0, 0.0))
    before = [moment for moment in trace if moment[0] <= hottest_s - SLOPE_S]
    if not before or before[-1][1] >= hottest_c:
        return None
    before_s, before_c = before[-1]
    return hottest_s + (target_c - hottest_c) * (hottest_s - before_s) / (hottest_c - before_c)

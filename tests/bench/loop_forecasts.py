"""The forecasts of a closed-loop day: how often their ranges hold what came to be."""

from collections.abc import Mapping
from enum import Enum

from assistant.advice.timeline import Stage
from assistant.day.effects import ForecastChanged


class Mark(Enum):
    """A moment of the day at which the forecast is looked at; the value is its name."""

    MASHED = "after mash"
    BOIL_START = "boil start"
    MID_BOIL = "mid boil"
    FLAMEOUT = "flameout"
    FERMENTER = "fermenter"


MARKS: Mapping[Stage, Mark] = {
    Stage.LIFT: Mark.MASHED,
    Stage.BOIL: Mark.BOIL_START,
    Stage.WHIRLPOOL: Mark.FLAMEOUT,
    Stage.PITCH: Mark.FERMENTER,
}


class Forecasts:
    """What was told of the day's end, and when. A moment that has come already is no forecast."""

    def __init__(self) -> None:
        self.told: list[tuple[float, ForecastChanged]] = []
        self.marks: dict[Mark, tuple[float, ForecastChanged]] = {}

    def tell(self, at: float, told: ForecastChanged) -> None:
        """A forecast is told."""
        self.told.append((at, told))

    def mark(self, mark: Mark, at: float, stands: ForecastChanged | None) -> None:
        """A moment has come at which the forecast stands like this."""
        if stands is not None:
            self.marks.setdefault(mark, (at, stands))

    def held(self, truth: Mapping[str, float]) -> dict[str, float]:
        """The share of the forecasts told whose range holds the truth, by its name."""
        shares = {}
        for name, value in truth.items():
            found = [
                _holds(told, name, value) for at, told in self.told if _ahead(told, name, value, at)
            ]
            if found:
                shares[name] = sum(found) / len(found)
        return shares

    def held_at_marks(self, truth: Mapping[str, float]) -> dict[tuple[str, str], bool]:
        """Whether the range at each mark holds the truth, by the mark's name and its own."""
        return {
            (mark.value, name): _holds(told, name, value)
            for mark, (at, told) in self.marks.items()
            for name, value in truth.items()
            if _ahead(told, name, value, at)
        }


def _ahead(told: ForecastChanged, name: str, value: float, at: float) -> bool:
    return name in told.low_high and not (name.endswith("_at_s") and at >= value)


def _holds(told: ForecastChanged, name: str, value: float) -> bool:
    low, high = told.low_high[name]
    return low <= value <= high

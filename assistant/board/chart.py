"""The chart of the kettle's temperature, as figures for a page to draw: plan, past and forecast."""

from collections.abc import Iterable
from typing import Any

from assistant.advice.planned_course import planned_course
from assistant.day.aim import IN_THE_KETTLE
from assistant.day.course import believed_c, expected_course, expected_targets, marks
from assistant.day.state import Reading, State
from assistant.schedule.model import Units
from assistant.schedule.units import convert

TRACED_EVERY_S = 20.0
MOST_TRACED = 1500
"""Eight hours and more; a longer day keeps every second of its points and so on."""

MOST_READINGS = 300


class Trace:
    """What the kettle was believed to be at through the day so far, a point every few seconds."""

    def __init__(self) -> None:
        self._points: list[tuple[float, float]] = []
        self._every_s = TRACED_EVERY_S

    @property
    def points(self) -> tuple[tuple[float, float], ...]:
        """Seconds of the day and °C, the oldest first."""
        return tuple(self._points)

    def add(self, state: State) -> None:
        """Take in the moment of a state, where the last one kept is long enough ago."""
        points, now_s = self._points, state.now_s
        if points and now_s - points[-1][0] < self._every_s:
            return
        temperature_c = believed_c(state)
        if temperature_c is None:
            return
        points.append((now_s, temperature_c))
        if len(points) > MOST_TRACED:
            self._points = points[::2]
            self._every_s *= 2


def chart(state: State, trace: Trace) -> dict[str, Any]:
    """The figures of the chart, in the brewer's units; moments are seconds of the day."""
    units = state.schedule.units
    began_s = state.reached[0].at if state.reached else 0.0
    planned = planned_course(state.schedule, state.plan)
    expected = expected_course(state)
    ends_s = max(
        state.now_s,
        *(began_s + point.at_s for point in planned[-1:]),
        *(point.at_s for point in expected[-1:]),
    )
    return {
        "unit": "°F" if units is Units.US else "°C",
        "ends_at": round(ends_s),
        "planned": [_point(began_s + p.at_s, (p.temperature_c,), units) for p in planned],
        "was": [_point(at_s, (warm_c,), units) for at_s, warm_c in trace.points],
        "expected": [_point(p.at_s, (p.temperature_c, p.low_c, p.high_c), units) for p in expected],
        "readings": [
            _point(reading.at, (reading.value,), units)
            for reading in _thinned(
                [r for r in state.readings if r.quantity in IN_THE_KETTLE], MOST_READINGS
            )
        ],
        "targets": [
            {
                "name": target.name,
                "from": round(target.from_s),
                "until": round(target.until_s),
                "low": _shown(target.low_c, units),
                "high": _shown(target.high_c, units),
            }
            for target in expected_targets(state)
        ],
        "marks": [
            {"at": round(mark.at_s), "name": mark.name, "done": mark.done} for mark in marks(state)
        ],
    }


def _point(at_s: float, temperatures_c: Iterable[float], units: Units) -> list[float]:
    return [round(at_s), *(_shown(each, units) for each in temperatures_c)]


def _shown(temperature_c: float, units: Units) -> float:
    shown = convert(temperature_c, "degC", "degF") if units is Units.US else temperature_c
    return round(shown, 1)


def _thinned(items: list[Reading], most: int) -> list[Reading]:
    step = -(-len(items) // most) if items else 1
    return items[::-1][::step][::-1]

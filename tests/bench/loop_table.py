"""The closed-loop benchmark's table: a row a measure, a column a set of days."""

import statistics
from collections.abc import Callable, Mapping, Sequence

from loop_day import DayResult
from loop_forecasts import Mark
from loop_heatings import Heating

GRAVITY_POINTS = 1.5
VOLUME_L = 0.4
PROMPT_S = 20.0
IBU_SHARE = 0.04

Days = Sequence[DayResult]


def percentile(values: Sequence[float], percent: float) -> float:
    """A percentile by linear interpolation; not a number of no values."""
    if not values:
        return float("nan")
    ordered = sorted(values)
    place = (len(ordered) - 1) * percent / 100
    low = int(place)
    high = min(low + 1, len(ordered) - 1)
    return ordered[low] + (ordered[high] - ordered[low]) * (place - low)


def _share(days: Days, good: Callable[[DayResult], bool]) -> str:
    return f"{100 * sum(good(day) for day in days) / len(days):.1f} %" if days else "-"


def _spread(values: Sequence[float], places: int) -> str:
    if not values:
        return "-"
    mean, deviation = statistics.fmean(values), statistics.pstdev(values)
    return f"{mean:+.{places}f} ± {deviation:.{places}f}"


def _mean_and_90(values: Sequence[float], places: int) -> str:
    if not values:
        return "-"
    return f"{statistics.fmean(values):.{places}f} / {percentile(values, 90):.{places}f}"


def _median_and_90(values: Sequence[float], places: int) -> str:
    if not values:
        return "-"
    return f"{percentile(values, 50):.{places}f} / {percentile(values, 90):.{places}f}"


def _mean_and_most(values: Sequence[int]) -> str:
    return f"{statistics.fmean(values):.1f} / {max(values)}" if values else "-"


def _in_gravity(day: DayResult) -> bool:
    return abs(day.gravity_points) <= GRAVITY_POINTS


def _in_volume(day: DayResult) -> bool:
    return abs(day.volume_l) <= VOLUME_L


def _additions(days: Days) -> list[float]:
    return [abs(off_s) for day in days for off_s in day.additions_s]


def _within(values: Sequence[float], most: float) -> str:
    return f"{100 * sum(v <= most for v in values) / len(values):.1f} %" if values else "-"


def _predictions(heating: Heating, *, settled: bool) -> Callable[[Days], str]:
    def row(days: Days) -> str:
        off = [
            abs(percent)
            for day in days
            for percent, late in day.predictions.get(heating, ())
            if late or not settled
        ]
        return _median_and_90(off, 1)

    return row


def _prediction_rows() -> dict[str, Callable[[Days], str]]:
    rows = {}
    for heating in Heating:
        rows[f"{heating.value}, % off: median / p90"] = _predictions(heating, settled=False)
        rows[f"  {heating.value}, from the third reading"] = _predictions(heating, settled=True)
    return rows


def _held(name: str) -> Callable[[Days], str]:
    def row(days: Days) -> str:
        shares = [day.held[name] for day in days if name in day.held]
        return f"{100 * statistics.fmean(shares):.1f} %" if shares else "-"

    return row


def _at_mark(mark: Mark, name: str) -> Callable[[Days], str]:
    def row(days: Days) -> str:
        found = [day.marks[mark.value, name] for day in days if (mark.value, name) in day.marks]
        return f"{100 * sum(found) / len(found):.0f}" if found else "-"

    return row


def _marks(name: str) -> Callable[[Days], str]:
    return lambda days: " ".join(_at_mark(mark, name)(days) for mark in Mark)


AT_MARKS = ("original_gravity", "fermenter_volume_l", "ibu", "pitch_at_s")
FORECAST = (*AT_MARKS[:-1], "strike_at_s", "boil_at_s", "pitch_at_s")
"""Of the moments only what was told before they came; strike and boil come before most marks."""

ROWS: Mapping[str, Callable[[Days], str]] = {
    "days": lambda days: str(len(days)),
    "gravity and volume right": lambda days: _share(
        days, lambda d: _in_gravity(d) and _in_volume(d)
    ),
    "  gravity within 1.5 points": lambda days: _share(days, _in_gravity),
    "  volume within 0.4 L": lambda days: _share(days, _in_volume),
    "  gravity off, points": lambda days: _spread([day.gravity_points for day in days], 2),
    "  volume off, L": lambda days: _spread([day.volume_l for day in days], 2),
    "rests off, K rms: mean / p90": lambda days: _mean_and_90([d.rest_rms_k for d in days], 2),
    "additions within 20 s": lambda days: _within(_additions(days), PROMPT_S),
    "  off, s: median / p90": lambda days: _median_and_90(_additions(days), 0),
    "bitterness within 4 %": lambda days: _within([abs(d.ibu_share) for d in days], IBU_SHARE),
    "  off, %: mean / p90": lambda days: _mean_and_90([100 * abs(d.ibu_share) for d in days], 1),
    "  off, %, signed": lambda days: _spread([100 * d.ibu_share for d in days], 1),
    "  true sum of the plan / plan.ibu": lambda days: _spread([d.ibu_plan_factor for d in days], 3),
    "pitched late, min: mean / p90": lambda days: _mean_and_90([d.late_min for d in days], 1),
    "asks a day: mean / most": lambda days: _mean_and_most([d.asks for d in days]),
    "advice a day: mean / most": lambda days: _mean_and_most([d.advice for d in days]),
    "bursts a day: mean / most": lambda days: _mean_and_most([d.bursts for d in days]),
    **_prediction_rows(),
    **{f"forecast holds {name}": _held(name) for name in FORECAST},
    **{f"  at marks, {name}, %": _marks(name) for name in AT_MARKS},
    "a reading takes, ms: p50 / p95 / max": lambda days: _latency(days),
    "CPU a day, s: mean / p90": lambda days: _mean_and_90([d.cpu_s for d in days], 2),
}


def _latency(days: Days) -> str:
    values = [ms for day in days for ms in day.reading_ms]
    if not values:
        return "-"
    return " / ".join(
        f"{v:.1f}" for v in (percentile(values, 50), percentile(values, 95), max(values))
    )


def table(columns: Mapping[str, Days]) -> list[str]:
    """The lines of the table; a day that got stuck counts in its own row only."""
    going = {name: [day for day in days if not day.stuck] for name, days in columns.items()}
    cells = {name: [row(days) for row in ROWS.values()] for name, days in going.items()}
    for name, days in columns.items():
        cells[name].append(str(sum(bool(day.stuck) for day in days)))
        cells[name].append(str(sum(len(day.refused) for day in days)))
    labels = [*ROWS, "days that got stuck", "events refused"]
    first = max(len(label) for label in labels)
    widths = {name: max(len(name), *(len(cell) for cell in cells[name])) for name in columns}
    lines = [" " * first + "  " + "  ".join(f"{name:>{widths[name]}}" for name in columns)]
    for place, label in enumerate(labels):
        row = "  ".join(f"{cells[name][place]:>{widths[name]}}" for name in columns)
        lines.append(f"{label:<{first}}  {row}")
    lines.append(f"The marks are {', '.join(mark.value for mark in Mark)}.")
    return lines

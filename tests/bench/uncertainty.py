"""How far each figure of the sample day's plan may be off: `python tests/bench/uncertainty.py`.

Thousands of true days (`true_day.py`) with the errors of a home (`home_errors.py`), the plan
followed and nothing corrected: where the truth lands if nobody reads or acts. The ranges hold the
middle 80 % of the days. A formula's own error is no draw: it stands as half of an 80 % range
("good to 20 %" is read so) and is added as the root of the sum of squares. Of mash pH there is no
row, since the sample tells nothing of its water; where it is known the forecast is good to 0.2.
"""

import math
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from home_errors import Array, What, drawn, sized
from true_day import Figure, disagreement, landed, planned

from assistant.advice.figures import number
from assistant.advice.forecast import make_forecast
from assistant.advice.plan import Plan, make_plan
from assistant.brewing.gravity import extract_kg
from assistant.day.outlook import prospect
from assistant.day.state import new_day
from assistant.schedule import load
from assistant.schedule.model import Schedule

SAMPLE = Path(__file__).parent.parent.parent / "schedules" / "breakwater-amber.yaml"
DRAWS = 4000
START, OTHER_START = 20, 21
"""Starts of the random numbers: the table's, and another to compare with."""

TAIL_PERCENT = 10.0
CHECKED = 100
LEAST_TOLD = 0.1
"""An error that makes less of a figure's variance is not told."""

READ_GRAVITY = 0.001
READ_VOLUME_L = 0.25

Columns = Mapping[Figure, Array]
Errors = Mapping[What, Array]
Range = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Row:
    """How a figure is said, how well a brewer can tell it, and how good its formula is.

    ``below`` and ``above`` are the halves of an 80 % range, of the figure as a share if ``share``.
    """

    said: Callable[[float], str]
    unit: str = ""
    told: str
    below: float = 0.0
    above: float = 0.0
    share: bool = False
    why: str = ""


def decimals(count: int) -> Callable[[float], str]:
    """Figures said to so many decimals."""
    return lambda value: f"{value:.{count}f}"


def hours(minutes: float) -> str:
    """``5:20``: hours and minutes, to five minutes."""
    whole, rest = divmod(round(minutes / 5) * 5, 60)
    return f"{whole}:{rest:02d}"


DEGREES = Row(
    said=lambda value: number(round(value * 2) / 2, 1),
    unit="°C",
    told="±0.5 °C",
    below=0.8,
    above=0.8,
    why="wetting warms the mash by some 0.8 °C and stirring cools it about as much "
    "(`strike_temperature_c`); both are left out",
)
LITRES = Row(said=decimals(1), unit="L", told=f"±{READ_VOLUME_L} L")
GRAVITY = Row(said=decimals(3), told=f"±{READ_GRAVITY}")
MINUTES = Row(said=decimals(0), unit="min", told="±1 min")

ROWS: Mapping[Figure, Row] = {
    Figure.STRIKE: DEGREES,
    Figure.LANDS: DEGREES,
    Figure.STRIKE_MINUTES: MINUTES,
    Figure.MASH: LITRES,
    Figure.PREBOIL: LITRES,
    Figure.PREBOIL_GRAVITY: GRAVITY,
    Figure.BOIL_UP: MINUTES,
    Figure.POSTBOIL: LITRES,
    Figure.ORIGINAL: GRAVITY,
    Figure.FERMENTER: LITRES,
    Figure.FINAL: GRAVITY,
    Figure.ABV: Row(
        said=decimals(1),
        unit="%",
        told="±0.2 %",
        below=0.03,
        above=0.03,
        share=True,
        why="Balling's relation within 3 % of 532 beers (Cutaia, Reid and Speers, J. Inst. Brew. "
        "115 (2009), means of five sets)",
    ),
    Figure.IBU: Row(
        said=decimals(0),
        unit="IBU",
        told="laboratory",
        below=0.25,
        above=0.25,
        share=True,
        why="Tinseth's equation good to 20 to 30 % of the laboratory's (from memory, unchecked)",
    ),
    Figure.COLOUR: Row(
        said=decimals(0),
        unit="EBC",
        told="by eye",
        below=0.20,
        above=0.20,
        share=True,
        why="Morey's equation good to 20 % (from memory, unchecked)",
    ),
    Figure.RATE: Row(
        said=decimals(2),
        unit="M/mL/°P",
        told="microscope",
        below=0.25,
        above=0.42,
        share=True,
        why="dry yeast of six strains had 8 to 18 billion cells a gram where 12 are taken (Van den "
        "Berg and Van Landschoot, Cerevisia 28(3) (2003), from a quotation); 9 to 17 is the middle "
        "80 % of that",
    ),
    Figure.CARBONATION: Row(
        said=decimals(1),
        unit="vol",
        told="by mouth",
        below=0.12,
        above=0.05,
        why="yeast keeps 5 to 10 % of the sugar (Balling); figures for the gas left in the beer "
        "differ by 0.05 volumes (`residual_co2_vol`)",
    ),
    Figure.PITCHED: Row(said=hours, unit="h", told="±1 min"),
}


def one_day(errors: Errors, index: int) -> dict[What, list[float]]:
    """The errors of one of the days."""
    return {what: values[index].tolist() for what, values in errors.items()}


def days(schedule: Schedule, plan: Plan, errors: Errors) -> Columns:
    """Each figure of as many true days as there are errors."""
    count = len(errors[What.MARKS])
    made = [landed(schedule, plan, one_day(errors, index)) for index in range(count)]
    return {figure: np.array([day[figure] for day in made]) for figure in Figure}


def middle(values: Array) -> Range:
    """The range of the middle 80 %."""
    low, high = np.percentile(values, [TAIL_PERCENT, 100.0 - TAIL_PERCENT])
    return float(low), float(high)


def with_formula(values: Array, row: Row) -> Range:
    """The range with the formula's own error added in quadrature, each side by itself."""
    (low, high), median = middle(values), float(np.median(values))
    scale = median if row.share else 1.0
    return (
        median - math.hypot(median - low, row.below * scale),
        median + math.hypot(high - median, row.above * scale),
    )


def mostly(values: Array, unit_errors: Errors) -> str:
    """The errors that make most of a figure's scatter, each with its share of the variance."""
    shares = {
        what: sum(float(np.corrcoef(column, values)[0, 1]) ** 2 for column in columns.T)
        for what, columns in unit_errors.items()
    }
    greatest = sorted(shares, key=lambda what: -shares[what])[:2]
    told = [what for what in greatest if shares[what] >= LEAST_TOLD]
    return ", ".join(f"{what.value} {shares[what]:.0%}" for what in told)


def spoken(row: Row, ends: Range) -> str:
    """``19.3 to 20.6``."""
    return f"{row.said(ends[0])} to {row.said(ends[1])}"


def compared(one: Columns, other: Columns) -> str:
    """How far the ends of two runs' ranges lie apart, against the ranges and as they are said."""
    gaps, said_apart = {}, 0
    for figure, row in ROWS.items():
        ends, others = middle(one[figure]), middle(other[figure])
        apart = [abs(a - b) for a, b in zip(ends, others, strict=True)]
        gaps[figure] = max(apart) / (ends[1] - ends[0])
        said_apart += sum(row.said(a) != row.said(b) for a, b in zip(ends, others, strict=True))
    worst = max(gaps, key=lambda figure: gaps[figure])
    return (
        f"ends lie apart by {gaps[worst]:.1%} of a range at most ({worst.value}); "
        f"{said_apart} of {2 * len(ROWS)} are said otherwise"
    )


def efficiency_read(plan: Plan, efficiency: float) -> float:
    """How far one day's hydrometer and marks may tell the extract efficiency wrong, both at worst.

    As a share of the potential, like the efficiency; the two as the root of the sum of squares.
    """
    gravity, volume_l = plan.preboil_gravity, plan.preboil_volume_l
    by_gravity = extract_kg(volume_l, gravity + READ_GRAVITY) / extract_kg(volume_l, gravity) - 1.0
    return efficiency * math.hypot(by_gravity, READ_VOLUME_L / volume_l)


def program_ranges(schedule: Schedule, plan: Plan) -> Mapping[Figure, Range]:
    """The 80 % ranges the program itself tells as the day begins."""
    state = new_day(schedule, plan)
    told = make_forecast(state.batch, schedule, prospect(state), 0.0).low_high
    pitched = tuple(end_s / 60 for end_s in told["pitch_at_s"])
    return {
        Figure.ORIGINAL: told["original_gravity"],
        Figure.FERMENTER: told["fermenter_volume_l"],
        Figure.IBU: told["ibu"],
        Figure.PITCHED: (pitched[0], pitched[1]),
    }


def table(
    schedule: Schedule, plan: Plan, measured: Columns, first_brew: Columns, unit_errors: Errors
) -> list[str]:
    """The lines of the table."""
    layout = "{:<26} {:>12} {:<16} {:<16} {:<20} {:<11} {}"
    head = ("", "plan", "kettle measured", "first brew", "with formula's error", "can be told")
    lines, by_plan = [layout.format(*head, "mostly from")], planned(schedule, plan)
    for figure, row in ROWS.items():
        formula = spoken(row, with_formula(measured[figure], row)) if row.why else ""
        lines.append(
            layout.format(
                figure.value,
                f"{row.said(by_plan[figure])} {row.unit}".rstrip(),
                spoken(row, middle(measured[figure])),
                spoken(row, middle(first_brew[figure])),
                formula,
                row.told,
                mostly(measured[figure], unit_errors),
            )
        )
    return lines


def notes(schedule: Schedule, plan: Plan) -> list[str]:
    """What stands below the table."""
    lines = ["", "The formulas' own errors, added to the kettle measured:"]
    for why in dict.fromkeys(row.why for row in ROWS.values() if row.why):
        names = " and ".join(figure.value for figure, row in ROWS.items() if row.why == why)
        lines.append(f"  {names}: {why}.")
    lines += ["", "The program's own ranges as the day begins:"]
    for figure, ends in program_ranges(schedule, plan).items():
        lines.append(f"  {figure.value}: {spoken(ROWS[figure], ends)} {ROWS[figure].unit}".rstrip())
    read = 100 * efficiency_read(plan, schedule.kettle.extract_efficiency)
    lines += ["", f"One day's readings before the boil tell the efficiency to ±{read:.1f} points."]
    return lines


def main() -> None:
    """Print the table."""
    began = time.perf_counter()
    schedule = load(SAMPLE)
    plan = make_plan(schedule)
    runs, worst = [], 0.0
    unit_errors = drawn(schedule, DRAWS, START)
    for drawn_errors in (unit_errors, drawn(schedule, DRAWS, OTHER_START)):
        for first_brew in (False, True):
            errors = sized(drawn_errors, first_brew=first_brew)
            runs.append(days(schedule, plan, errors))
            checked = (disagreement(schedule, plan, one_day(errors, i)) for i in range(CHECKED))
            worst = max(worst, *checked)
    measured, first, measured_again, first_again = runs
    lines = [
        f"{schedule.beer}, {DRAWS} days: where the truth lands if nothing is corrected, "
        "8 days of 10",
        "",
        *table(schedule, plan, measured, first, unit_errors),
        *notes(schedule, plan),
        f"The plan for the true volume and the day's sums differ by {worst:.0e} at most.",
        f"Another {DRAWS} days, kettle measured: {compared(measured, measured_again)}.",
        f"Another {DRAWS} days, first brew: {compared(first, first_again)}.",
        f"{time.perf_counter() - began:.0f} s",
    ]
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()

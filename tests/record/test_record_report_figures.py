"""Figures of a report in the brewer's units, and the points that its charts draw."""

import math
from dataclasses import replace
from functools import cache

import pytest
from reported_days import BEGAN
from small_day import morning, small_schedule, whole_day

from assistant.advice.batch import Place
from assistant.advice.learned import Trait
from assistant.advice.planned_course import Point
from assistant.day.quantities import Quantity
from assistant.record.journal import Day, DayStatus
from assistant.record.page import Clock
from assistant.record.reporting.account import Account
from assistant.record.reporting.charts import draw
from assistant.record.reporting.drawing import PAPER, drawing
from assistant.record.reporting.followed import Believed
from assistant.record.reporting.making import account_of_events
from assistant.record.reporting.quantities import trait_words
from assistant.record.reporting.section import Chart
from assistant.record.reporting.through_the_day import planned_c
from assistant.record.reporting.traces import believed_line, dots
from assistant.schedule.model import Units

DAY = Day(
    id=1,
    began_wall=BEGAN,
    schedule_path="/beers/beer.yaml",
    beer="a beer",
    status=DayStatus.FINISHED,
)


@cache
def small() -> Account:
    day = whole_day(small_schedule())
    return account_of_events(DAY, day.schedule, day.events)


@pytest.mark.parametrize(
    ("trait", "value", "metric", "us"),
    [
        (Trait.HEAT_LOSS, 3.6, "3.6 W/degC", "2 W/degF"),
        (Trait.HEAT_CAPACITY, 3600.0, "3.6 kJ/degC", "2 kJ/degF"),
        (Trait.BOIL_OFF, 3.785, "3.8 L/h", "1 gal/h"),
        (Trait.ABSORPTION, 1.043, "1.04 L/kg", "0.5 qt/lb"),
        (Trait.LEFT_BEHIND, 1.893, "1.9 litres", "2 quarts"),
        (Trait.EXTRACT, 0.724, "72 %", "72 %"),
        (Trait.COAST, 8.0, "8 seconds", "8 seconds"),
        (Trait.LANDING, -1.67, "1.5 degrees cool", "3 degrees cool"),
    ],
)
def test_a_figure_of_the_kettle_is_in_the_brewers_units(
    trait: Trait, value: float, metric: str, us: str
) -> None:
    assert trait_words(trait, value, Units.METRIC) == metric
    assert trait_words(trait, value, Units.US) == us


def test_the_plan_lies_between_its_points() -> None:
    course = (Point(at_s=0.0, temperature_c=10.0), Point(at_s=600.0, temperature_c=40.0))
    assert [planned_c(course, at_s) for at_s in (0.0, 200.0, 600.0, 601.0)] == [10, 20, 40, None]


def test_a_line_breaks_where_the_wort_goes_elsewhere_and_where_nothing_is_believed() -> None:
    def at(at_s: float, volume_l: float | None, place: Place) -> Believed:
        return Believed(at_s=at_s, temperature_c=None, volume_l=volume_l, gravity=None, place=place)

    believed = (
        at(0.0, None, Place.MASH),
        at(60.0, 24.0, Place.MASH),
        at(120.0, 22.0, Place.KETTLE),
        at(180.0, 21.0, Place.KETTLE),
    )
    with drawing(4.0, 3.0) as figure:
        axes = figure.add_subplot()
        believed_line(axes, believed, lambda b: b.volume_l, lambda litres: litres * 10)
        drawn = [float(y) for y in axes.lines[0].get_ydata()]
    assert [y for y in drawn if not math.isnan(y)] == [240.0, 220.0, 210.0]
    assert [place for place, y in enumerate(drawn) if math.isnan(y)] == [0, 2]


def test_a_reading_is_a_dot_and_one_taken_back_a_cross() -> None:
    first, *others = (s for s in small().readings if s.reading.quantity is Quantity.GRAVITY)
    readings = (replace(first, taken_back_s=first.reading.at + 60.0), *others)
    with drawing(4.0, 3.0) as figure:
        axes = figure.add_subplot()
        dots(axes, readings, (Quantity.GRAVITY,), lambda seen: seen.reading.value)
        drawn = {line.get_marker(): list(line.get_ydata()) for line in axes.lines}
    assert drawn == {"x": [first.reading.value], "o": [s.reading.value for s in others]}


def test_a_chart_has_its_degrees_in_the_units_it_names() -> None:
    clock = Clock(wall_s=BEGAN, at_s=0.0)
    us = replace(small(), schedule=replace(small().schedule, units=Units.US))
    drawn = draw(Chart.TEMPERATURE, us, clock, PAPER)
    assert ">°F<" in drawn
    assert ">200<" in drawn
    assert ">200<" not in draw(Chart.TEMPERATURE, small(), clock, PAPER)


def test_how_long_a_brewer_gets_ready_or_cleans_is_no_deviation() -> None:
    day = morning(small_schedule())
    late = [replace(event, at=event.at + (0.0 if event.at < 600 else 3600)) for event in day.events]
    told = account_of_events(DAY, day.schedule, late)
    assert told.stages[0].until_s - told.stages[0].from_s > 4000
    assert "gather" not in [each.name for each in told.deviations]

"""``kettleside tend`` and ``kettleside package``: the weeks after a brew day."""

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from assistant.brew_command import voice_wanted
from assistant.command_options import data_option, engine_option, units_option
from assistant.command_steps import STOPPED, ended_in_words, fail, opened_journal, sensors_or_fail

if TYPE_CHECKING:
    from assistant.cellar.events import VisitBegan
    from assistant.cellar.state import CellarState
    from assistant.record.beers import BeerOnRecord
    from assistant.record.journal import Journal
    from assistant.schedule.model import Package

Command = Callable[..., None]


def _visit_options(command: Command) -> Command:
    """What both commands take."""
    for option in reversed(
        (
            click.argument("day", type=int, required=False),
            click.option("--pipe", is_flag=True, help="Drive it by JSON lines on standard input."),
            click.option(
                "--voice/--no-voice",
                default=None,
                help="Speak and listen, or keys only.  [default: voice, but not at a --speed]",
            ),
            click.option(
                "--speed",
                type=click.FloatRange(min=1, max=100_000),
                default=1.0,
                show_default=True,
                help="Run the clock this many times as fast, for trying things.",
            ),
            click.option("--final", metavar="SG", help="The final gravity a trial has shown."),
            click.option(
                "--sensors",
                type=click.Path(path_type=Path, dir_okay=False),
                help="Take readings by MQTT, as this file says; needs kettleside[mqtt].",
            ),
            engine_option,
            units_option,
            data_option,
        )
    ):
        command = option(command)
    return command


@click.command()
@_visit_options
def tend(
    day: int | None,
    pipe: bool,
    voice: bool | None,
    speed: float,
    final: str | None,
    sensors: Path | None,
    engine: str | None,
    units: str | None,
    data: Path | None,
) -> None:
    """Read a fermenting beer, and hear how far it has come and what is due.

    DAY is the number of its brew day; without it, the newest beer that is not packaged.
    """
    from assistant.cellar.events import Errand, VisitBegan

    errand = VisitBegan(at=0.0, errand=Errand.TEND, final_gravity=_gravity(final))
    _visit(day, lambda state: errand, pipe, voice, speed, sensors, engine, units, data)


@click.command()
@_visit_options
@click.option("--into", type=click.Choice(["bottles", "keg"]), help="Else as in the schedule.")
@click.option("--carbonation", metavar="VOL", help="Volumes of gas; else as in the schedule.")
@click.option(
    "--sugar",
    type=click.Choice(["sucrose", "glucose", "glucose monohydrate"]),
    help="What primes the bottles; else as in the schedule.",
)
@click.option("--glass", type=click.Choice(["ordinary", "thick"]), help="What the bottles are of.")
@click.option("--bottle", metavar="SIZE", help="What a bottle holds, such as '330 mL'.")
@click.option("--serving", metavar="TEMPERATURE", help="The keg's, such as '6 degC'; else 4 degC.")
def package(
    day: int | None,
    pipe: bool,
    voice: bool | None,
    speed: float,
    final: str | None,
    sensors: Path | None,
    engine: str | None,
    units: str | None,
    data: Path | None,
    into: str | None,
    carbonation: str | None,
    sugar: str | None,
    glass: str | None,
    bottle: str | None,
    serving: str | None,
) -> None:
    """Bottle a beer or fill its keg: sugar or pressure for what is really there.

    DAY is the number of its brew day; without it, the newest beer that is not packaged.
    """
    from assistant.cellar.events import Errand, VisitBegan
    from assistant.cellar.state import wanted_of
    from assistant.schedule.model import Glass, PrimingSugar, Vessel

    found = VisitBegan(
        at=0.0,
        errand=Errand.PACKAGE,
        bottle_ml=_measure("--bottle", bottle, "mL", 50, 20_000, "330 mL"),
        serving_c=_measure("--serving", serving, "degC", 0, 25, "6 degC"),
        final_gravity=_gravity(final),
    )
    volumes = _measure("--carbonation", carbonation, "vol", 0.5, 5, "2.4 vol")

    def changed(package: "Package") -> "Package":
        return replace(
            package,
            into=package.into if into is None else Vessel(into),
            carbonation_vol=package.carbonation_vol if volumes is None else volumes,
            sugar=package.sugar if sugar is None else PrimingSugar(sugar),
            glass=package.glass if glass is None else Glass(glass),
        )

    def errand(state: "CellarState") -> VisitBegan:
        return replace(found, package=changed(wanted_of(state.schedule)))

    _visit(day, errand, pipe, voice, speed, sensors, engine, units, data)


def _visit(
    day: int | None,
    errand: "Callable[[CellarState], VisitBegan]",
    pipe: bool,
    voice: bool | None,
    speed: float,
    sensors: Path | None,
    engine: str | None,
    units: str | None,
    data: Path | None,
) -> None:
    from assistant.record.beers import keep_beer
    from assistant.schedule.model import Units

    if pipe and sensors is not None:
        fail("--pipe and --sensors don't go together: the driver of a pipe sends the readings")
    card = None if sensors is None else sensors_or_fail(sensors)
    with opened_journal(data) as journal, ended_in_words():
        beer = _beer_or_fail(journal, day)
        keep_beer(journal, beer)
        told_in = beer.fermenting.schedule.units if units is None else Units(units)
        began = replace(errand(beer.fermenting), units=told_in)
        _require_below(began.final_gravity, beer.fermenting)
        try:
            if pipe:
                from assistant.visit_pipe import run_visit_pipe

                wall = iter(time.time, None)
                run_visit_pipe(journal, beer, began, sys.stdin.buffer, sys.stdout, wall)
            else:
                from assistant.visit_run import run_visit

                wanted = voice_wanted(voice, speed, engine, None, data)
                run_visit(journal, beer, began, speed=speed, voice=wanted, sensors=card)
        except KeyboardInterrupt:
            fail("Stopped. What was said is kept.", status=STOPPED)


def _beer_or_fail(journal: "Journal", number: int | None) -> "BeerOnRecord":
    """The beer of a day, or the newest not packaged; the command ends where there is none."""
    from assistant.record.beers import beer_on_record, fermenting
    from assistant.record.journal import DayStatus

    if number is not None:
        day = journal.day(number)
        if day is None:
            fail(f"day {number} is not on record; `kettleside days` lists those that are")
        found = beer_on_record(journal, day)
        if found.state is None:
            if day.status is DayStatus.OPEN:
                fail(f"day {number} has no yeast in it yet: `kettleside brew` goes on with it")
            fail(f"day {number} was {day.status.value} before its yeast went in: it has no beer")
        return found
    newest = fermenting(journal)
    if newest is None:
        fail("no beer on record is fermenting; name a day to look at one that is packaged")
    return newest


def _require_below(final: float | None, state: "CellarState") -> None:
    """A trial that ends no lower than the beer began is a slip; the command ends there."""
    from assistant.advice import figures
    from assistant.cellar.assessing import original_gravity

    original = original_gravity(state)
    if final is not None and final >= original:
        began = figures.gravity(original)
        fail(f"--final is {figures.gravity(final)}; wanted is less than the beer's {began}")


def _gravity(text: str | None) -> float | None:
    if text is None:
        return None
    try:
        gravity = float(text)
    except ValueError:
        gravity = 0.0
    if not 0.98 <= gravity <= 1.1:
        fail(f"--final is {text!r}; wanted is a gravity such as 1.012")
    return gravity


def _measure(
    option: str, text: str | None, unit: str, low: float, high: float, example: str
) -> float | None:
    """The value of an option with a unit; the command ends where it is none."""
    from assistant.schedule.units import UnitError, parse_quantity

    if text is None:
        return None
    try:
        value = parse_quantity(text).to(unit)
    except UnitError as error:
        fail(f"{option} is {text!r}: {error}; wanted is for example {example!r}")
    if not low <= value <= high:
        fail(f"{option} is {text!r}; wanted is from {low:g} to {high:g} {unit}")
    return value

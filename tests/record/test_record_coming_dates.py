"""What comes for the beers on record: which days, which dates, and from when they count."""

import sqlite3
from pathlib import Path

import pytest
from pitched_day import PITCHED_S, on_record, told
from sample_files import SAMPLES
from small_day import SMALL_SCHEDULE, small_schedule

from assistant.calendar_file import Awaited
from assistant.cellar.coming import Kind
from assistant.cellar.events import Errand, VisitBegan
from assistant.coming_dates import ComingDates, coming_dates
from assistant.day.commands import Command
from assistant.day.events import CommandGiven
from assistant.record.copies import copy_text
from assistant.record.copy_lines import read_copy
from assistant.record.journal import FILE_NAME, Journal
from assistant.schedule import load, load_text

BEGAN = 1718355600.0
"""2024-06-14, 09:00 UTC."""

DAY_S = 86400


def found(folder: Path, now_wall_s: float = BEGAN + 20_000) -> ComingDates:
    with Journal.open(folder, read_only=True) as journal:
        return coming_dates(journal, now_wall_s)


def only(folder: Path, now_wall_s: float = BEGAN + 20_000) -> Awaited:
    dates = found(folder, now_wall_s)
    assert dates.faults == ()
    (beer,) = dates.beers
    return beer


def test_additions_gravity_and_packaging_count_from_the_yeast(tmp_path: Path) -> None:
    # The schedule itself: Bramling at day 4, and where it says nothing, 14 days to ferment.
    number = on_record(tmp_path, small_schedule(), began_wall=BEGAN)
    beer = only(tmp_path)
    assert (beer.beer, beer.number, beer.zero_wall_s) == ("Slipway Bitter", number, BEGAN)
    by_key = {each.key: each for each in beer.comings}
    hops, package = by_key["addition 3"], by_key["package"]
    assert (hops.kind, hops.what) == (Kind.ADDITION, "Add 30 grams of Bramling")
    assert hops.at_s == PITCHED_S + 4 * DAY_S
    assert (package.kind, package.at_s) == (Kind.PACKAGE, PITCHED_S + 14 * DAY_S)
    # Where nothing was read the gravities are foretold: an ale at 19 °C takes four to eight days
    # (common practice, no source), and three more to show that it has ended.
    gravity, steady = by_key["gravity"], by_key["steady gravity"]
    assert 4 * DAY_S < gravity.at_s - PITCHED_S < 8 * DAY_S
    assert steady.at_s - gravity.at_s == pytest.approx(3 * DAY_S)
    moments = [each.at_s for each in beer.comings]
    assert moments == sorted(moments)


@pytest.mark.parametrize(
    ("into", "what"),
    [
        ("bottles", "Bottle it"),
        ("keg", "Fill the keg"),
    ],
)
def test_what_the_beer_goes_into_is_named(tmp_path: Path, into: str, what: str) -> None:
    schedule = load_text(
        f"{SMALL_SCHEDULE}ferment: {{for: 10 days}}\npackage: {{into: {into}}}\n", "slipway.yaml"
    )
    on_record(tmp_path, schedule, began_wall=BEGAN)
    last = only(tmp_path).comings[-1]
    assert (last.key, last.kind, last.what) == ("package", Kind.PACKAGE, what)
    assert last.at_s == PITCHED_S + 10 * DAY_S


def test_weights_are_in_the_units_of_the_day(tmp_path: Path) -> None:
    on_record(tmp_path, load(SAMPLES / "saltgrass-pale.yaml"), began_wall=BEGAN)
    assert only(tmp_path).comings[0].what == "Add 2 ounces of Cascade"


def test_nothing_comes_before_the_yeast_is_in(tmp_path: Path) -> None:
    on_record(tmp_path, small_schedule(), began_wall=BEGAN, events=told(until_s=PITCHED_S - 1))
    assert found(tmp_path) == ComingDates(beers=(), faults=())


def test_nothing_comes_where_the_yeast_was_taken_back(tmp_path: Path) -> None:
    events = told(until_s=PITCHED_S)
    events.append(CommandGiven(at=PITCHED_S + 60, command=Command.UNDO))
    on_record(tmp_path, small_schedule(), began_wall=BEGAN, events=events)
    assert found(tmp_path).beers == ()


def test_a_day_without_an_event_has_nothing_to_come(tmp_path: Path) -> None:
    on_record(tmp_path, small_schedule(), began_wall=BEGAN, events=[])
    assert found(tmp_path) == ComingDates(beers=(), faults=())


def test_a_beer_that_nobody_touches_is_forgotten_sixty_days_after_its_end(tmp_path: Path) -> None:
    on_record(tmp_path, small_schedule(), began_wall=BEGAN)
    # What its last row, the end of cleaning 1200 s after the yeast, leaves room for.
    latest = BEGAN + PITCHED_S + 1200 + (14 + 60) * DAY_S
    assert len(found(tmp_path, latest).beers) == 1
    assert found(tmp_path, latest + 1).beers == ()


def test_a_visit_makes_a_beer_remembered_and_its_dates_its_own(tmp_path: Path) -> None:
    number = on_record(tmp_path, small_schedule(), began_wall=BEGAN)
    at = PITCHED_S + 60 * DAY_S
    with Journal.open(tmp_path) as journal:
        for event in (
            VisitBegan(at=at, errand=Errand.TEND),
            CommandGiven(at=at, command=Command.PACKAGED),
            CommandGiven(at=at + 5, command=Command.YES),
        ):
            journal.append(number, event, BEGAN + event.at)
    beer = only(tmp_path, BEGAN + at + 70 * DAY_S)
    # Two weeks in the bottle.
    assert [(each.key, each.at_s) for each in beer.comings] == [("ready", at + 5 + 14 * DAY_S)]


def test_the_beers_are_told_oldest_first_each_with_its_own_identity(tmp_path: Path) -> None:
    for later in (0, DAY_S):
        on_record(tmp_path, small_schedule(), began_wall=BEGAN + later)
    beers = found(tmp_path).beers
    assert [beer.number for beer in beers] == [1, 2]
    assert beers[0].identity != beers[1].identity


def test_an_identity_outlives_an_import_under_another_number(tmp_path: Path) -> None:
    home, away = tmp_path / "home", tmp_path / "away"
    number = on_record(home, small_schedule(), began_wall=BEGAN)
    on_record(away, load(SAMPLES / "saltgrass-pale.yaml"), began_wall=BEGAN - DAY_S)
    with Journal.open(home, read_only=True) as journal:
        copy = read_copy(copy_text(journal.kept(number)), "day.jsonl")
    with Journal.open(away) as journal:
        assert journal.take_in(copy.day).number == 2
    taken = found(away).beers[1]
    assert taken.number == 2
    assert taken.identity == only(home).identity


def test_a_day_gone_on_with_in_two_ways_is_two_beers(tmp_path: Path) -> None:
    for _ in range(2):
        on_record(tmp_path, small_schedule(), began_wall=BEGAN)
    one, other = found(tmp_path).beers
    assert one.identity != other.identity


@pytest.mark.parametrize("set_by_s", [-30 * DAY_S, -61, 61, 400 * DAY_S])
def test_a_wall_clock_that_was_set_on_the_day_counts_as_it_was_last(
    tmp_path: Path, set_by_s: float
) -> None:
    on_record(tmp_path, small_schedule(), began_wall=BEGAN, set_by_s=set_by_s)
    assert only(tmp_path, BEGAN + set_by_s).zero_wall_s == BEGAN + set_by_s


@pytest.mark.parametrize("set_by_s", [-59, 0.4, 59])
def test_clocks_that_drift_apart_move_no_date(tmp_path: Path, set_by_s: float) -> None:
    on_record(tmp_path, small_schedule(), began_wall=BEGAN, set_by_s=set_by_s)
    assert only(tmp_path).zero_wall_s == BEGAN


def test_a_day_that_can_not_be_read_leaves_the_others(tmp_path: Path) -> None:
    for _ in range(2):
        on_record(tmp_path, small_schedule(), began_wall=BEGAN)
    with sqlite3.connect(tmp_path / FILE_NAME) as connection:
        connection.execute("UPDATE days SET schedule = '{}' WHERE id = 1")
    connection.close()
    dates = found(tmp_path)
    assert [beer.number for beer in dates.beers] == [2]
    (fault,) = dates.faults
    assert str(fault).startswith("day 1: ")

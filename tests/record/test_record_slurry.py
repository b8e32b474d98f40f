"""Yeast kept of one beer and pitched into the next."""

from dataclasses import replace
from pathlib import Path

import pytest
from reported_days import BEGAN, put_on_record, rehearsed

from assistant.advice.slurry import KeptSlurry, slurry_for, slurry_line, with_slurry
from assistant.cellar.events import Errand, VisitBegan
from assistant.day.commands import Command
from assistant.day.events import CommandGiven, DayBegan, ReadingTaken
from assistant.day.quantities import Quantity
from assistant.known_kettle import start_of
from assistant.record.journal import Journal
from assistant.record.slurries import slurries
from assistant.schedule import Schedule
from assistant.schedule.model import YeastForm
from assistant.session import Session

DAY_S = 86400.0
PACKAGED_S = 16 * DAY_S


def keep_slurry(journal: Journal, day_id: int, volume_ml: float, at: float = PACKAGED_S) -> None:
    """A visit on which the beer is packaged and some of its yeast kept."""
    rows = (
        VisitBegan(at=at, errand=Errand.PACKAGE),
        CommandGiven(at=at + 60, command=Command.PACKAGED),
        CommandGiven(at=at + 90, command=Command.YES),
        ReadingTaken(at=at + 120, quantity=Quantity.SLURRY_VOLUME, value=volume_ml, unit="mL"),
    )
    for event in rows:
        journal.append(day_id, event, BEGAN + event.at)


def from_slurry(schedule: Schedule, *, name: str | None = None) -> Schedule:
    yeast = replace(
        schedule.yeast,
        form=YeastForm.SLURRY,
        age_days=None,
        name=schedule.yeast.name if name is None else name,
    )
    return replace(schedule, yeast=yeast)


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    day = rehearsed()
    day_id = put_on_record(tmp_path, day.schedule, day.events)
    with Journal.open(tmp_path) as journal:
        keep_slurry(journal, day_id, 250)
    return tmp_path


def test_yeast_kept_of_a_beer_is_known_by_name_volume_date_and_generation(kept: Path) -> None:
    with Journal.open(kept, read_only=True) as journal:
        [found] = slurries(journal)
    assert (found.day, found.beer, found.yeast) == (1, "Breakwater Amber", "ale yeast")
    assert (found.volume_ml, found.generation) == (250, 1)
    assert found.cropped_wall_s == pytest.approx(BEGAN + PACKAGED_S + 120)


def test_the_next_brew_takes_the_slurrys_age_and_so_what_of_it_lives(
    kept: Path, amber: Schedule
) -> None:
    # McCaig and Bendiak (1985): 14 % lost in 6 days at 5 °C; 12 days leave 0.86 squared.
    wall_s = BEGAN + PACKAGED_S + 120 + 12 * DAY_S
    with Journal.open(kept, read_only=True) as journal:
        start = start_of(journal, from_slurry(amber), wall_s)
    assert start.slurry is not None
    assert start.slurry.viability == pytest.approx(0.86**2, abs=0.001)
    assert start.schedule.yeast.age_days == pytest.approx(12.0)
    assert start.schedule.yeast.generation == 1
    line = slurry_line(start.schedule, start.plan.yeast_cells_billion, start.slurry)
    assert line.startswith("Slurry of Breakwater Amber (day 1), generation 1, 12 days old: 250")
    assert "about 74 percent alive" in line


@pytest.mark.parametrize(
    ("changed", "why"),
    [
        ({"form": YeastForm.DRY}, "dry yeast comes from a packet"),
        ({"age_days": 3.0}, "the brewer has told the age of another"),
        ({"name": "lager yeast"}, "it is another yeast"),
    ],
)
def test_slurry_is_taken_only_where_it_is_meant(
    kept: Path, amber: Schedule, changed: dict[str, object], why: str
) -> None:
    schedule = from_slurry(amber)
    schedule = replace(schedule, yeast=replace(schedule.yeast, **changed))
    with Journal.open(kept, read_only=True) as journal:
        start = start_of(journal, schedule, BEGAN + PACKAGED_S + 5 * DAY_S)
    assert start.slurry is None, why
    assert start.schedule.yeast == schedule.yeast


def test_each_beer_makes_its_yeast_a_generation_older(kept: Path, amber: Schedule) -> None:
    wall_s = BEGAN + PACKAGED_S + 5 * DAY_S
    with Journal.open(kept) as journal:
        session, _ = Session.begin(
            journal, from_slurry(amber), "/beers/amber.yaml", at=0.0, wall_s=wall_s
        )
        began = journal.events(session.day_id)
        assert isinstance(began[0], DayBegan)
        assert journal.schedule(session.day_id).yeast.generation == 1
        assert journal.schedule(session.day_id).yeast.age_days == pytest.approx(5.0, abs=0.01)


NEWER = KeptSlurry(
    day=2, beer="Second", yeast="Ale Yeast", cropped_wall_s=9 * DAY_S, volume_ml=90, generation=9
)
OLDER = replace(NEWER, day=1, beer="First", cropped_wall_s=1 * DAY_S, generation=2)


def test_the_newest_slurry_of_a_yeast_is_meant_and_none_of_the_future(amber: Schedule) -> None:
    schedule = from_slurry(amber)
    both = (NEWER, OLDER)
    at_hand = slurry_for(schedule, both, 10 * DAY_S)
    assert at_hand is not None
    assert at_hand.kept is NEWER
    before = slurry_for(schedule, both, 5 * DAY_S)
    assert before is not None
    assert before.kept is OLDER
    assert slurry_for(schedule, both, 0.5 * DAY_S) is None
    assert slurry_for(schedule, (OLDER,), 500 * DAY_S) is None
    assert with_slurry(schedule, None) is schedule


def test_too_little_and_too_old_a_line_of_yeast_are_told(amber: Schedule) -> None:
    at_hand = slurry_for(from_slurry(amber), (NEWER,), 10 * DAY_S)
    assert at_hand is not None
    line = slurry_line(amber, 180.0, at_hand)
    assert "more than there is: grow a starter of it, or add fresh yeast" in line
    assert line.endswith("After 8 generations take fresh yeast.")
    assert "starter" not in slurry_line(amber, 60.0, at_hand)

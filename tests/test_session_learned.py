"""A brew starts with the kettle as the last one with it left it known."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from assistant import session as session_module
from assistant.advice.learned import Figure, LearnedKettle, Trait, card_figure, with_learned
from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.commands import Command
from assistant.day.effects import Effect, Say, Why
from assistant.day.events import CommandGiven, DayBegan, NoteTaken
from assistant.day.state import State
from assistant.record.journal import DayStatus, Journal
from assistant.record.replay import replay
from assistant.schedule import Schedule
from assistant.schedule.load import INLINE_KETTLE_NAME
from assistant.session import Session

BOIL_OFF_L_H = 3.1
PATH = "amber.yaml"


def taught(kettle: str, brews: int, boil_off_l_h: float = BOIL_OFF_L_H) -> LearnedKettle:
    figure = Figure(value=boil_off_l_h, spread=0.2, card=2.6)
    return LearnedKettle(kettle=kettle, brews=brews, figures={Trait.BOIL_OFF: figure})


@pytest.fixture
def a_fierce_boil(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every day finds that the kettle boils off 3.1 litres an hour, not the card's 2.6."""

    def found(state: State) -> LearnedKettle:
        before = state.learned.brews if state.learned is not None else 0
        return taught(state.schedule.kettle.name, before + 1)

    monkeypatch.setattr(session_module, "learned_kettle", found)


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    with Journal.open(tmp_path) as opened:
        yield opened


def begin(journal: Journal, schedule: Schedule) -> tuple[Session, tuple[Effect, ...]]:
    return Session.begin(journal, schedule, PATH, at=0.0, wall_s=1000.0)


def say(session: Session, command: Command) -> None:
    at = session.state.now_s + 5.0
    session.happen(CommandGiven(at=at, command=command), 1000.0 + at)


def brew_to_the_end(session: Session) -> Session:
    while session.state.stage is not Stage.FINISHED:
        say(session, Command.SKIP)
    return session


def brewed(journal: Journal, schedule: Schedule) -> Session:
    return brew_to_the_end(begin(journal, schedule)[0])


def said(effects: tuple[Effect, ...]) -> list[str]:
    return [e.text for e in effects if isinstance(e, Say) and e.why is not Why.WARNING]


def with_kettle(schedule: Schedule, name: str) -> Schedule:
    return replace(schedule, kettle=replace(schedule.kettle, name=name))


def test_the_first_brew_with_a_kettle_starts_from_its_card(
    amber: Schedule, journal: Journal
) -> None:
    session, effects = begin(journal, amber)
    assert session.state.schedule == amber
    assert session.state.learned is None
    assert not any("brew" in text for text in said(effects))
    assert journal.events(session.day_id) == (DayBegan(at=0.0),)


@pytest.mark.usefixtures("a_fierce_boil")
def test_the_next_brew_starts_from_what_the_last_one_taught(
    amber: Schedule, journal: Journal
) -> None:
    brewed(journal, amber)
    session, effects = begin(journal, amber)
    known = with_learned(amber, taught("garage 35 L", 1))
    assert known.kettle.boil_off_l_h == BOIL_OFF_L_H
    assert session.state.schedule == journal.schedule(session.day_id) == known
    assert session.state.plan == make_plan(known)
    assert session.state.plan.strike_volume_l > make_plan(amber).strike_volume_l
    assert session.state.learned == taught("garage 35 L", 1)
    assert said(effects)[0] == "From your last brew: boil-off 3.1 litres an hour."


@pytest.mark.usefixtures("a_fierce_boil")
def test_every_brew_to_the_end_counts(amber: Schedule, journal: Journal) -> None:
    for _ in range(3):
        brewed(journal, amber)
    _, effects = begin(journal, amber)
    assert said(effects)[0] == "From your last 3 brews: boil-off 3.1 litres an hour."


def test_a_day_teaches_at_its_end_by_itself(amber: Schedule, journal: Journal) -> None:
    assert journal.learned("garage 35 L") is None
    brewed(journal, amber)
    brewed(journal, amber)
    known = journal.learned("garage 35 L")
    assert known is not None
    assert known.brews == 2
    assert Trait.BOIL_OFF in known.figures


@pytest.mark.usefixtures("a_fierce_boil")
def test_a_kettle_of_another_name_is_not_known(amber: Schedule, journal: Journal) -> None:
    brewed(journal, amber)
    afresh = with_kettle(amber, "garage 35 L, new element")
    session, effects = begin(journal, afresh)
    assert session.state.schedule == afresh
    assert session.state.learned is None
    assert not any("brew" in text for text in said(effects))


@pytest.mark.usefixtures("a_fierce_boil")
def test_a_kettle_without_a_name_is_never_known(amber: Schedule, journal: Journal) -> None:
    nameless = with_kettle(amber, INLINE_KETTLE_NAME)
    brewed(journal, nameless)
    assert begin(journal, nameless)[0].state.schedule == nameless


@pytest.mark.usefixtures("a_fierce_boil")
def test_another_beer_in_the_same_kettle_knows_it(amber: Schedule, journal: Journal) -> None:
    brewed(journal, amber)
    other = replace(amber, beer="Jetty Mild", volume_l=18.0)
    session, _ = Session.begin(journal, other, "jetty.yaml", at=0.0, wall_s=0.0)
    assert session.state.schedule.kettle.boil_off_l_h == BOIL_OFF_L_H
    assert session.state.schedule.volume_l == 18.0


@pytest.mark.usefixtures("a_fierce_boil")
def test_a_day_that_was_left_teaches_nothing(amber: Schedule, journal: Journal) -> None:
    left, _ = begin(journal, amber)
    while left.state.stage is not Stage.CLEAN:
        say(left, Command.SKIP)
    session, _ = begin(journal, amber)
    assert [day.status for day in journal.days()] == [DayStatus.OPEN, DayStatus.LEFT]
    assert session.state.learned is None


@pytest.mark.usefixtures("a_fierce_boil")
def test_an_end_taken_back_teaches_nothing_until_it_comes_again(
    amber: Schedule, journal: Journal
) -> None:
    session = brewed(journal, amber)
    assert journal.learned("garage 35 L") == taught("garage 35 L", 1)
    say(session, Command.UNDO)
    assert session.state.stage is not Stage.FINISHED
    assert journal.learned("garage 35 L") is None
    journal.close_day(session.day_id, DayStatus.FINISHED)
    assert journal.learned("garage 35 L") is None
    brew_to_the_end(session)
    assert journal.learned("garage 35 L") == taught("garage 35 L", 1)


@pytest.mark.usefixtures("a_fierce_boil")
def test_a_killed_day_goes_on_with_what_it_began_with(amber: Schedule, tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        brewed(journal, amber)
        live, _ = begin(journal, amber)
        for _ in range(3):
            say(live, Command.SKIP)
    with Journal.open(tmp_path) as journal:
        day = journal.unfinished(PATH)
        assert day is not None
        assert replay(journal.schedule(day.id), journal.events(day.id)) == live.state
        session, _ = Session.resume(journal, day, at=900.0, wall_s=1900.0)
        assert session.state.learned == taught("garage 35 L", 1)
        assert session.state.plan == live.state.plan
        brew_to_the_end(session)
        assert journal.learned("garage 35 L") == taught("garage 35 L", 2)


@pytest.mark.usefixtures("a_fierce_boil")
def test_what_a_later_day_teaches_changes_no_day_under_way(
    amber: Schedule, journal: Journal
) -> None:
    early, _ = Session.begin(journal, amber, "early.yaml", at=0.0, wall_s=0.0)
    brewed(journal, amber)
    day = journal.day(early.day_id)
    assert day is not None
    again, _ = Session.resume(journal, day, at=60.0, wall_s=60.0)
    assert again.state.schedule == amber
    assert again.state.learned is None


@pytest.mark.usefixtures("a_fierce_boil")
def test_a_day_killed_between_its_end_and_its_closing_is_closed_when_gone_on_with(
    amber: Schedule, journal: Journal
) -> None:
    session = brewed(journal, amber)
    journal.keep_learned(session.day_id, None)
    journal.close_day(session.day_id, DayStatus.OPEN)
    day = journal.unfinished(PATH)
    assert day is not None
    Session.resume(journal, day, at=session.state.now_s + 60.0, wall_s=9000.0)
    assert [day.status for day in journal.days()] == [DayStatus.FINISHED]
    assert journal.learned("garage 35 L") == taught("garage 35 L", 1)


@pytest.mark.usefixtures("a_fierce_boil")
def test_a_note_after_the_end_leaves_what_was_taught(amber: Schedule, journal: Journal) -> None:
    session = brewed(journal, amber)
    at = session.state.now_s + 60.0
    session.happen(NoteTaken(at=at, text="a good day"), 9000.0)
    assert journal.learned("garage 35 L") == taught("garage 35 L", 1)


@pytest.mark.parametrize(
    "figure",
    [
        pytest.param((Trait.HEATER, 0.02), id="never boils"),
        pytest.param((Trait.EXTRACT, 9.0), id="a wort past any table"),
        pytest.param((Trait.HEAT_CAPACITY, -1e9), id="no such kettle"),
    ],
)
def test_figures_that_no_beer_can_be_brewed_with_give_way_to_the_card(
    amber: Schedule, journal: Journal, figure: tuple[Trait, float]
) -> None:
    trait, value = figure
    card = card_figure(amber.kettle, trait)
    spoiled = LearnedKettle(
        kettle="garage 35 L", brews=2, figures={trait: Figure(value=value, spread=1.0, card=card)}
    )
    journal.keep_learned(brewed(journal, amber).day_id, spoiled)
    session, _ = begin(journal, amber)
    assert session.state.schedule == amber
    assert session.state.learned is None


def test_a_day_killed_before_its_first_event_begins_when_gone_on_with(
    amber: Schedule, journal: Journal, a_fierce_boil: None
) -> None:
    brew_to_the_end(begin(journal, amber)[0])
    known = with_learned(amber, taught(amber.kettle.name, 1))
    day_id = journal.begin_day(known, PATH, 2000.0)
    day = journal.day(day_id)
    assert day is not None
    session, effects = Session.resume(journal, day, at=0.0, wall_s=2001.0)
    begun, as_begun = begin(journal, amber)
    assert journal.events(day_id) == journal.events(begun.day_id)
    assert effects == as_begun
    assert session.state == begun.state


def with_card(schedule: Schedule, **figures: float) -> Schedule:
    """The schedule with another card; a heater's figures by their own names."""
    heater = {name: figures.pop(name) for name in ("efficiency", "power_w") if name in figures}
    kettle = schedule.kettle
    kettle = replace(kettle, heater=replace(kettle.heater, **heater), **figures)
    return replace(schedule, kettle=kettle)


@pytest.mark.usefixtures("a_fierce_boil")
def test_a_card_that_was_changed_counts_again(amber: Schedule, journal: Journal) -> None:
    brewed(journal, amber)
    measured = with_card(amber, boil_off_l_h=4.0)
    session, effects = begin(journal, measured)
    assert session.state.schedule == measured
    assert said(effects)[:2] == [
        "Kettle known from your last brew.",
        "Boil-off from the card, which was changed.",
    ]
    fresh, _ = begin(journal, with_kettle(measured, "another"))
    assert session.state.batch.belief == fresh.state.batch.belief


@pytest.mark.usefixtures("a_fierce_boil")
@pytest.mark.parametrize("copied_l_h", [BOIL_OFF_L_H, 3.0, 3.25])
def test_what_was_learned_stays_when_it_is_written_into_the_card(
    amber: Schedule, journal: Journal, copied_l_h: float
) -> None:
    brewed(journal, amber)
    before, _ = begin(journal, amber)
    session, effects = begin(journal, with_card(amber, boil_off_l_h=copied_l_h))
    assert session.state.schedule.kettle.boil_off_l_h == BOIL_OFF_L_H
    assert session.state.batch.belief == before.state.batch.belief
    assert not any("card" in text for text in said(effects))
    assert session.state.learned is not None
    assert session.state.learned.figures[Trait.BOIL_OFF].card == copied_l_h


def test_a_card_is_found_changed_once(amber: Schedule, journal: Journal) -> None:
    brewed(journal, amber)
    measured = with_card(amber, boil_off_l_h=4.0)
    brewed(journal, measured)
    session, effects = begin(journal, measured)
    assert not any("changed" in text for text in said(effects))
    assert session.state.learned is not None
    assert session.state.learned.brews == 2
    assert session.state.learned.figures[Trait.BOIL_OFF].card == 4.0


def test_of_another_element_nothing_is_known(amber: Schedule, journal: Journal) -> None:
    brewed(journal, amber)
    session, effects = begin(journal, with_card(amber, power_w=3500.0))
    assert "Heater from the card, which was changed." in said(effects)
    assert session.state.learned is not None
    assert not {Trait.HEATER, Trait.COAST} & set(session.state.learned.figures)
    assert Trait.BOIL_OFF in session.state.learned.figures


def test_a_day_whose_card_was_changed_is_replayed_as_it_was(
    amber: Schedule, journal: Journal
) -> None:
    brewed(journal, amber)
    session, _ = begin(journal, with_card(amber, boil_off_l_h=4.0, efficiency=0.5))
    say(session, Command.SKIP)
    again = replay(journal.schedule(session.day_id), journal.events(session.day_id))
    assert again == session.state


def test_a_day_killed_before_its_first_event_keeps_to_the_changed_card(
    amber: Schedule, journal: Journal
) -> None:
    brewed(journal, amber)
    begun, as_begun = begin(journal, with_card(amber, boil_off_l_h=4.0, power_w=3500.0))
    day_id = journal.begin_day(begun.state.schedule, PATH, 2000.0)
    day = journal.day(day_id)
    assert day is not None
    session, effects = Session.resume(journal, day, at=0.0, wall_s=2001.0)
    assert effects == as_begun
    assert session.state == begun.state

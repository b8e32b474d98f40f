"""What is to come for a beer and when: counted from the yeast, and from what was read."""

import pytest
from beers import PITCHED_S, Tended, at_day, beer, schedule_with, tended
from hypothesis import given
from hypothesis import strategies as st

from assistant.cellar.assessing import Progress
from assistant.cellar.coming import Kind
from assistant.cellar.state import DAY_S
from assistant.day.commands import Command
from assistant.day.effects import Refused, Say, TaskOpened, Why
from assistant.day.events import TaskDone
from assistant.day.quantities import Quantity

END = 1.012
DRY_HOPS = (
    "  - {add: Bramling, kind: hops, weight: 30 g, alpha: 6 %, at: day 4}\n"
    "  - {add: Bramling, kind: hops, weight: 20 g, alpha: 6 %, at: day 8}\n"
    "  - {add: orange peel, kind: spice, weight: 10 g, at: day 6}\n"
)
LAGER = "ferment: {at: 9 degC to 12 degC, for: 21 days}\n"
SHORT = "ferment: {for: 1 day}\n"
EIGHT_DAYS = "ferment: {for: 8 days}\n"


def hopped(text: str = "") -> Tended:
    return tended(schedule_with(text, additions=DRY_HOPS), beer(1.050, END))


def lager(text: str = LAGER) -> Tended:
    return tended(schedule_with(text), beer(1.050, END))


def reminders(found: Tended) -> list[str]:
    return [e.text for e in found.effects if isinstance(e, Say) and e.why is Why.REMINDER]


def test_additions_are_due_so_many_times_24_hours_after_the_yeast() -> None:
    ahead = {key: day for key, day in hopped().days.items() if key.startswith("addition")}
    # The places in the schedule's list, from nought: the boil's hops are the first.
    assert ahead == {"addition 1": 4.0, "addition 3": 6.0, "addition 2": 8.0}


def test_an_addition_is_told_when_it_falls_due_and_opened_as_a_task() -> None:
    found = hopped().wait(3.9999)
    assert reminders(found) == []
    found.wait(4.0)
    assert reminders(found) == ["Due: add 30 grams of Bramling."]
    (opened,) = found.of(TaskOpened)
    assert (opened.action.item, opened.action.grams) == ("Bramling", 30.0)
    assert found.wait(5.0).effects == ()


def test_what_is_overdue_is_told_again_on_the_next_visit() -> None:
    found = hopped().wait(4.5)
    assert reminders(found.visit(5.0)) == ["Due: add 30 grams of Bramling."]
    assert reminders(found.say(Command.HOPS_IN)) == []
    assert reminders(found.visit(5.1)) == []


@pytest.mark.parametrize("way", ["hops in", "added", "task", "done"])
def test_what_is_in_comes_no_more(way: str) -> None:
    found = hopped().wait(4.2)
    match way:
        case "hops in":
            found.say(Command.HOPS_IN)
        case "added":
            found.say(Command.ADDED)
        case "task":
            found.happen(TaskDone(at=at_day(4.2), task_id=found.state.opened[0].task.id))
        case "done":
            found.say(Command.DONE)
    assert found.said() == "Bramling noted."
    assert "addition 1" not in found.days
    assert found.state.settled_s("addition 1") == at_day(4.2)


def test_hops_are_in_leaves_the_peel_that_is_due_too() -> None:
    found = hopped().wait(6.5).say(Command.HOPS_IN)
    assert [opened.task.action.item for opened in found.state.opened] == ["orange peel"]


def test_what_goes_in_early_is_taken_by_its_name() -> None:
    found = hopped().wait(2.0).say(Command.ADDED, "orange peel")
    assert found.said() == "Orange peel noted."
    assert "addition 3" not in found.days


def test_hops_in_with_none_due_is_refused() -> None:
    assert hopped().wait(2.0).say(Command.HOPS_IN).of(Refused)


def test_what_is_left_out_comes_no_more_and_was_never_in() -> None:
    found = hopped().wait(4.2).say(Command.MISSED)
    assert found.said() == "Bramling left out."
    assert "addition 1" not in found.days
    assert found.state.settled_s("addition 1") is None


def test_undo_of_something_earlier_keeps_what_fell_due_since() -> None:
    found = hopped().warm(3.0, 19.0).wait(4.5).say(Command.UNDO)
    assert [opened.task.action.item for opened in found.state.opened] == ["Bramling"]
    assert found.wait(4.6).effects == ()


def test_a_cold_fermented_beer_is_given_a_diacetyl_rest_and_a_warm_one_is_not() -> None:
    assert lager().ahead(Kind.REST) is not None
    assert tended(of=beer(1.050, END)).ahead(Kind.REST) is None
    # Up to 15 °C counts as cold: common practice, no source.
    assert lager("ferment: {at: 12 degC to 15 degC}\n").ahead(Kind.REST) is not None
    assert lager("ferment: {at: 12 degC to 16 degC}\n").ahead(Kind.REST) is None


def test_the_rest_begins_three_quarters_down() -> None:
    # 1.050 - 0.75 x 38 points is 1.0215.
    found = lager().gravity(8, 1.024)
    assert found.state.opened == ()
    rest = found.ahead(Kind.REST)
    assert rest is not None
    assert 8 < (rest.at_s - PITCHED_S) / DAY_S < 12
    found.gravity(9, 1.021)
    assert reminders(found) == ["Due: warm it to 18 degrees for a diacetyl rest."]
    assert found.days["diacetyl rest"] == pytest.approx(9.0)
    assert "diacetyl rest" not in found.say(Command.DONE).days


def test_there_is_no_rest_for_a_beer_that_has_finished() -> None:
    assert lager().gravity(18, END).gravity(21, END).ahead(Kind.REST) is None


def test_a_beer_is_packaged_a_rest_later_than_it_is_warmed() -> None:
    found = lager("ferment: {at: 9 degC to 12 degC, for: 1 day}\n").gravity(9, 1.021)
    # A day to warm it and three to hold it.
    assert found.days["package"] >= 9.0 + 4.0


def test_gravity_then_steady_then_package() -> None:
    days = tended(of=beer(1.050, END)).days
    assert days["gravity"] < days["steady gravity"] <= days["package"]
    assert days["steady gravity"] - days["gravity"] == pytest.approx(3.0)


def test_no_gravity_is_wanted_in_the_first_three_days() -> None:
    # Every opening of the fermenter risks an infection: common practice, no source.
    strong_yeast = tended(schedule_with(SHORT), beer(1.030, 1.008)).days
    assert strong_yeast["gravity"] >= 3.0
    assert strong_yeast["package"] >= strong_yeast["steady gravity"] >= 6.0


def test_packaging_is_no_sooner_than_the_schedule_has_it() -> None:
    assert tended(of=beer(1.050, END)).days["package"] >= 14.0
    early = tended(of=beer(1.050, END)).gravity(6, END).gravity(9, END)
    assert early.assessed.progress is Progress.FINISHED
    assert early.days == {"package": 14.0}


def test_packaging_is_three_days_after_the_last_dry_hops() -> None:
    found = hopped(EIGHT_DAYS).gravity(5, END).gravity(8, END)
    assert found.days["package"] == 11.0
    # They went in a day late.
    found.wait(9.0).say(Command.HOPS_IN).say(Command.ADDED, "orange peel")
    assert found.days["package"] == pytest.approx(12.0)


def test_hops_that_are_overdue_put_packaging_off_from_now() -> None:
    found = hopped(EIGHT_DAYS).gravity(5, END).gravity(8, END).wait(20.0)
    assert found.days["package"] == pytest.approx(23.0)
    found.say(Command.MISSED)
    assert found.days["package"] == pytest.approx(8.0)


def test_a_beer_first_read_near_its_end_is_steady_three_days_on() -> None:
    found = tended(of=beer(1.050, END)).gravity(8, 1.013)
    assert "gravity" not in found.days
    assert found.days["steady gravity"] == pytest.approx(11.0)
    # One that still falls begins anew.
    assert found.gravity(9, 1.011).days["steady gravity"] == pytest.approx(12.0)


def test_a_packaged_beer_is_ready_in_two_weeks_a_keg_in_one_and_a_strong_one_later() -> None:
    # Common practice, no source.
    for text, original, days in [
        ("", 1.050, 14.0),
        ("package: {into: keg}\n", 1.050, 7.0),
        ("", 1.070, 28.0),
        ("package: {into: keg}\n", 1.080, 21.0),
    ]:
        found = tended(schedule_with(text), beer(original)).visit(14)
        found.say(Command.PACKAGED).say(Command.YES)
        assert found.days == {"ready": 14.0 + days}


@given(
    st.lists(st.tuples(st.floats(0.1, 6.0), st.floats(0.0, 0.5)), max_size=6),
    st.sampled_from([SHORT, LAGER, "ferment: {for: 14 days}\n"]),
)
def test_packaging_never_comes_before_the_gravity_is_steady(
    falls: list[tuple[float, float]], text: str
) -> None:
    found, day, gravity = tended(schedule_with(text), beer(1.050, END)), 0.2, 1.050
    for wait, share in falls:
        day, gravity = day + wait, gravity - share * (gravity - END)
        found.gravity(day, gravity)
        days = found.days
        assert days["package"] >= days.get("steady gravity", 0.0) - 1e-6
        assert days["package"] >= found.state.schedule.ferment.days
        assert days.get("gravity", 0.0) <= days.get("steady gravity", 1e9)
        if found.assessed.progress is Progress.FINISHED:
            assert "steady gravity" not in days


def test_a_visit_asks_for_a_gravity_only_when_it_is_worth_a_sample() -> None:
    asked = lambda found: {ask.quantity for ask in found.state.asks}  # noqa: E731
    warm = {Quantity.FERMENTER_TEMPERATURE}
    both = {Quantity.FERMENTER_TEMPERATURE, Quantity.GRAVITY}
    assert asked(tended(visit=1.0)) == warm
    assert asked(tended(visit=4.0)) == both
    assert asked(tended(of=beer(1.050, END)).gravity(4.0, 1.03).visit(4.5)) == warm
    ended = tended(of=beer(1.050, END)).gravity(8.0, END).gravity(11.0, END)
    assert asked(ended.visit(13.0)) == warm

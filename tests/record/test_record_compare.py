"""Two days side by side: what differs stands out, and what is the same is called the same."""

from dataclasses import replace
from datetime import UTC
from functools import cache

from reported_days import BEGAN, rehearsed
from small_day import morning, small_schedule, whole_day

from assistant.record.journal import Day, DayStatus
from assistant.record.reporting.account import Account
from assistant.record.reporting.comparing import compared
from assistant.record.reporting.followed import Held
from assistant.record.reporting.making import account_of_events
from assistant.record.reporting.section import Laid
from assistant.record.reporting.text import as_text


def day(number: int) -> Day:
    return Day(
        id=number,
        began_wall=BEGAN + number * 86400,
        schedule_path="/beers/beer.yaml",
        beer="a beer",
        status=DayStatus.FINISHED,
    )


@cache
def amber(number: int, *, advice: bool) -> Account:
    lived = rehearsed(follow_advice=advice)
    return account_of_events(day(number), lived.schedule, lived.events)


@cache
def pale() -> Account:
    lived = rehearsed("saltgrass-pale")
    return account_of_events(day(3), lived.schedule, lived.events)


def table(laid: Laid, key: str) -> dict[str, tuple[str, ...]]:
    (section,) = [section for section in laid.sections if section.key == key]
    return {row[0]: row[1:] for row in section.tables[0].rows}


def both() -> Laid:
    return compared(amber(1, advice=True), amber(2, advice=False), zone=UTC)


def test_the_figures_stand_side_by_side_with_what_lies_between() -> None:
    volume = table(both(), "outcome")["Volume"]
    assert volume == ("20 litres", "19.9 litres", "20 litres", "18.8 litres", "1.1 litres less")


def test_moments_count_from_the_start_of_each_day() -> None:
    boil = table(both(), "moments")["Boil"]
    assert boil == ("12:03", "3 hours 3 minutes", "12:08", "3 hours 8 minutes", "5 minutes later")


def test_what_was_done_otherwise_stands_with_the_additions() -> None:
    hops = table(both(), "additions")["Northern Brewer, at 60 minutes"]
    assert hops[0].startswith("25 grams, boiled 54 minutes")
    assert hops[1].startswith("23 grams, boiled 56 minutes")


def test_one_recipe_is_called_the_same() -> None:
    (recipes,) = [section for section in both().sections if section.key == "recipes"]
    assert recipes.paragraphs[0].text == "The recipes are the same."


def test_two_recipes_are_told_by_what_differs_in_the_units_of_the_first() -> None:
    rows = table(compared(amber(1, advice=True), pale(), zone=UTC), "recipes")
    assert rows["wanted in the fermenter"] == ("20 litres", "18.9 litres")
    assert rows["Yeast, boil and what comes after: boil"] == ("65 minutes", "60 minutes")
    assert rows["Grist: Munich malt"][1] == "-"
    assert not any("gallon" in cell or "ounce" in cell for row in rows.values() for cell in row)


def test_the_kettles_stand_side_by_side_by_their_names() -> None:
    laid = compared(amber(1, advice=True), pale(), zone=UTC)
    (kettle,) = [section for section in laid.sections if section.key == "kettle"]
    assert kettle.tables[0].header[1:] == ("day 1, garage 35 L", "day 3, boathouse 10 gal")


def test_a_day_beside_itself_differs_in_nothing() -> None:
    one = amber(1, advice=True)
    laid = compared(one, one, zone=UTC)
    assert {row[-1] for row in table(laid, "outcome").values()} == {"the same"}
    assert {row[-1] for row in table(laid, "moments").values()} == {"the same"}
    assert {row[-1] for row in table(laid, "stages").values()} == {"the same"}


def test_a_day_that_is_not_finished_leaves_open_what_has_not_come() -> None:
    whole, half = whole_day(small_schedule()), morning(small_schedule())
    laid = compared(
        account_of_events(day(1), whole.schedule, whole.events),
        account_of_events(day(2), half.schedule, half.events),
        zone=UTC,
    )
    assert table(laid, "moments")["Pitch"] == ("13:15", "4 hours 15 minutes", "-", "-", "-")


def test_no_name_does_harm_beside_another() -> None:
    one = whole_day(small_schedule())
    nasty = replace(
        one.schedule, beer="\x1b]0;gone\x07", kettle=replace(one.schedule.kettle, name="\u202e")
    )
    told = account_of_events(day(1), nasty, one.events)
    assert all(line.isprintable() for line in as_text(compared(told, told)).splitlines())


def test_a_rest_stands_beside_the_rest_of_its_name_and_no_other() -> None:
    held = [
        Held(
            rest=name,
            wanted_c=wanted_c,
            from_s=0.0,
            until_s=600.0,
            mean_c=wanted_c,
            lowest_c=wanted_c,
            highest_c=wanted_c,
        )
        for name, wanted_c in (("protein", 52.0), ("single", 66.0), ("single", 65.0))
    ]
    one, other = (replace(amber(1, advice=True), held=tuple(rests)) for rests in (held[1:2], held))
    rests = next(s for s in compared(one, other, zone=UTC).sections if s.key == "rests")
    assert rests.tables[0].rows == (
        ("single", "66 degrees (66 wanted)", "66 degrees (66 wanted)"),
        ("protein", "-", "52 degrees (52 wanted)"),
        ("single (2)", "-", "65 degrees (65 wanted)"),
    )

"""A day's report goes on with its beer: what was read, done and packaged, in every form."""

import csv
import io
import json
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser
from reported_days import BEGAN, put_on_record, rehearsed
from small_day import small_schedule, whole_day
from test_record_account_any_day import DAY, READINGS, VALUES, in_every_form
from visited_days import (
    DAY_S,
    FERMENTED,
    PACKAGED,
    brix,
    gravity,
    read,
    said,
    visit,
    visited,
)

from assistant.brewing.fermentation import abv_percent, apparent_attenuation
from assistant.cellar.events import BeerEvent, Errand, VisitBegan
from assistant.cellar.state import BeerReading
from assistant.day.commands import Command
from assistant.day.events import (
    CommandGiven,
    Event,
    NoteTaken,
    NumberSaid,
    Source,
    TaskDone,
    TimePassed,
)
from assistant.day.quantities import Quantity
from assistant.record.journal import Journal
from assistant.record.reporting.account import Account, Figure, Known
from assistant.record.reporting.as_csv import as_csv
from assistant.record.reporting.as_html import day_page
from assistant.record.reporting.as_json import as_json
from assistant.record.reporting.comparing import compared
from assistant.record.reporting.fermentation import Fermentation, ReadOfBeer, Tended
from assistant.record.reporting.fermentation_chart import drawn_until_s
from assistant.record.reporting.laying import laid_out
from assistant.record.reporting.making import account_of_events, account_on_record
from assistant.record.reporting.section import Section
from assistant.record.reporting.text import as_text
from assistant.schedule.model import AdditionKind, Package, PrimingSugar, Units, Vessel


@pytest.fixture(scope="module")
def packaged(tmp_path_factory: pytest.TempPathFactory) -> Account:
    return visited(tmp_path_factory.mktemp("packaged"))


@pytest.fixture(scope="module")
def fermenting(tmp_path_factory: pytest.TempPathFactory) -> Account:
    return visited(tmp_path_factory.mktemp("fermenting"), FERMENTED, sample="saltgrass-pale")


def beer(account: Account) -> Fermentation:
    assert account.fermentation is not None
    return account.fermentation


def section(account: Account) -> Section:
    return next(s for s in laid_out(account, zone=UTC).sections if s.key == "fermenter")


def rows(account: Account, caption: str) -> dict[str, tuple[str, ...]]:
    """The rows of a table by their first cell."""
    table = next(t for t in section(account).tables if t.caption.startswith(caption))
    return {row[0]: row[1:] for row in table.rows}


def table_of(account: Account, kind: str) -> list[dict[str, str]]:
    text = as_csv(account, zone=UTC)
    return [row for row in csv.DictReader(io.StringIO(text, newline="")) if row["kind"] == kind]


# A beer that nobody came to


def test_a_day_without_a_visit_tells_nothing_of_its_beer() -> None:
    day = rehearsed()
    account = account_of_events(DAY, day.schedule, day.events)
    assert account.fermentation is None
    assert "In the fermenter" not in as_text(laid_out(account))
    assert json.loads(as_json(account))["fermentation"] is None
    assert "beer reading" not in as_csv(account)


def test_visits_leave_the_account_of_the_brewing_as_it_was(packaged: Account) -> None:
    day = rehearsed()
    brewed = account_of_events(packaged.day, day.schedule, day.events)
    abv = Figure.ALCOHOL
    assert replace(packaged, fermentation=None, outcomes=()) == replace(brewed, outcomes=())
    others = [o for o in packaged.outcomes if o.figure is not abv]
    assert others == [o for o in brewed.outcomes if o.figure is not abv]


# What it came to


def test_alcohol_and_attenuation_are_those_of_the_gravity_read(packaged: Account) -> None:
    told = beer(packaged)
    assert told.final_gravity == pytest.approx(1.012)
    assert told.abv_percent == pytest.approx(abv_percent(told.original_gravity, 1.012))
    assert told.attenuation == pytest.approx(apparent_attenuation(told.original_gravity, 1.012))
    found = rows(packaged, "What it came to")
    assert found["Final gravity"] == ("1.011", "1.012", "by the readings")
    assert found["Attenuation, apparent"] == ("77 %", "75 %", "by the readings")
    assert found["Alcohol by volume"] == ("5.2 %", "5.0 %", "by the readings")


def test_alcohol_reached_is_by_the_readings_once_the_beer_has_ended(packaged: Account) -> None:
    (alcohol,) = [o for o in packaged.outcomes if o.figure is Figure.ALCOHOL]
    assert alcohol.known is Known.READ
    assert alcohol.reached == beer(packaged).abv_percent
    assert json.loads(as_json(packaged))["outcome"]["abv_percent"]["known"] == "by the readings"


def test_alcohol_stays_an_expectation_while_the_beer_ferments(fermenting: Account) -> None:
    (alcohol,) = [o for o in fermenting.outcomes if o.figure is Figure.ALCOHOL]
    assert alcohol.known is Known.EXPECTED
    assert beer(fermenting).final_gravity is None
    assert rows(fermenting, "What it came to")["Gravity"] == ("1.012", "1.012", "so far")


def test_a_gravity_steady_by_the_hydrometer_is_final_before_any_packaging(tmp_path: Path) -> None:
    account = visited(tmp_path, (*FERMENTED, visit(13), gravity(13.001, 1.012)))
    assert beer(account).final_gravity == pytest.approx(1.012)
    assert rows(account, "Its dates")["Steady by the hydrometer"] == (
        "",
        "since 2024-06-23 14:26",
        "for 4 days",
    )
    assert next(o for o in account.outcomes if o.figure is Figure.ALCOHOL).known is Known.READ


def test_a_beer_packaged_unread_has_no_final_gravity_by_the_readings(tmp_path: Path) -> None:
    events = (
        visit(14, Errand.PACKAGE),
        said(14.01, Command.PACKAGED),
        said(14.02, Command.YES),
    )
    account = visited(tmp_path, events)
    assert beer(account).packaged is not None
    assert beer(account).final_gravity is None
    assert rows(account, "What it came to")["Gravity"][1:] == ("-", "not read yet")
    assert rows(account, "How it was packaged")["sugar"] == ("not known",)
    assert rows(account, "Its dates")["Finished, expected"][0] == ""


def test_what_is_read_of_a_bottle_does_not_move_what_the_beer_ended_at(tmp_path: Path) -> None:
    account = visited(tmp_path, (*PACKAGED, visit(30), gravity(30.001, 1.009)))
    assert beer(account).final_gravity == pytest.approx(1.012)
    assert drawn_until_s(beer(account)) < beer(account).beer.pitched_s + 15 * DAY_S


# When


def test_each_date_is_on_the_calendar_and_never_counted_from_the_brew_day(
    packaged: Account,
) -> None:
    dates = rows(packaged, "Its dates")
    assert dates["Yeast in"] == ("", "2024-06-14 14:25", "")
    assert dates["Packaged"] == ("2024-06-27", "2024-06-28 14:39", "day 14")
    # Two weeks in the bottle; common practice, no source.
    assert dates["Ready to drink"] == ("", "2024-07-12", "")
    assert dates["Yeast kept"] == ("", "2024-06-28 14:54", "250 millilitres")
    assert "days)" not in " ".join(
        cell for table in section(packaged).tables for row in table.rows for cell in row
    )


def test_the_curve_tells_when_it_finished_and_how_sure_that_is(packaged: Account) -> None:
    told = beer(packaged)
    date, far = rows(packaged, "Its dates")["Finished, by the curve"][1:]
    assert told.curve.finish_low <= told.curve.finish_day <= told.curve.finish_high
    assert 3 < told.curve.finish_day < 9
    assert date == f"2024-06-{14 + round(told.curve.finish_day + 0.1):d}"
    assert re.fullmatch(r"day \d, from \d to \d+", far)


def test_a_clock_that_was_set_since_the_brewing_dates_the_visits(tmp_path: Path) -> None:
    day = rehearsed()
    day_id = put_on_record(tmp_path, day.schedule, day.events)
    later_s = 400 * DAY_S
    with Journal.open(tmp_path) as journal:
        event = VisitBegan(at=9 * DAY_S, errand=Errand.TEND)
        journal.append(day_id, event, BEGAN + later_s + event.at)
        account = account_on_record(journal, day_id)
    assert account is not None
    assert beer(account).zero_wall_s == BEGAN + later_s
    assert rows(account, "Its dates")["Yeast in"][1].startswith("2025-07-19")
    assert "2024-06-14" in laid_out(account, zone=UTC).lines[0]


# Readings


def test_every_reading_stands_with_its_day_and_where_its_temperature_lies(
    packaged: Account,
) -> None:
    readings = next(t for t in section(packaged).tables if t.caption.startswith("Every reading"))
    assert readings.caption == "Every reading of it; 18 to 20 degrees is wanted"
    assert readings.rows[0][:4] == (
        "2024-06-17 14:26",
        "day 3",
        "Fermenter temperature",
        "19 degC",
    )
    assert [row[6] for row in readings.rows if row[6]] == [
        "as wanted",
        "too warm",
        "as wanted",
        "as wanted",
    ]
    assert len(readings.rows) == len(beer(packaged).readings)


def test_a_refractometer_is_told_with_its_gravity_corrected_for_alcohol(
    packaged: Account,
) -> None:
    (row,) = [row for row in rows_of_readings(packaged) if row[2] == "Brix"]
    assert (row[3], row[5]) == ("6.6 brix", "1.013")


def rows_of_readings(account: Account) -> tuple[tuple[str, ...], ...]:
    return next(t.rows for t in section(account).tables if t.caption.startswith("Every reading"))


def test_brix_read_too_early_has_no_gravity(tmp_path: Path) -> None:
    account = visited(tmp_path, (visit(1), brix(1.001, 12.4)))
    (row,) = rows_of_readings(account)
    assert row[3:6] == ("12.4 brix", "12.4 brix", "")
    assert not beer(account).gravity_read


# What was done


def test_dry_hops_stand_with_when_they_were_due_and_went_in(tmp_path: Path) -> None:
    events = (visit(4.5), said(4.51, Command.HOPS_IN))
    account = visited(tmp_path, events, sample="saltgrass-pale")
    assert rows(account, "What was to be done") == {
        "Cascade at day 4": ("2 ounces", "2024-06-18", "2024-06-19 02:16")
    }
    (line,) = [line for line in account.additions if line.addition.day is not None]
    assert line.in_s == pytest.approx(beer(account).beer.pitched_s + 4.51 * DAY_S)
    added = next(s for s in laid_out(account, zone=UTC).sections if s.key == "additions")
    assert "2024-06-19 02:16" in [row[-1] for row in added.tables[0].rows]
    assert "Charts end here" not in day_page(account)


def test_dry_hops_left_out_are_told_as_that(tmp_path: Path) -> None:
    events = (visit(4.5), said(4.51, Command.MISSED))
    account = visited(tmp_path, events, sample="saltgrass-pale")
    (done,) = [row[-1] for row in rows(account, "What was to be done").values()]
    assert done == "left out, 2024-06-19 02:16"
    (row,) = table_of(account, "beer addition")
    assert row["note"].startswith("left out; due at")


def test_a_note_of_a_visit_stands_by_its_date(packaged: Account) -> None:
    told = [(p.head, p.text) for p in section(packaged).paragraphs]
    assert told == [("2024-06-20 14:29", "smells of apples")]
    assert all(note.text != "smells of apples" for note in packaged.notes)


def test_bottles_are_told_with_their_sugar(packaged: Account) -> None:
    assert rows(packaged, "How it was packaged") == {
        "into": ("bottles",),
        "beer": ("19 litres",),
        "carbonation wanted": ("2.3 volumes",),
        "warmest, for the gas in it": ("22.5 degrees",),
        "sucrose": ("109 grams",),
        "filled": ("38 bottles of 500 millilitres",),
    }


def test_a_keg_is_told_with_its_pressure(tmp_path: Path) -> None:
    package = Package(into=Vessel.KEG, carbonation_vol=2.4, sugar=PrimingSugar.SUCROSE)
    keg = VisitBegan(at=14 * DAY_S, errand=Errand.PACKAGE, package=package, serving_c=4.0)
    events = [keg if isinstance(e, VisitBegan) and e.at == keg.at else e for e in PACKAGED]
    account = visited(tmp_path, events)
    found = rows(account, "How it was packaged")
    assert found["into"] == ("a keg",)
    assert re.fullmatch(r"\d+ kPa at 4 degrees", found["pressure"][0])
    assert "sucrose" not in found
    kinds = {row["what"]: row["unit"] for row in table_of(account, "packaged")}
    assert kinds["pressure"] == "kPa"


def test_what_comes_next_is_told_until_the_beer_is_packaged(
    fermenting: Account, packaged: Account
) -> None:
    ahead = rows(fermenting, "What comes next, as it stood on 2024-06-23")
    assert list(ahead)[-1] == "Bottle it"
    assert not rows(packaged, "What comes next")
    assert table_of(packaged, "to come") == []


# For programs


def objects(thing: object) -> Iterator[object]:
    yield thing
    parts = thing.values() if isinstance(thing, dict) else thing if isinstance(thing, list) else ()
    for part in parts:
        yield from objects(part)


def test_the_keys_of_a_fermentation_are_those_that_were_promised(packaged: Account) -> None:
    told = json.loads(as_json(packaged))["fermentation"]
    assert list(told) == [
        "pitched_s",
        "seen_s",
        "progress",
        "volume_l",
        "original_gravity",
        "gravity",
        "final_gravity",
        "attenuation_percent",
        "abv_percent",
        "curve",
        "steady_s",
        "steady_days",
        "wanted",
        "readings",
        "additions",
        "packaged",
        "slurry",
        "to_come",
        "notes",
        "incidents",
    ]
    assert told["final_gravity"]["reached"] == pytest.approx(1.012)
    assert told["slurry"]["volume_ml"] == 250
    assert told["packaged"]["into"] == "bottles"
    assert told["packaged"]["ready_s"] - told["packaged"]["at_s"] == pytest.approx(14 * DAY_S)
    assert {type(thing) for thing in objects(told)} <= {
        dict, list, str, int, float, bool, type(None),
    }  # fmt: skip


def test_the_table_has_every_reading_of_the_beer_by_its_date(packaged: Account) -> None:
    found = table_of(packaged, "beer reading")
    assert len(found) == len(beer(packaged).readings)
    assert found[0]["clock"].startswith("2024-06-17T14:26")
    assert found[0]["note"] == "said 19 degC, by words; as wanted"
    (brix_row,) = [row for row in found if row["what"] == "brix"]
    assert brix_row["note"] == "said 6.6 brix, by words; 1.0126 SG"
    figures = {row["what"]: row for row in table_of(packaged, "fermentation")}
    assert float(figures["final gravity"]["value"]) == pytest.approx(1.012)
    assert float(figures["alcohol"]["planned"]) == pytest.approx(packaged.plan.abv_percent)


def test_other_units_change_no_figure_for_programs(tmp_path: Path, packaged: Account) -> None:
    us = json.loads(as_json(visited(tmp_path, units=Units.US)))["fermentation"]
    assert us == json.loads(as_json(packaged))["fermentation"]


# Two beers


def test_two_beers_stand_side_by_side(packaged: Account, fermenting: Account) -> None:
    laid = compared(packaged, replace(fermenting, day=replace(fermenting.day, id=2)), zone=UTC)
    (found,) = [s for s in laid.sections if s.key == "fermenter"]
    side = {row[0]: row[1:] for row in found.tables[0].rows}
    assert side["Final gravity"] == ("1.012", "-", "-")
    assert side["Alcohol by volume"][0] == "5.0 %"
    assert side["Alcohol by volume"][2].endswith("% more")
    assert re.fullmatch(r"[\d.]+ days", side["Finished by the curve, after"][0])
    assert side["Packaged after"] == ("14 days", "-", "-")


def test_two_beers_nobody_came_to_are_not_compared() -> None:
    day = rehearsed()
    account = account_of_events(DAY, day.schedule, day.events)
    assert "fermenter" not in [s.key for s in compared(account, account).sections]


# The page


def chart(account: Account) -> ET.Element:
    return ET.fromstring(re.findall(r"<svg.*?</svg>", day_page(account), re.DOTALL)[-1])


def test_the_chart_is_told_in_words_and_tells_its_instruments_apart_by_more_than_colour(
    packaged: Account,
) -> None:
    drawn = chart(packaged)
    assert drawn.get("role") == "img"
    assert drawn.get("aria-labelledby") == "fermentation-title fermentation-desc"
    assert "table" in (drawn[1].text or "")
    words = [element.text for element in drawn.iter() if element.text]
    assert {"hydrometer", "refractometer", "fitted", "planned end", "bottled"} <= set(words)
    assert "floating" not in words


def test_the_page_has_one_chart_more_than_the_day_alone(packaged: Account) -> None:
    alone = replace(packaged, fermentation=None)
    assert day_page(packaged).count("<svg") == day_page(alone).count("<svg") + 1


def test_no_name_in_the_chart_is_taken_for_markup(packaged: Account) -> None:
    told = beer(packaged)
    nasty = "<b>$x^2$</b>"
    from_hops = replace(
        beer(packaged), tended=(*told.tended, *hops_named(nasty, told.beer.pitched_s + DAY_S))
    )
    page = day_page(replace(packaged, fermentation=from_hops))
    assert nasty not in page
    assert nasty in [
        element.text for element in chart(replace(packaged, fermentation=from_hops)).iter()
    ]


def hops_named(name: str, done_s: float) -> tuple[Tended, ...]:
    return (Tended(name=name, kind=AdditionKind.HOPS, weight_g=30.0, due_s=done_s, done_s=done_s),)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_browser_finds_nothing_in_a_beers_page_that_keeps_anybody_out(
    browser: Browser, tmp_path: Path, packaged: Account, scheme: str
) -> None:
    (tmp_path / "day.html").write_text(day_page(packaged, zone=UTC), encoding="utf-8")
    tab = browser.new_page(viewport={"width": 320, "height": 640}, color_scheme=scheme)
    tab.goto((tmp_path / "day.html").as_uri())
    wide = tab.evaluate("document.documentElement.scrollWidth")
    found = Axe().run(tab, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]})
    tab.close()
    assert wide == 320
    assert found.violations_count == 0, found.generate_report()


def test_ten_thousand_readings_of_a_sensor_make_a_page_of_bounded_size(packaged: Account) -> None:
    told = beer(packaged)
    many = tuple(
        ReadOfBeer(
            reading=BeerReading(
                at=told.beer.pitched_s + number * 120.0,
                quantity=Quantity.GRAVITY,
                value=1.020,
                said=1.020,
                said_unit="SG",
                sample_c=None,
                gravity=1.020,
                spread=0.002,
                sensed=True,
                streamed=True,
            ),
            day=number * 120.0 / DAY_S,
            warmth=None,
        )
        for number in range(10_000)
    )
    account = replace(packaged, fermentation=replace(told, readings=(*many, *told.readings)))
    page = day_page(account)
    assert len(page.encode()) - len(day_page(packaged).encode()) < 400_000
    assert re.search(r"Of 100\d\d readings, 97\d\d of a sensor are left out here", page)
    assert len(table_of(account, "beer reading")) == len(many) + len(told.readings)
    assert rows_of_readings(account)[-1] == rows_of_readings(packaged)[-1]
    assert "floating" in [element.text for element in chart(account).iter()]


# Whatever happens


VISIT_GAPS_S = st.sampled_from([0.0, 60.0, 3600.0, DAY_S, 3 * DAY_S, 30 * DAY_S, 500 * DAY_S])
BEER_READINGS = st.builds(
    read,
    day=st.just(0.0),
    quantity=st.sampled_from(
        [Quantity.GRAVITY, Quantity.GRAVITY, Quantity.BRIX, Quantity.FERMENTER_TEMPERATURE]
    ),
    value=st.sampled_from([0.99, 1.0, 1.005, 1.01, 1.02, 1.035, 1.047, 1.06]),
    unit=st.just("SG"),
    source=st.sampled_from(Source),
).map(
    lambda event: (
        event
        if event.quantity is Quantity.GRAVITY
        else replace(event, value=event.value * 6, unit="brix")
        if event.quantity is Quantity.BRIX
        else replace(event, value=event.value * 20, unit="degC")
    )
)
VISIT_STEPS = st.lists(
    st.tuples(
        VISIT_GAPS_S,
        st.one_of(
            BEER_READINGS,
            BEER_READINGS,
            READINGS,
            st.builds(
                VisitBegan,
                at=st.just(0.0),
                errand=st.sampled_from(Errand),
                final_gravity=st.sampled_from([None, 1.008]),
            ),
            st.builds(
                CommandGiven,
                at=st.just(0.0),
                command=st.sampled_from(
                    [
                        *Command,
                        *[Command.PACKAGED, Command.YES, Command.HOPS_IN, Command.UNDO] * 4,
                    ]
                ),
            ),
            st.builds(NumberSaid, at=st.just(0.0), value=VALUES),
            st.builds(NoteTaken, at=st.just(0.0), text=st.text(max_size=20)),
            st.builds(TaskDone, at=st.just(0.0), task_id=st.integers(1, 9)),
            st.builds(TimePassed, at=st.just(0.0)),
        ),
    ),
    max_size=25,
)


@given(steps=VISIT_STEPS, units=st.sampled_from(Units))
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_every_form_can_be_made_of_any_visits(
    steps: list[tuple[float, BeerEvent]], units: Units
) -> None:
    day = whole_day(small_schedule())
    at = day.state.now_s
    events: list[Event | VisitBegan] = [*day.events, VisitBegan(at=at, errand=Errand.TEND)]
    for gap_s, step in steps:
        at += gap_s
        events.append(replace(step, at=at))
    account = account_of_events(DAY, small_schedule(), events, units)
    assert account.fermentation is not None
    in_every_form(account)
    as_text(compared(account, account))


@given(steps=VISIT_STEPS)
@settings(max_examples=8, suppress_health_check=[HealthCheck.too_slow])
def test_a_page_can_be_made_of_any_visits(steps: list[tuple[float, BeerEvent]]) -> None:
    day = whole_day(small_schedule())
    at = day.state.now_s
    events: list[Event | VisitBegan] = [*day.events, VisitBegan(at=at, errand=Errand.TEND)]
    for gap_s, step in steps:
        at += gap_s
        events.append(replace(step, at=at))
    drawn = chart(account_of_events(DAY, small_schedule(), events))
    assert "nan" not in ET.tostring(drawn, encoding="unicode").split("<desc")[0]

"""A day for programs: a table that any spreadsheet opens, and one JSON object."""

import csv
import io
import json
import math
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from functools import cache

import pytest
from reported_days import BEGAN, rehearsed
from small_day import morning, small_schedule, whole_day

from assistant.day.events import NoteTaken
from assistant.day.state import Note
from assistant.plan_page import plan_json
from assistant.record.journal import Day, DayStatus
from assistant.record.reporting.account import Account
from assistant.record.reporting.as_csv import COLUMNS, as_csv
from assistant.record.reporting.as_json import as_json
from assistant.record.reporting.making import account_of_events
from assistant.schedule.model import Units

DAY = Day(
    id=7,
    began_wall=BEGAN,
    schedule_path="/beers/beer.yaml",
    beer="a beer",
    status=DayStatus.FINISHED,
)


@cache
def small() -> Account:
    day = whole_day(small_schedule())
    return account_of_events(DAY, day.schedule, day.events)


@cache
def amber() -> Account:
    day = rehearsed()
    return account_of_events(DAY, day.schedule, day.events)


def rows(account: Account) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(as_csv(account, zone=UTC), newline="")))


# The table


def test_the_table_is_as_the_standard_wants_it() -> None:
    text = as_csv(amber(), zone=UTC)
    lines = text.split("\r\n")
    assert lines[0] == ",".join(COLUMNS)
    assert lines[-1] == ""
    assert "\n" not in text.replace("\r\n", "")
    assert {len(row) for row in csv.reader(io.StringIO(text, newline=""))} == {len(COLUMNS)}


def test_every_figure_in_the_table_is_a_number_or_not_there() -> None:
    for row in rows(amber()):
        for column in ("at_s", "value", "planned"):
            assert row[column] == "" or math.isfinite(float(row[column]))
        if row["at_s"]:
            then = datetime.fromisoformat(row["clock"]).timestamp()
            assert then == pytest.approx(BEGAN + float(row["at_s"]), abs=1.0)


def test_the_table_has_every_reading_with_the_one_taken_back() -> None:
    read = [row for row in rows(small()) if row["kind"] == "reading"]
    assert len(read) == len([seen for seen in small().readings if seen.taken_back_s is None])
    (back,) = [row for row in rows(small()) if row["kind"] == "reading taken back"]
    assert (back["what"], back["value"], back["unit"]) == ("mash_ph", "5.4", "pH")
    assert back["note"] == "said 5.4 pH, by words; taken back at 3960 s"
    mash = [row for row in read if row["what"] == "mash_temperature"][1]
    assert (float(mash["value"]), mash["unit"]) == (pytest.approx(65.5, abs=0.01), "degC")
    assert mash["note"].startswith("said 149.9 degF")


def test_the_table_has_what_was_planned_beside_what_was_reached() -> None:
    found = {row["what"]: row for row in rows(amber()) if row["kind"] == "figure"}
    gravity = found["original_gravity"]
    assert float(gravity["planned"]) == pytest.approx(amber().plan.original_gravity)
    assert float(gravity["value"]) == pytest.approx(1.049, abs=0.001)
    assert gravity["unit"] == "SG"


def test_the_table_has_the_course_of_the_temperature_with_the_plans() -> None:
    course = [
        row for row in rows(amber()) if (row["kind"], row["what"]) == ("believed", "temperature")
    ]
    assert len(course) > 200
    assert all(row["planned"] for row in course[:100])


@pytest.mark.parametrize(
    "start",
    ["=", "+", "-", "@", "\t=", "\r=", "\n=", "  =", "\uff1d", "\uff0b", "\uff0d", "\uff20"],
)
def test_no_text_is_worked_out_by_a_spreadsheet(start: str) -> None:
    text = f"{start}HYPERLINK(A1)"
    told = replace(small(), notes=(Note(at=60.0, text=text),))
    (note,) = [row for row in rows(told) if row["kind"] == "note"]
    assert note["note"] == f"'{text.strip()}"


def test_a_negative_figure_stays_a_number() -> None:
    moved = [row["value"] for row in rows(amber()) if row["kind"] == "reason"]
    assert any(value.startswith("-") for value in moved)


def test_text_with_commas_quotes_and_line_ends_comes_back_on_one_line() -> None:
    told = replace(small(), notes=(Note(at=60.0, text='a, "b"\nc'),))
    (note,) = [row for row in rows(told) if row["kind"] == "note"]
    assert note["note"] == 'a, "b" c'


# The object


def objects(thing: object) -> Iterator[object]:
    yield thing
    if isinstance(thing, dict):
        for value in thing.values():
            yield from objects(value)
    if isinstance(thing, list):
        for value in thing:
            yield from objects(value)


def told(account: Account) -> dict[str, object]:
    found = json.loads(as_json(account))
    assert isinstance(found, dict)
    return found


KEYS = [
    "format",
    "day",
    "beer",
    "status",
    "schedule_path",
    "began",
    "began_s",
    "ended_s",
    "recipe",
    "plan",
    "outcome",
    "reasons",
    "moments",
    "stages",
    "course",
    "readings",
    "additions",
    "salts",
    "advice",
    "deviations",
    "kettle",
    "asked",
    "taken_back",
    "notes",
    "incidents",
    "fermentation",
]


def test_the_keys_are_those_that_were_promised() -> None:
    assert list(told(amber())) == KEYS
    assert told(amber())["format"] == 1


def test_the_plan_has_the_keys_of_the_plan_command() -> None:
    assert told(amber())["plan"] == json.loads(plan_json(amber().plan))


def test_no_figure_is_not_finite() -> None:
    broken = replace(
        amber(), reasons=(replace(amber().reasons[0], planned=math.nan, was=math.inf),)
    )
    text = as_json(broken)
    assert "NaN" not in text
    assert "Infinity" not in text
    reason = json.loads(text)["reasons"][0]
    assert (reason["planned"], reason["was"]) == (None, None)


def test_everything_is_a_number_text_truth_or_nothing() -> None:
    kinds = {type(thing) for thing in objects(told(amber()))}
    assert kinds <= {dict, list, str, int, float, bool, type(None)}


def test_a_reading_has_what_was_said_and_what_is_kept() -> None:
    found = json.loads(as_json(small()))["readings"]
    (back,) = [reading for reading in found if reading["taken_back_s"] is not None]
    assert back == {
        "at_s": 3900.0,
        "quantity": "mash_ph",
        "value": 5.4,
        "unit": "pH",
        "said": 5.4,
        "said_unit": "pH",
        "sample_c": None,
        "source": "words",
        "taken_back_s": 3960.0,
    }
    gravity = [reading for reading in found if reading["quantity"] == "gravity"][-1]
    assert gravity["sample_c"] == 21.0


def test_an_object_is_the_same_in_any_encoding() -> None:
    day = morning(small_schedule())
    day.happen(NoteTaken(at=8000.0, text="Weißbier 白 \ud800"))
    text = as_json(account_of_events(DAY, day.schedule, day.events))
    assert json.loads(text.encode("cp437").decode("utf-8"))["notes"][-1]["text"] == (
        "Weißbier 白 \ud800"
    )


def test_the_day_began_at_a_moment_anybody_can_read() -> None:
    assert json.loads(as_json(small()))["began"] == "2024-06-14T09:00:00+00:00"


def test_a_deviation_is_in_figures_and_in_words() -> None:
    found = json.loads(as_json(small()))["deviations"]
    late = next(each for each in found if each["off"] == "addition boiled less")
    assert (late["name"], late["planned"], late["was"], late["unit"]) == ("Target", 45, 40, "min")
    assert late["found"] == "Target had 40 minutes of boil instead of 45 minutes: 5 minutes less."
    assert "IBU less" in late["meant"]


def test_other_units_change_no_figure_for_programs() -> None:
    day = whole_day(small_schedule())
    us = json.loads(as_json(account_of_events(DAY, day.schedule, day.events, Units.US)))
    metric = json.loads(as_json(small()))
    for key in set(KEYS) - {"recipe", "deviations", "course"}:
        assert us[key] == metric[key]

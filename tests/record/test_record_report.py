"""The page of a day holds what a brewer looks for afterwards, in the brewer's units."""

from dataclasses import replace
from datetime import UTC, datetime, tzinfo

import pytest
from small_day import Brewed, morning, small_schedule, whole_day

from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.events import ClockJumped, Jump, RecordTrouble, RecordTroubled
from assistant.day.quantities import Quantity
from assistant.day.state import Extra, Reading, State, new_day
from assistant.day.wording import MOMENT_WORDS, STAGE_NAMES
from assistant.record.journal import Day, DayStatus
from assistant.record.reporting.laying import laid_out
from assistant.record.reporting.making import account_of
from assistant.record.reporting.text import as_text
from assistant.schedule.model import AdditionKind, Moment, Units

NINE = datetime(2024, 6, 14, 9, 0, tzinfo=UTC).timestamp()


def on_record(status: DayStatus = DayStatus.FINISHED, began_wall: float = NINE) -> Day:
    return Day(
        id=3,
        began_wall=began_wall,
        schedule_path="/beers/slipway.yaml",
        beer="Slipway Bitter",
        status=status,
    )


def report(state: State, day: Day, zone: tzinfo | None = None) -> str:
    return as_text(laid_out(account_of(day, state), zone=zone))


def page(day: Brewed, **changes: object) -> list[str]:
    record = replace(on_record(), **changes)
    return report(day.state, record, zone=UTC).splitlines()


def under(lines: list[str], title: str) -> list[list[str]]:
    """The rows of a section, each as its cells."""
    rows = lines[lines.index(title) + 1 :]
    if "" in rows:
        rows = rows[: rows.index("")]
    return [[cell.strip() for cell in row.split("  ") if cell.strip()] for row in rows]


@pytest.fixture(scope="module")
def day() -> Brewed:
    return whole_day(small_schedule())


def test_the_head_says_what_was_brewed_and_when(day: Brewed) -> None:
    assert page(day)[:4] == [
        "Slipway Bitter",
        "Day 3: 2024-06-14, 09:00 to 13:40, finished",
        "18 litres from 3.6 kilos of grain",
        "Schedule /beers/slipway.yaml",
    ]


def test_the_head_names_a_kettle_that_has_a_name(day: Brewed) -> None:
    kettle = replace(day.schedule.kettle, name="garage-35l")
    state = replace(day.state, schedule=replace(day.schedule, kettle=kettle), card=kettle)
    assert "from 3.6 kilos of grain, kettle garage-35l" in report(state, on_record(), zone=UTC)


@pytest.mark.parametrize(
    ("status", "words"),
    [
        (DayStatus.OPEN, "not finished yet"),
        (DayStatus.FINISHED, "finished"),
        (DayStatus.LEFT, "left unfinished"),
    ],
)
def test_the_head_says_how_the_day_ended(day: Brewed, status: DayStatus, words: str) -> None:
    assert page(day, status=status)[1].endswith(f", {words}")


def test_what_was_read_in_the_fermenter_stands_beside_the_plan(day: Brewed) -> None:
    rows = {row[0]: row[1:] for row in under(page(day), "Planned and reached")}
    plan = day.state.plan
    assert rows["Volume"] == ["18 litres", "17.7 litres", "by the readings"]
    assert rows["Original gravity"] == [f"{plan.original_gravity:.3f}", "1.047", "by the readings"]
    assert rows["Bitterness"][0] == f"{plan.ibu:.0f} IBU"
    assert rows["Alcohol by volume"][0] == f"{plan.abv_percent:.1f} %"


def test_hops_weighed_for_more_wort_than_came_over_leave_more_bitterness(day: Brewed) -> None:
    rows = {row[0]: row[1:] for row in under(page(day), "Planned and reached")}
    planned, reached = (int(cell.removesuffix(" IBU")) for cell in rows["Bitterness"][:2])
    # 19.1 litres were foretold when the hops were weighed out, and 17.6 came over.
    assert (planned, reached) == (36, 38)


def test_more_gravity_than_planned_makes_more_alcohol(day: Brewed) -> None:
    rows = {row[0]: row[1:] for row in under(page(day), "Planned and reached")}
    planned, reached = (float(cell.removesuffix(" %")) for cell in rows["Alcohol by volume"][:2])
    assert day.state.plan.original_gravity < 1.047
    assert reached > planned


def test_what_the_fermenter_holds_of_the_grist_is_told_in_percent(day: Brewed) -> None:
    rows = {row[0]: row[1:] for row in under(page(day), "Planned and reached")}
    # 17.6 L of 1.047 (11.67 °P) hold 17.6 × 1.047 × 0.9982 × 0.1167 = 2.147 kg.
    grist_kg = sum(malt.weight_kg * malt.extract for malt in day.state.schedule.grist)
    assert rows["Extract from the grist"][1] == f"{100 * 2.147 / grist_kg:.0f} %"


def test_what_was_not_read_is_reckoned_and_what_is_not_made_yet_expected(day: Brewed) -> None:
    unread = report(replace(day.state, readings=()), on_record(), zone=UTC).splitlines()
    for lines, known in ((unread, "reckoned"), (page(morning(small_schedule())), "expected")):
        rows = {row[0]: row for row in under(lines, "Planned and reached")}
        assert rows["Volume"][-1] == known
        assert rows["Original gravity"][-1] == known


@pytest.mark.parametrize(
    ("moment", "stage", "reached"),
    [
        ("Strike", Stage.DOUGH_IN, "09:41"),
        ("Boil", Stage.BOIL, "11:10"),
        ("Flameout", Stage.WHIRLPOOL, "12:10"),
        ("Pitch", Stage.CLEAN, "13:15"),
    ],
)
def test_the_great_moments_stand_beside_their_plan(
    day: Brewed, moment: str, stage: Stage, reached: str
) -> None:
    rows = {row[0]: row[1:] for row in under(page(day), "Planned and reached")}
    starts_min = next(p.starts_min for p in day.state.plan.stages if p.stage == stage.value)
    planned = datetime.fromtimestamp(NINE + starts_min * 60, UTC)
    assert rows[moment][:2] == [f"{planned:%H:%M}", reached]
    assert rows[moment][2].endswith(" early")


@pytest.mark.parametrize(
    ("late_s", "words"),
    [
        pytest.param(-900.0, "15 minutes early", id="early"),
        pytest.param(0.0, "on time", id="to the second"),
        pytest.param(59.0, "on time", id="within a minute"),
        pytest.param(600.0, "10 minutes late", id="late"),
    ],
)
def test_a_moment_is_told_early_late_or_on_time(day: Brewed, late_s: float, words: str) -> None:
    starts_min = next(p.starts_min for p in day.state.plan.stages if p.stage == "clean")
    reached = tuple(
        replace(entry, at=starts_min * 60 + late_s) if entry.stage is Stage.CLEAN else entry
        for entry in day.state.reached
    )
    lines = page(replace(day, state=replace(day.state, reached=reached)))
    rows = {row[0]: row for row in under(lines, "Planned and reached")}
    assert rows["Pitch"][-1] == words


def test_clock_times_are_those_of_this_machine_unless_told_otherwise(day: Brewed) -> None:
    began = datetime.fromtimestamp(NINE)
    assert f"Day 3: {began:%Y-%m-%d}, {began:%H:%M} to" in report(day.state, on_record())


def test_a_day_begun_at_a_later_second_of_its_driver_keeps_its_clock(day: Brewed) -> None:
    shifted = tuple(replace(entry, at=entry.at + 5000.0) for entry in day.state.reached)
    rows = under(page(replace(day, state=replace(day.state, reached=shifted))), "Stages")
    assert rows[1][:2] == ["Getting ready", "09:00"]


def test_a_moment_that_has_not_come_stays_open() -> None:
    rows = {row[0]: row for row in under(page(morning(small_schedule())), "Planned and reached")}
    assert rows["Boil"][2] == "11:10"
    assert rows["Pitch"][2:] == ["-"]


def test_a_boil_that_was_none_does_not_count(day: Brewed) -> None:
    at = {entry.stage: entry for entry in day.state.reached}
    boil = at[Stage.BOIL]
    too_soon = [replace(boil, at=boil.at - 600), replace(at[Stage.BOIL_UP], at=boil.at - 300)]
    place = day.state.reached.index(boil)
    reached = (*day.state.reached[:place], *too_soon, *day.state.reached[place:])
    lines = page(replace(day, state=replace(day.state, reached=reached)))
    rows = {row[0]: row for row in under(lines, "Planned and reached")}
    assert rows["Boil"][2] == "11:10"


def test_every_stage_has_its_time_and_length(day: Brewed) -> None:
    rows = {row[0]: row[1:] for row in under(page(day), "Stages")[1:]}
    assert list(rows) == [
        STAGE_NAMES[entry.stage] + (f", {entry.rest}" if entry.rest else "")
        for entry in day.state.reached
    ]
    assert rows["Getting ready"] == ["09:00", "10 minutes", "15 minutes"]
    assert rows["Boil"] == ["11:10", "60 minutes", "60 minutes"]
    assert rows["Mash, single"][2] == "60 minutes"
    assert rows["Finished"] == ["13:40"]


def test_readings_stand_as_said_and_as_kept(day: Brewed) -> None:
    rows = under(page(day), "Readings")
    assert ["09:58", "Mash temperature", "149.9 degF", "65.5 degrees"] in rows
    assert ["13:03", "Gravity", "1.047 at 21 degrees", "1.047"] in rows
    assert ["13:02", "Fermenter volume", "17.6 L", "17.6 litres"] in rows


def test_a_boil_that_was_reported_as_a_reading_is_in_words(day: Brewed) -> None:
    boiling = Reading(
        at=7800.0,
        quantity=Quantity.BOILING,
        value=1.0,
        said=1.0,
        said_unit="1",
        sample_c=None,
    )
    state = replace(day.state, readings=(boiling,))
    rows = under(page(replace(day, state=state)), "Readings")
    assert rows[1:] == [["11:10", "Boiling", "yes", "boiling"]]


def test_a_reading_taken_back_is_not_on_the_page(day: Brewed) -> None:
    assert not any("pH" in line for line in page(day))


def test_additions_stand_with_their_planned_and_real_time(day: Brewed) -> None:
    rows = {row[0]: row[1:] for row in under(page(day), "Additions")}
    boil_min = next(p.starts_min for p in day.state.plan.stages if p.stage == "boil")
    planned = datetime.fromtimestamp(NINE + (boil_min + 15) * 60, UTC)
    assert rows["Target"] == [
        "24 grams (22 grams planned)",
        "at 45 minutes",
        f"{planned:%H:%M}",
        "11:30, boiled 40 minutes",
    ]
    assert rows["kettle finings"][-1] == "left out"
    assert rows["Bramling at flameout"][-1] == "12:11"
    assert rows["Bramling at day 4"] == ["30 grams", "day 4", "not yet"]


def test_hops_that_advice_made_more_are_told_apart(day: Brewed) -> None:
    target = replace(
        day.state.additions[0], weight_g=25.0, extra=(Extra(grams=6.0, at_s=135 * 60.0),)
    )
    state = replace(day.state, additions=(target, *day.state.additions[1:]))
    rows = {row[0]: row[1:] for row in under(page(replace(day, state=state)), "Additions")}
    assert rows["Target"][0] == "25 grams (22 grams planned)"
    assert rows["more Target"] == ["6 grams", "11:15, boiled 55 minutes"]


def test_every_moment_of_the_kettle_can_be_put_in_words() -> None:
    assert set(MOMENT_WORDS) == set(Moment) - {Moment.BEFORE_END, Moment.DAY}


def test_advice_stands_with_what_was_chosen_and_its_effect(day: Brewed) -> None:
    first = under(page(day), "Advice taken")[0]
    taken = day.state.taken[0]
    assert first[0] == "09:53"
    assert taken.finding in first[1].lower()
    assert f"Chosen: heat. Then: {taken.effect}." in first[1]


def test_notes_can_do_no_harm_to_a_terminal(day: Brewed) -> None:
    lines = page(day)
    assert ["09:05", "fan on the left, ladle in the bucket"] in under(lines, "Notes")
    assert any(r"pitched\x1b[2J\u202elate" in line for line in lines)
    assert all(line.isprintable() for line in lines)


def test_names_can_do_no_harm_to_a_terminal_either(day: Brewed) -> None:
    nasty = "\x1b]0;gone\x07"
    schedule = replace(
        day.schedule,
        beer=nasty,
        kettle=replace(day.schedule.kettle, name=nasty),
        additions=tuple(replace(a, name=nasty) for a in day.schedule.additions),
    )
    reached = tuple(replace(r, rest=nasty if r.rest else None) for r in day.state.reached)
    taken = tuple(replace(t, finding=nasty, effect=nasty) for t in day.state.taken)
    state = replace(day.state, schedule=schedule, reached=reached, taken=taken)
    lines = page(replace(day, state=state), schedule_path=nasty)
    assert all(line.isprintable() for line in lines)


def test_a_long_note_is_wrapped_and_whole(day: Brewed) -> None:
    words = " ".join(f"word{number}" for number in range(80))
    note = replace(day.state.notes[0], text=words)
    lines = page(replace(day, state=replace(day.state, notes=(note,))))
    shown = lines[lines.index("Notes") + 1 :]
    assert all(len(line) <= 88 for line in shown)
    assert " ".join(" ".join(shown).split()[1:]) == words


def test_a_brewer_in_us_units_reads_us_units() -> None:
    day = whole_day(replace(small_schedule(), units=Units.US))
    lines = page(day)
    rows = {row[0]: row[1:] for row in under(lines, "Planned and reached")}
    assert rows["Volume"][:2] == ["4.8 gallons", "4.7 gallons"]
    assert ["09:58", "Mash temperature", "149.9 degF", "149.9 degrees"] in under(lines, "Readings")


def test_a_day_past_midnight_says_so(day: Brewed) -> None:
    evening = datetime(2024, 6, 14, 21, 0, tzinfo=UTC).timestamp()
    lines = page(day, began_wall=evening)
    assert lines[1] == "Day 3: 2024-06-14, 21:00 to 01:40 (+1 day), finished"


def test_a_rest_after_the_first_counts_its_heating(day: Brewed) -> None:
    rests = (*day.schedule.mash, replace(day.schedule.mash[0], name="mash-out", minutes=10.0))
    mash_out = replace(day.state.reached[3], rest="mash-out")
    state = replace(
        day.state,
        schedule=replace(day.schedule, mash=rests),
        reached=(*day.state.reached[:4], mash_out, *day.state.reached[4:]),
    )
    rows = {row[0]: row for row in under(page(replace(day, state=state)), "Stages")}
    assert rows["Mash, mash-out"][-1] == "10 minutes and the heating"


def test_a_day_that_has_not_begun_has_only_its_plan() -> None:
    schedule = small_schedule()
    state = new_day(schedule, make_plan(schedule))
    lines = report(state, on_record(DayStatus.OPEN), zone=UTC).splitlines()
    assert lines[1] == "Day 3: 2024-06-14, 09:00 to 09:00, not finished yet"
    assert "Stages" not in lines
    assert "Readings" not in lines


def test_a_beer_drier_than_the_sums_hold_for_leaves_the_alcohol_open(day: Brewed) -> None:
    sugar = replace(
        day.schedule.additions[0], kind=AdditionKind.SUGAR, weight_g=2500.0, alpha=None, extract=1.0
    )
    schedule = replace(
        day.schedule,
        additions=(sugar, *day.schedule.additions[1:]),
        yeast=replace(day.schedule.yeast, attenuation=1.1),
    )
    batch = replace(day.state.batch, extract_kg=6.0)
    plan = replace(day.state.plan, sugar_share=0.9)
    state = replace(day.state, schedule=schedule, plan=plan, batch=batch)
    rows = {row[0]: row for row in under(page(replace(day, state=state)), "Planned and reached")}
    assert rows["Alcohol by volume"][2] == "-"


def test_what_befell_the_record_and_the_clock_is_told_with_its_time() -> None:
    day = morning(small_schedule())
    for event in (
        RecordTroubled(at=10800.0, trouble=RecordTrouble.FULL),
        RecordTroubled(at=10860.0, trouble=RecordTrouble.WRITTEN_AGAIN),
        ClockJumped(at=10920.0, jump=Jump.SET, seconds=7.0),
    ):
        day.happen(event)
    lines = [" ".join(row) for row in under(page(day), "The record and the clock")]
    assert lines[0].startswith("12:00 The disk is full.")
    assert lines[1].startswith("12:01 The record is written again.")
    assert lines[2].startswith("12:02 The computer's clock was set 7 seconds forward.")


def test_a_day_that_nothing_befell_says_nothing_of_it(day: Brewed) -> None:
    assert "The record and the clock" not in page(day)

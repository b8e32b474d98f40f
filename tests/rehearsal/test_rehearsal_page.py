"""The page of a rehearsed day: short enough to read, with everything that mattered on it."""

import io
from functools import cache
from pathlib import Path

import pytest
from rich.console import Console

from assistant.day.effects import Why
from assistant.rehearsal.day import rehearse
from assistant.rehearsal.folding import folded, unfolded
from assistant.rehearsal.page import SEED, rehearse_command
from assistant.rehearsal.rehearsed import Line, Rehearsed, Who
from assistant.rehearsal.truths import INSTRUCTIVE
from assistant.schedule import load

SAMPLE = Path(__file__).parents[2] / "schedules" / "breakwater-amber.yaml"


@cache
def page(everything: bool = False) -> list[str]:
    console = Console(width=100, file=io.StringIO(), record=True)
    rehearse_command(load(SAMPLE), console, everything=everything)
    return console.export_text().splitlines()


@cache
def the_day() -> Rehearsed:
    return rehearse(load(SAMPLE), INSTRUCTIVE, SEED, follow_advice=True)


def squeezed(lines: list[str]) -> str:
    return "".join("".join(lines).split())


def test_the_sample_fits_on_a_page() -> None:
    assert len(page()) <= 85
    assert max(len(line) for line in page()) <= 100


@pytest.mark.parametrize(
    "heading",
    [
        "GATHER",
        "STRIKE",
        "MASH:~BETA",
        "LIFT",
        "BOIL~UP",
        "BOIL",
        "WHIRLPOOL",
        "CHILL",
        "TRANSFER",
        "PITCH",
        "CLEAN",
    ],
)
def test_every_stage_has_its_heading(heading: str) -> None:
    assert any(f" {heading.replace('~', ' ')}  " in line for line in page())


def test_advice_and_what_was_chosen_are_kept() -> None:
    rows = [row for row in folded(the_day().log) if row.advice]
    assert [row.brewer for row in rows] == [(answer.say,) for answer in the_day().answers]
    assert len(rows) == sum(line.advice for line in the_day().log)


def test_the_late_addition_is_kept() -> None:
    text = "\n".join(page())
    assert "Northern Brewer now: 25 grams. Due 30 seconds ago. [" in text
    assert "minutes late" in text


def test_what_the_brewer_asks_is_kept_with_its_answer() -> None:
    asked = next(row for row in folded(the_day().log) if row.brewer == ("how long",))
    assert asked.program.startswith("Boil, ")


@pytest.mark.parametrize(
    ("line", "kept"),
    [
        (Line(at=1, who=Who.PROGRAM, text="66, noted.", why=Why.READBACK), False),
        (Line(at=1, who=Who.PROGRAM, text="Target in, 5 minutes late.", why=Why.READBACK), True),
        (Line(at=1, who=Who.PROGRAM, text="Dry hands.", why=Why.CAUTION), False),
        (Line(at=1, who=Who.PROGRAM, text="Little head space.", why=Why.WARNING), True),
        (
            Line(at=1, who=Who.PROGRAM, text="Target in 2 minutes: 3 grams.", why=Why.REMINDER),
            False,
        ),
        (Line(at=1, who=Who.PROGRAM, text="Target now: 3 grams.", why=Why.REMINDER), True),
        (Line(at=1, who=Who.PROGRAM, text="Boil, 40 minutes left.", why=Why.ANSWER), True),
        (Line(at=1, who=Who.BREWER, text="okay"), False),
        (Line(at=1, who=Who.BREWER, text="leave it"), True),
    ],
    ids=lambda value: value.text if isinstance(value, Line) else None,
)
def test_what_is_folded_away(line: Line, kept: bool) -> None:
    rows = folded([Line(at=0, who=Who.DAY, text="boil"), line])
    assert len(rows) == (2 if kept else 1)


def test_a_question_asked_again_is_one_row_with_all_its_answers() -> None:
    asked = Line(at=1, who=Who.PROGRAM, text="Water temperature?", why=Why.QUESTION)
    log = [
        Line(at=0, who=Who.DAY, text="strike"),
        asked,
        Line(at=2, who=Who.BREWER, text="water temperature 60"),
        asked,
        Line(at=4, who=Who.BREWER, text="water temperature 68"),
    ]
    rows = folded(log)
    assert len(rows) == 2
    assert rows[1].brewer == ("water temperature 60", "water temperature 68")


def test_everything_is_shown_when_asked_for() -> None:
    assert len(unfolded(the_day().log)) == len(the_day().log)
    text = squeezed(page(everything=True))
    missing = [line.text for line in the_day().log if line.who is Who.BREWER]
    assert [words for words in missing if "".join(words.split()) not in text] == []


def test_the_closing_table_sets_plan_and_both_days_side_by_side() -> None:
    whole = page()
    header = next(place for place, line in enumerate(whole) if "without advice" in line)
    table = [whole[header], *(line for line in whole[header + 1 :] if line[:16].strip())]
    assert table[0].split() == [
        "planned",
        "without",
        "advice",
        "with",
        "advice",
        "what",
        "changed",
        "it",
    ]
    names = ["original gravity", "in the fermenter", "bitterness", "first rest", "yeast in at"]
    assert [line[:16].strip() for line in table[1:]] == names
    assert "1.050" in table[1]
    assert "20 litres" in table[2]
    assert "Northern Brewer in, " in table[3]
    assert "64 degrees" in table[4]
    assert "heat" in table[4]

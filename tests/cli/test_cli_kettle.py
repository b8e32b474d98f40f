"""The kettle as its brews have taught it: the page, the lines for its file, and the JSON."""

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from sample_files import SAMPLES

from assistant.advice.kettle_history import Trend
from assistant.advice.learned import Figure, LearnedKettle, Trait, with_learned
from assistant.day.events import DayBegan
from assistant.kettle_page import KettleView, course_bars, kettle_text, kettle_view, kettles_json
from assistant.record.journal import DayStatus, Journal
from assistant.schedule import Schedule, load
from assistant.schedule.model import Units

AMBER = SAMPLES / "breakwater-amber.yaml"
NOON = 1_718_366_400.0
"""2024-06-14, 12:00 UTC."""

TWO_WEEKS_S = 14 * 86_400.0
RISING_L_H = (2.62, 2.8, 3.0, 3.2, 3.4, 3.6, 3.8)


def brew(folder: Path, schedule: Schedule, boil_offs_l_h: tuple[float, ...]) -> None:
    """Finished days in one kettle, each of which taught its boil-off, and the extract."""
    known = None
    with Journal.open(folder) as journal:
        for place, boil_off_l_h in enumerate(boil_offs_l_h):
            wall_s = NOON + TWO_WEEKS_S * place
            day_id = journal.begin_day(with_learned(schedule, known), "amber.yaml", wall_s)
            journal.append(day_id, DayBegan(at=0.0, learned=known), wall_s)
            known = LearnedKettle(
                kettle=schedule.kettle.name,
                brews=place + 1,
                figures={
                    Trait.BOIL_OFF: Figure(value=boil_off_l_h, spread=0.1, card=2.6),
                    Trait.EXTRACT: Figure(value=0.74, spread=0.01, card=0.73),
                    Trait.LANDING: Figure(value=-0.6, spread=0.2, card=0.0),
                },
            )
            journal.keep_learned(day_id, known)
            journal.close_day(day_id, DayStatus.FINISHED)


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("kettles")
    amber = load(AMBER)
    brew(folder, amber, RISING_L_H)
    shed = replace(amber, kettle=replace(amber.kettle, name="shed\x1b[31m"), units=Units.US)
    brew(folder, shed, (2.7,))
    return folder


def view(record: Path, name: str, units: Units | None = None) -> KettleView:
    with Journal.open(record, read_only=True) as journal:
        return kettle_view(name, journal.learned_over(name), units)


def kettleside(*words: str, encoding: str = "utf-8") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "assistant", *words],
        capture_output=True,
        text=True,
        encoding=encoding,
        timeout=60,
        check=False,
        env={"PATH": "/usr/bin:/bin", "HOME": "/nowhere", "PYTHONIOENCODING": encoding},
    )


def test_each_figure_is_told_beside_the_card_with_its_range_and_its_trend(record: Path) -> None:
    page = kettle_text(view(record, "garage 35 L"), bars=False).splitlines()
    assert page[0] == "garage 35 L: 7 brews, the last on 2024-09-06"
    rows = [" ".join(line.split()) for line in page]
    assert "boil-off 2.6 L/h 3.8 L/h 3.5 to 4.1 rising, 1.2 L/h in 7 brews" in rows
    assert "extract to the kettle 73 % 74 % 72 to 76 steady" in rows
    assert "mash lands - -0.6 K -1 to -0.2 steady" in rows


def test_each_figure_is_told_as_it_was_after_each_of_the_last_brews(record: Path) -> None:
    page = kettle_text(view(record, "garage 35 L"), bars=False)
    rows = [" ".join(line.split()) for line in page.splitlines()]
    assert "after each brew day 2 day 3 day 4 day 5 day 6 day 7" in rows
    assert "boil-off 2.8 3 3.2 3.4 3.6 3.8" in rows


def test_bars_stand_beside_the_figures_and_never_in_their_place(record: Path) -> None:
    known = view(record, "garage 35 L")
    without, drawn = (kettle_text(known, bars=bars).splitlines() for bars in (False, True))
    for plain, barred in zip(without, drawn, strict=True):
        assert barred.startswith(plain)
    bars = {history.trait: course_bars(history) for history in known.histories}
    assert bars[Trait.BOIL_OFF] == "".join(sorted(bars[Trait.BOIL_OFF]))
    assert len(set(bars[Trait.EXTRACT])) == 1


def test_what_is_away_from_the_card_is_told_as_a_line_for_its_file(record: Path) -> None:
    page = kettle_text(view(record, "garage 35 L"), bars=False)
    assert "boil_off: 3.8 L/h   # boil-off; card: 2.6 L/h" in page.splitlines()
    assert "extract_efficiency" not in page
    assert "Nothing that was learned is lost" in " ".join(page.split())


def test_a_kettle_like_its_card_needs_no_lines_and_one_brew_shows_no_trend(record: Path) -> None:
    page = kettle_text(view(record, "shed\x1b[31m"), bars=True)
    assert page.startswith("shed\\x1b[31m: 1 brew, the last on 2024-06-14")
    assert "Nothing is clearly away from the card." in page
    assert page.count(Trend.TOO_FEW.value) == 3


def test_a_page_is_in_the_units_of_the_last_brew_unless_others_are_asked_for(
    record: Path,
) -> None:
    assert "0.71 gal/h" in kettle_text(view(record, "shed\x1b[31m"), bars=False)
    metric = kettle_text(view(record, "shed\x1b[31m", Units.METRIC), bars=False)
    assert "2.7 L/h" in metric
    assert "gal" not in metric


def test_for_programs_there_are_plain_figures_in_the_unit_of_their_key(record: Path) -> None:
    found = json.loads(kettles_json([view(record, "garage 35 L", Units.US)]))
    (told,) = found["kettles"]
    assert (told["kettle"], told["brews"]) == ("garage 35 L", 7)
    assert told["days"][0] == {"day": 1, "began_unix_s": NOON}
    boil_off = told["figures"]["boil_off_l_h"]
    assert (boil_off["card"], boil_off["value"], boil_off["spread"]) == (2.6, 3.8, 0.1)
    assert boil_off["trend"] == "rising"
    assert boil_off["change_a_brew"] > 4 * boil_off["change_a_brew_spread"]
    assert [each["value"] for each in boil_off["after"]] == list(RISING_L_H)
    assert [each["from_card"] for each in boil_off["after"]] == [True] + [False] * 6
    assert told["figures"]["landing_k"]["card"] is None
    assert told["card_lines"] == ["boil_off: 1 gal/h"]


def test_what_is_not_known_is_null_for_programs(record: Path) -> None:
    (told,) = json.loads(kettles_json([view(record, "shed\x1b[31m")]))["kettles"]
    boil_off = told["figures"]["boil_off_l_h"]
    assert boil_off["trend"] is boil_off["change_a_brew"] is None
    assert boil_off["change_a_brew_spread"] is None


def test_a_record_of_figures_that_no_kettle_has_is_told_as_it_is(tmp_path: Path) -> None:
    amber = load(AMBER)
    wild = replace(amber, kettle=replace(amber.kettle, heat_capacity_j_k=-1e9, boil_off_l_h=1e9))
    brew(tmp_path, wild, (1e9, -1e9))
    with Journal.open(tmp_path) as journal:
        tiny = LearnedKettle(
            kettle="garage 35 L",
            brews=2,
            figures={trait: Figure(value=1e9, spread=5e-324, card=-1e9) for trait in Trait},
        )
        day_id = journal.begin_day(amber, "amber.yaml", NOON)
        journal.append(day_id, DayBegan(at=0.0, learned=tiny), NOON)
        journal.keep_learned(day_id, tiny)
        journal.close_day(day_id, DayStatus.FINISHED)
    known = view(tmp_path, "garage 35 L")
    assert "garage 35 L: 2 brews" in kettle_text(known, bars=True)
    assert json.loads(kettles_json([known]))["kettles"][0]["days"][2]["day"] == 3


def test_the_command_tells_of_one_kettle_or_of_all(record: Path) -> None:
    one = kettleside("kettle", "garage 35 L", "--data", str(record))
    assert (one.returncode, one.stderr) == (0, "")
    assert one.stdout == kettle_text(view(record, "garage 35 L"), bars=True) + "\n"
    both = kettleside("kettle", "--json", "--data", str(record))
    names = [told["kettle"] for told in json.loads(both.stdout)["kettles"]]
    assert names == ["shed\x1b[31m", "garage 35 L"]


def test_a_terminal_without_block_signs_gets_figures_alone(record: Path) -> None:
    done = kettleside("kettle", "garage 35 L", "--data", str(record), encoding="ascii")
    assert done.stdout == kettle_text(view(record, "garage 35 L"), bars=False) + "\n"


def test_a_kettle_that_is_not_on_record_is_a_bad_call_that_names_those_that_are(
    record: Path,
) -> None:
    done = kettleside("kettle", "attic", "--data", str(record))
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        "no finished brew day has taught of a kettle named attic; "
        "known are shed\\x1b[31m, garage 35 L\n"
    )


def test_without_a_finished_day_there_is_nothing_to_tell(tmp_path: Path) -> None:
    folder = tmp_path / "never brewed"
    assert kettleside("kettle", "--data", str(folder)).stdout == (
        "No finished brew day has taught of a kettle yet.\n"
    )
    assert json.loads(kettleside("kettle", "--json", "--data", str(folder)).stdout) == {
        "kettles": []
    }
    assert not folder.exists()

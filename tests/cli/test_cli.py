"""The command: what it prints, and how it ends when it can't."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from sample_files import SAMPLES

from assistant import __version__
from assistant.advice.learned import Figure, LearnedKettle, Trait
from assistant.record.journal import FILE_NAME, DayStatus, Journal
from assistant.schedule import load

AMBER = SAMPLES / "breakwater-amber.yaml"


def kettleside(*words: str, typed: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "assistant", *words],
        input=typed,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        env={"PATH": "/usr/bin:/bin", "COLUMNS": "100", "HOME": "/nowhere"},
    )


def test_the_version() -> None:
    assert kettleside("--version").stdout == f"kettleside, version {__version__}\n"


@pytest.mark.parametrize(
    "command",
    ["brew", "rehearse", "plan", "kettle", "days", "report", "export", "import", "mend"],
)
def test_every_command_has_help(command: str) -> None:
    done = kettleside(command, "--help")
    assert done.returncode == 0
    assert done.stdout.startswith(f"Usage: python -m assistant {command}")


def test_the_plan_for_a_person_names_water_heat_hops_and_the_clock() -> None:
    printed = kettleside("plan", str(AMBER), "--start", "10:30").stdout
    for fact in (
        "27.3 litres in all",
        "67.5 °C",
        "1.044",
        "37 IBU",
        "22 EBC",
        "185 billion",
        "10:30",
        "Northern Brewer",
        "111 grams of sucrose",
    ):
        assert fact in printed


def test_the_plan_in_us_units() -> None:
    printed = kettleside("plan", str(AMBER), "--units", "us").stdout
    for fact in ("7.2 gallons in all", "153 °F", "10.5 pounds", "3.9 ounces of sucrose"):
        assert fact in printed


def test_the_plan_for_programs_is_one_json_object() -> None:
    assert json.loads(kettleside("plan", str(AMBER), "--json").stdout)["fits_kettle"] is True


@pytest.fixture(scope="module")
def taught_record(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a record with two brews: the kettle of the sample boils off 3.1 litres."""
    folder = tmp_path_factory.mktemp("taught")
    figures = {
        Trait.BOIL_OFF: Figure(value=3.1, spread=0.2, card=2.6),
        Trait.EXTRACT: Figure(value=0.74, spread=0.02, card=0.73),
    }
    with Journal.open(folder) as journal:
        day_id = journal.begin_day(load(AMBER), "amber.yaml", 0.0)
        learned = LearnedKettle(kettle="garage 35 L", brews=2, figures=figures)
        journal.keep_learned(day_id, learned)
        journal.close_day(day_id, DayStatus.FINISHED)
    return folder


def test_the_plan_starts_from_what_past_brews_have_taught(taught_record: Path) -> None:
    printed = kettleside("plan", str(AMBER), "--data", str(taught_record)).stdout
    told = "Kettle figures from your last 2 brews: boil-off 3.1 litres an hour (card: 2.6 litres an"
    assert told in printed
    assert "27.9 litres in all" in printed
    assert "of whose extract 74 % reaches the kettle" in printed
    rows = [" ".join(line.split()) for line in printed.splitlines()]
    assert "by the card as learned" in rows
    assert "water in all 27.3 litres 27.9 litres" in rows
    by_card = kettleside("plan", str(AMBER)).stdout
    assert "Kettle figures" not in by_card
    assert "as learned" not in by_card


def test_the_plan_says_what_counts_from_a_card_that_was_changed(
    taught_record: Path, tmp_path: Path
) -> None:
    beer = tmp_path / AMBER.name
    beer.write_text(AMBER.read_text())
    card = (SAMPLES / "kettles/garage-35l.yaml").read_text()
    (tmp_path / "kettles").mkdir()
    kettle = tmp_path / "kettles/garage-35l.yaml"
    kettle.write_text(card.replace("boil_off: 2.6 L/h", "boil_off: 4 L/h"))
    printed = kettleside("plan", str(beer), "--data", str(taught_record)).stdout
    assert "Boil-off from the card, which was changed." in printed
    assert "28.8 litres in all" in printed


def test_for_programs_what_was_learned_changes_the_figures_alone(taught_record: Path) -> None:
    known = json.loads(
        kettleside("plan", str(AMBER), "--json", "--data", str(taught_record)).stdout
    )
    card = json.loads(kettleside("plan", str(AMBER), "--json").stdout)
    assert list(known) == list(card)
    assert known["total_water_l"] - card["total_water_l"] == pytest.approx(0.5 * 65 / 60, abs=0.05)
    assert known["extract_kg"] > card["extract_kg"]


def test_a_beer_in_another_kettle_is_planned_by_its_card(taught_record: Path) -> None:
    other = SAMPLES / "saltgrass-pale.yaml"
    known = kettleside("plan", str(other), "--json", "--data", str(taught_record))
    assert known.stdout == kettleside("plan", str(other), "--json").stdout != ""


def test_a_plan_makes_no_record(tmp_path: Path) -> None:
    folder = tmp_path / "never brewed"
    done = kettleside("plan", str(AMBER), "--data", str(folder))
    assert (done.returncode, done.stderr) == (0, "")
    assert not folder.exists()


def test_a_plan_without_its_record_says_why(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_bytes(b"not a record of anything, but text")
    done = kettleside("plan", str(AMBER), "--data", str(tmp_path))
    assert (done.returncode, done.stdout) == (3, "")
    assert "is not a database; move it out of the way" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_every_fault_of_a_file_is_a_line_and_the_status_is_2(tmp_path: Path) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text(
        AMBER.read_text()
        .replace("volume: 20 L", "volume: 20 kg")
        .replace("kettles/", f"{SAMPLES}/kettles/")
        .replace("at: 64 degC", "at: 640 degC")
    )
    done = kettleside("plan", str(bad))
    assert done.returncode == 2
    assert "found" in done.stderr
    assert len(done.stderr.splitlines()) == 3
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("command", ["plan", "brew", "rehearse"])
def test_a_file_that_is_not_there_is_named(command: str) -> None:
    done = kettleside(command, "nowhere.yaml")
    assert (done.returncode, done.stdout) == (2, "")
    assert "nowhere.yaml" in done.stderr
    assert len(done.stderr.splitlines()) == 1


@pytest.mark.parametrize(
    ("units", "words"),
    [
        # 500 W at 90 % against 20 W/K in a room of 20 °C: 42.5 °C.
        ("metric", "the heater never brings it to 67 degrees: it would stop at 42.5 degrees"),
        ("us", "the heater never brings it to 153 degrees: it would stop at 108 degrees"),
    ],
)
def test_a_beer_the_kettle_cannot_boil_is_refused_in_words(
    tmp_path: Path, units: str, words: str
) -> None:
    weak = tmp_path / "weak.yaml"
    weak.write_text(
        AMBER.read_text().replace(
            "kettle: kettles/garage-35l.yaml",
            "kettle: {holds: 35 L, heater: {power: 500 W}, heat_loss: 20 W/K}",
        )
    )
    done = kettleside("plan", str(weak), "--units", units)
    assert done.returncode == 2
    assert done.stderr == f"{weak}: {words}\n"


def test_a_time_of_day_that_is_none_is_refused() -> None:
    done = kettleside("plan", str(AMBER), "--start", "noonish")
    assert done.returncode == 2
    assert "'noonish' is no time of day such as 09:00" in done.stderr


def test_a_record_that_cannot_be_written_ends_with_3(tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("not a folder")
    done = kettleside("brew", str(AMBER), "--pipe", "--data", str(in_the_way / "record"))
    assert done.returncode == 3
    assert len(done.stderr.splitlines()) <= 2
    assert "Traceback" not in done.stderr


def test_no_day_on_record_yet(tmp_path: Path) -> None:
    assert kettleside("days", "--data", str(tmp_path)).stdout == "No brew day is on record yet.\n"
    done = kettleside("report", "7", "--data", str(tmp_path))
    assert done.returncode == 2
    assert done.stderr == "day 7 is not on record; `kettleside days` lists those that are\n"


def test_a_day_typed_without_a_terminal_is_kept_and_reported(tmp_path: Path) -> None:
    typed = "help\nblorb\nnote the tap drips\n"
    done = kettleside("brew", str(AMBER), "--no-voice", "--data", str(tmp_path), typed=typed)
    assert done.returncode == 0, done.stderr
    assert "You can say:" in done.stdout
    assert 'I did not understand "blorb"' in done.stdout
    listed = kettleside("days", "--data", str(tmp_path)).stdout
    assert "Breakwater Amber" in listed
    assert "open" in listed
    assert "the tap drips" in kettleside("report", "1", "--data", str(tmp_path)).stdout


def test_an_unfinished_day_is_offered_and_gone_on_with(tmp_path: Path) -> None:
    kettleside("brew", str(AMBER), "--data", str(tmp_path), typed="done\n")
    again = kettleside("brew", str(AMBER), "--data", str(tmp_path), typed="y\nwhere are we\n")
    assert "is not finished. Go on with it?" in again.stdout
    assert "Getting ready: Weigh 4 kilos of pale ale malt" in again.stdout


@pytest.mark.parametrize("sample", sorted(SAMPLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_every_sample_is_rehearsed_to_its_end(sample: Path) -> None:
    done = kettleside("rehearse", "--text", str(sample))
    assert done.returncode == 0, done.stderr
    assert "FINISHED" in done.stdout
    assert "what changed it" in done.stdout


def test_wort_past_any_table_is_refused_in_words(tmp_path: Path) -> None:
    syrup = tmp_path / "syrup.yaml"
    syrup.write_text(
        AMBER.read_text()
        .replace("4.0 kg", "40 kg")
        .replace("kettles/", f"{SAMPLES}/kettles/")
        .replace(f"{SAMPLES}/kettles/garage-35l.yaml", "{holds: 35 L, heater: {power: 2.8 kW}}")
    )
    done = kettleside("plan", str(syrup))
    assert done.returncode == 2
    assert "gravity of the wort, about" in done.stderr

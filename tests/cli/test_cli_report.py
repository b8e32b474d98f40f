"""`report` in each of its forms, and how it ends where it can't make one."""

import csv
import io
import json
import os
import shutil
import sqlite3
import stat
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from chromium import CHROMIUM
from sample_files import SAMPLES

from assistant.advice.plan import make_plan
from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.effects import Refused
from assistant.day.events import CommandGiven, DayBegan, Event, NoteTaken, ReadingTaken
from assistant.day.quantities import Quantity
from assistant.day.state import new_day
from assistant.record.journal import FILE_NAME, DayStatus, Journal
from assistant.record.reporting import as_pdf
from assistant.schedule import Schedule, load

AMBER = SAMPLES / "breakwater-amber.yaml"
BEGAN = 1718355600.0


def kettleside(
    *words: str | Path, path: str = "/nowhere", text: bool = True
) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "assistant", *map(str, words)],
        capture_output=True,
        text=text,
        timeout=200,
        check=False,
        env={"PATH": path, "HOME": "/nowhere", "TZ": "UTC", "PYTHONUTF8": "1"},
    )


def morning_of(schedule: Schedule) -> list[Event]:
    return [
        DayBegan(at=0.0),
        NoteTaken(at=60.0, text="=a note, with a comma"),
        CommandGiven(at=600.0, command=Command.SKIP),
        CommandGiven(at=3000.0, command=Command.GRAIN_IN),
        ReadingTaken(at=3300.0, quantity=Quantity.MASH_TEMPERATURE, value=63.0, unit="degC"),
        CommandGiven(at=3360.0, command=Command.UNDO),
    ]


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a record with two days that were left in the mash."""
    folder = tmp_path_factory.mktemp("record")
    with Journal.open(folder) as journal:
        for sample in ("breakwater-amber", "saltgrass-pale"):
            schedule = load(SAMPLES / f"{sample}.yaml")
            state = new_day(schedule, make_plan(schedule))
            day_id = journal.begin_day(schedule, f"/beers/{sample}.yaml", BEGAN)
            for event in morning_of(schedule):
                state, effects = advance(state, event)
                assert not any(isinstance(effect, Refused) for effect in effects)
                journal.append(day_id, event, BEGAN + event.at)
            journal.close_day(day_id, DayStatus.LEFT)
    return folder


def test_the_text_is_printed_where_nothing_else_is_asked_for(record: Path) -> None:
    done = kettleside("report", "1", "--data", record)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Breakwater Amber\nDay 1: 2024-06-14, 09:00 to 09:56, left")
    assert "Taken back: mash temperature 63" in done.stdout


def test_the_object_is_printed_for_programs(record: Path) -> None:
    done = kettleside("report", "1", "--json", "--data", record)
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout)["beer"] == "Breakwater Amber"


@pytest.mark.parametrize("words", [("report", "1", "--csv"), ("report", "--csv", "-", "1")])
def test_the_table_is_printed_byte_for_byte(record: Path, words: tuple[str, ...]) -> None:
    done = kettleside(*words, "--data", record, text=False)
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"\r\n" in done.stdout  # type: ignore[operator]
    assert b"\r\r\n" not in done.stdout  # type: ignore[operator]
    rows = list(csv.reader(io.StringIO(done.stdout.decode(), newline="")))  # type: ignore[attr-defined]
    assert rows[0][0] == "at_s"
    assert any("'=a note, with a comma" in row for row in rows)


def test_forms_go_to_files_of_their_own_and_nothing_to_the_terminal(
    record: Path, tmp_path: Path
) -> None:
    page, table = tmp_path / "day.html", tmp_path / "day.csv"
    done = kettleside("report", "2", "--html", page, "--csv", table, "--data", record)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert "Saltgrass Pale" in page.read_text(encoding="utf-8")
    assert table.read_bytes().startswith(b"at_s,clock,kind,what,value,unit,planned,note\r\n")
    assert {path.name for path in tmp_path.iterdir()} == {"day.html", "day.csv"}


def test_units_can_be_others_than_the_days(record: Path) -> None:
    printed = kettleside("report", "1", "--units", "us", "--data", record).stdout
    assert "5.3 gallons from 10.5 pounds of grain" in printed
    assert (
        "18.9 litres from"
        in kettleside("report", "2", "--units", "metric", "--data", record).stdout
    )


def test_two_days_are_told_side_by_side(record: Path, tmp_path: Path) -> None:
    done = kettleside("report", "--compare", "1", "2", "--data", record)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Breakwater Amber and Saltgrass Pale, side by side")
    page = tmp_path / "both.html"
    done = kettleside("report", "--compare", "1", "2", "--html", page, "--data", record)
    assert (done.returncode, done.stdout) == (0, "")
    assert "side by side" in page.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "why"),
    [
        pytest.param([], "Name one DAY, or two after --compare", id="no day"),
        pytest.param(["1", "--compare", "1", "2"], "Name one DAY", id="a day and two"),
        pytest.param(["--csv", "1"], "--csv FILE takes a name", id="a day taken for a file"),
        pytest.param(["--compare", "1", "2", "--json"], "--compare is text", id="two in JSON"),
        pytest.param(["--compare", "1", "2", "--csv"], "--compare is text", id="two in a table"),
        pytest.param(["1", "--json", "--csv"], "both want standard output", id="two forms"),
        pytest.param(["one"], "is not a valid integer", id="no number"),
        pytest.param(["1", "--units", "imperial"], "is not one of", id="no units"),
        pytest.param(["9"], "day 9 is not on record", id="no such day"),
        pytest.param(["--compare", "1", "9"], "day 9 is not on record", id="no such other day"),
        pytest.param(["1", "--html", "/nowhere/at/all.html"], "can't be written", id="no folder"),
    ],
)
def test_a_wrong_call_ends_in_words_and_two(record: Path, words: list[str], why: str) -> None:
    done = kettleside("report", *words, "--data", record)
    assert done.returncode == 2
    assert done.stdout == ""
    assert why in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("option", ["--html", "--pdf", "--csv"])
def test_a_file_that_is_there_is_never_written_over(
    record: Path, tmp_path: Path, option: str
) -> None:
    file = tmp_path / "mine"
    file.write_text("precious", encoding="utf-8")
    done = kettleside("report", "1", option, file, "--data", record)
    assert done.returncode == 2
    assert f"{file} is there already; name a file that is not" in done.stderr
    assert file.read_text(encoding="utf-8") == "precious"


def test_a_link_that_leads_nowhere_is_not_written_over_either(record: Path, tmp_path: Path) -> None:
    file = tmp_path / "mine"
    file.symlink_to(tmp_path / "not there yet")
    done = kettleside("report", "1", "--csv", file, "--data", record)
    assert (done.returncode, file.is_symlink()) == (2, True)
    assert "is there already" in done.stderr


def test_a_name_that_no_disk_takes_is_told_of(record: Path, tmp_path: Path) -> None:
    done = kettleside("report", "1", "--csv", tmp_path / ("a" * 300), "--data", record)
    assert done.returncode == 2
    assert "can't be written: File name too long" in done.stderr


@pytest.mark.parametrize("command", ["report", "export"])
def test_no_number_is_too_great_to_be_told_that_it_is_no_day(record: Path, command: str) -> None:
    done = kettleside(command, "9" * 30, "--data", record)
    assert done.stderr.splitlines() == [
        f"day {'9' * 30} is not on record; `kettleside days` lists those that are"
    ]


def test_two_forms_want_two_files(record: Path, tmp_path: Path) -> None:
    file = tmp_path / "day"
    done = kettleside("report", "1", "--html", file, "--csv", file, "--data", record)
    assert done.returncode == 2
    assert "a FILE of its own" in done.stderr
    assert not file.exists()


def test_a_report_changes_nothing_on_record(record: Path, tmp_path: Path) -> None:
    before = (record / FILE_NAME).read_bytes()
    kettleside("report", "1", "--html", tmp_path / "day.html", "--data", record)
    assert (record / FILE_NAME).read_bytes() == before


def test_a_day_that_can_not_be_read_ends_in_words_and_three(record: Path, tmp_path: Path) -> None:
    folder = tmp_path / "spoilt"
    shutil.copytree(record, folder)
    shutil.rmtree(folder / "days", ignore_errors=True)
    connection = sqlite3.connect(folder / FILE_NAME)
    triggers = connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
    for (name,) in triggers.fetchall():
        connection.execute(f"DROP TRIGGER {name}")
    connection.execute("UPDATE events SET kind = 'Hiccup' WHERE day = 1 AND seq = 2")
    connection.commit()
    connection.close()
    done = kettleside("report", "1", "--html", tmp_path / "day.html", "--data", folder)
    assert done.returncode == 3
    assert "no kind of event this version knows" in done.stderr
    assert not (tmp_path / "day.html").exists()


@pytest.mark.parametrize("form", [[], ["--json"], ["--csv"], ["--html", "day.html"]])
def test_a_day_on_no_calendar_ends_in_words_and_three(tmp_path: Path, form: list[str]) -> None:
    schedule = load(AMBER)
    with Journal.open(tmp_path) as journal:
        day_id = journal.begin_day(schedule, "/beers/amber.yaml", 1e15)
        journal.append(day_id, DayBegan(at=0.0), 1e15)
    words = [str(tmp_path / word) if word.endswith(".html") else word for word in form]
    done = kettleside("report", "1", *words, "--data", tmp_path)
    assert done.returncode == 3
    assert "on no calendar" in done.stderr
    assert "Traceback" not in done.stderr


# On paper


def test_without_a_printer_of_pages_it_says_what_would_do(record: Path, tmp_path: Path) -> None:
    pytest.importorskip("jinja2")
    file = tmp_path / "day.pdf"
    done = kettleside("report", "1", "--pdf", file, "--data", record, path=str(tmp_path))
    if done.returncode == 0:
        pytest.skip("WeasyPrint is installed here")
    assert done.returncode == 2
    for name in ("WeasyPrint", "Chromium", "Chrome", "Edge", "--html"):
        assert name in done.stderr
    assert not file.exists()


def browser(folder: Path, script: str) -> str:
    """A PATH with a stand-in for a browser that does what the script says."""
    path = folder / "chromium"
    path.write_text(f"#!/bin/sh\n{script}\n", encoding="utf-8")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    return f"{folder}:/usr/bin:/bin"


def test_a_browser_prints_the_page_alone_and_without_the_net(record: Path, tmp_path: Path) -> None:
    said = tmp_path / "said"
    script = f"""
for word in "$@"; do
  echo "$word" >> {said}
  case "$word" in
    --print-to-pdf=*) echo '%PDF-1.7' > "${{word#--print-to-pdf=}}" ;;
  esac
done"""
    file = tmp_path / "day.pdf"
    done = kettleside(
        "report", "1", "--pdf", file, "--data", record, path=browser(tmp_path, script)
    )
    if "--headless" not in (said.read_text() if said.exists() else ""):
        pytest.skip("WeasyPrint is installed here")
    assert (done.returncode, done.stderr) == (0, "")
    assert file.read_bytes() == b"%PDF-1.7\n"
    words = said.read_text().split("\n")
    for flag in (
        "--headless",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--no-first-run",
        "--no-pdf-header-footer",
    ):
        assert flag in words
    assert ("--no-sandbox" in words) is (os.geteuid() == 0)
    own = next(word for word in words if word.startswith("--user-data-dir="))
    assert not Path(own.removeprefix("--user-data-dir=")).exists()


def test_a_browser_that_makes_nothing_is_told_of(record: Path, tmp_path: Path) -> None:
    file = tmp_path / "day.pdf"
    done = kettleside(
        "report", "1", "--pdf", file, "--data", record, path=browser(tmp_path, "exit 1")
    )
    if done.returncode == 0:
        pytest.skip("WeasyPrint is installed here")
    assert done.returncode == 2
    assert "made no PDF" in done.stderr
    assert not file.exists()


def test_a_file_of_a_browser_that_is_no_pdf_is_not_taken_for_one(
    record: Path, tmp_path: Path
) -> None:
    file = tmp_path / "day.pdf"
    script = 'for word in "$@"; do case "$word" in --print-to-pdf=*) : > "${word#*=}" ;; esac; done'
    done = kettleside(
        "report", "1", "--pdf", file, "--data", record, path=browser(tmp_path, script)
    )
    if done.returncode == 0 and file.read_bytes():
        pytest.skip("WeasyPrint is installed here")
    assert done.returncode == 2
    assert "made no PDF" in done.stderr
    assert not file.exists()


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="no list of processes here")
@pytest.mark.parametrize("and_then", ["exit 0", "wait"], ids=["it ends", "it hangs"])
def test_helpers_of_a_browser_end_with_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, and_then: str
) -> None:
    helper = tmp_path / "helper"
    script = f"""
for word in "$@"; do
  case "$word" in
    --print-to-pdf=*) echo '%PDF-1.7' > "${{word#*=}}" ;;
    --user-data-dir=*) own="${{word#*=}}" ;;
  esac
done
mkdir "$own"
sh -c 'while [ $((n = n + 1)) -lt 2000 ]; do mkdir -p "$0/$n/deeper"; done' "$own" 2> /dev/null &
echo $! > {helper}
{and_then}"""
    monkeypatch.setenv("PATH", browser(tmp_path, script))
    monkeypatch.setattr(as_pdf, "PATIENCE_S", 0.5)
    monkeypatch.setattr(as_pdf, "_by_weasyprint", lambda page: None)
    if and_then == "wait":
        with pytest.raises(as_pdf.NoPrinter, match="did not print"):
            as_pdf.as_pdf("<p>a page")
    else:
        assert as_pdf.as_pdf("<p>a page") == b"%PDF-1.7\n"
    pid = int(helper.read_text())
    wait_until(lambda: not lives(pid))


def wait_until(done: Callable[[], bool]) -> None:
    for _ in range(100):
        if done():
            return
        time.sleep(0.01)
    pytest.fail("a helper lives on")


def lives(pid: int) -> bool:
    """Whether a process still does anything: one that nobody has waited for does not."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except OSError:
        return False


@pytest.mark.skipif(CHROMIUM is None, reason="no browser here")
def test_a_true_browser_makes_a_true_pdf(record: Path, tmp_path: Path) -> None:
    file = tmp_path / "day.pdf"
    done = kettleside("report", "1", "--pdf", file, "--data", record, path="/usr/bin:/bin")
    assert (done.returncode, done.stderr) == (0, "")
    written = file.read_bytes()
    assert written.startswith(b"%PDF-")
    assert len(written) > 20_000
    assert {path.name for path in tmp_path.iterdir()} == {"day.pdf"}

"""A day with faults, driven through the real command: cold mash, low gravity, missed hops."""

import signal
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from drivers import Driver, Line

Drive = Callable[[], Driver]


@pytest.fixture
def drive(tmp_path: Path) -> Iterator[Drive]:
    """Start drivers on one record; whatever still runs at the end of the test is stopped."""
    with ExitStack() as running:
        yield lambda: running.enter_context(Driver(tmp_path))


def rest(driver: Driver) -> None:
    """Go through the mash: whatever is asked is where it should be."""
    while driver.stage == "mash":
        if "mash_temperature" in driver.asks:
            heats = [task["to_c"] for task in driver.tasks.values() if task["do"] == "heat"]
            holds = [task["at_c"] for task in driver.tasks.values() if task["do"] == "hold"]
            driver.read("mash_temperature", (heats or holds)[-1], "degC")
        elif "gravity" in driver.asks:
            driver.read("gravity", 1.044)
        else:
            assert driver.next is not None
            driver.send(max(driver.next - driver.at, 0.0))


def brew_to_boil(driver: Driver) -> None:
    driver.send(say="start")
    driver.done("fill", 300)
    driver.wait_for("ask", quantity="water_temperature")
    driver.read("water_temperature", 67.5, "degC")
    driver.done("dough_in", 240)
    driver.done("stir", 180)
    rest(driver)
    driver.done("lift", 600)
    driver.read("kettle_volume", 24.2, "L")
    driver.read("gravity", 1.044)
    driver.read("boiling", 1)


def test_a_day_with_three_faults_ends_close_to_its_plan(drive: Drive) -> None:
    driver = drive()
    driver.send(say="start")
    assert driver.stage == "gather"
    driver.done("fill", 300)
    driver.wait_for("ask", quantity="water_temperature")
    driver.read("water_temperature", 67.4, "degC")
    driver.done("dough_in", 240)
    driver.done("stir", 180)
    assert driver.stage == "mash"

    driver.read("mash_temperature", 61.2, "degC")
    assert driver.advice is not None
    assert driver.advice["about"] == "mash_temperature"
    assert driver.advice["recommended"] == "heat"
    heat = driver.advice["options"][0]
    assert heat["do"] == "heat_for"
    assert heat["seconds"] == pytest.approx(150, abs=15)
    driver.send(5, say="heat")
    assert any(task["do"] == "heat_for" for task in driver.tasks.values())
    driver.wait_for("timer", name="heat off", state="due")
    driver.read("mash_temperature", 64.0, "degC")

    rest(driver)
    assert driver.stage == "lift"
    driver.done("lift", 600)

    driver.read("kettle_volume", 25.2, "L")
    driver.read("gravity", 1.0405)
    assert driver.advice["about"] == "gravity"
    assert {option["do"] for option in driver.advice["options"]} == {
        "boil_longer",
        "add",
        "leave_it",
    }
    longer = next(o for o in driver.advice["options"] if o["do"] == "boil_longer")
    driver.send(5, say=longer["say"])
    driver.read("boiling", 1)
    assert driver.stage == "boil"

    driver.wait_for("timer", name="Northern Brewer", state="due")
    told: list[Line] = []
    while not any(line["kind"] == "advice" for line in told):
        assert driver.next is not None
        told = driver.send(driver.next - driver.at + 40 * 60 * (not told))
        if driver.at > 40_000:
            break
    answers = driver.send(1, say="hops are in")
    late = next(line for line in told + answers if line["kind"] == "advice")
    assert late["about"] == "additions"
    more = next(option for option in late["options"] if option["do"] == "add")
    assert more["item"] == "Northern Brewer"
    assert not any(option["do"] == "boil_longer" for option in late["options"]), "over two hours"
    driver.send(5, say=more["say"])

    while driver.stage == "boil":
        assert driver.next is not None
        driver.send(max(driver.next - driver.at, 0.0))
        for do in ("add", "flameout"):
            if any(task["do"] == do for task in driver.tasks.values()):
                driver.done(do, 10)
    forecast = [line for line in driver.log if line["kind"] == "forecast"][-1]
    assert forecast["original_gravity"] == pytest.approx(1.050, abs=0.0025)
    assert forecast["ibu"] == pytest.approx(37.3, abs=3)
    low, high = forecast["low_high"]["original_gravity"]
    assert low < forecast["original_gravity"] < high

    finish(driver)
    assert driver.stage == "finished"
    assert driver.close() == 0


def finish(driver: Driver) -> None:
    answers = {
        "kettle_temperature": (18.0, "degC"),
        "fermenter_volume": (19.5, "L"),
        "gravity": (1.050, "SG"),
        "fermenter_temperature": (19.0, "degC"),
    }
    for _ in range(200):
        if driver.stage == "finished":
            return
        tasks = [t["do"] for t in driver.tasks.values() if t["do"] != "settle"]
        asked = [quantity for quantity in driver.asks if quantity in answers]
        if asked and driver.stage in ("transfer", "pitch"):
            driver.read(asked[0], *answers[asked[0]])
        elif tasks:
            driver.done(tasks[0], 60)
        else:
            assert driver.next is not None
            driver.send(max(driver.next - driver.at, 0.0))


def test_every_answer_has_its_moment_and_ends_with_idle(drive: Drive) -> None:
    driver = drive()
    brew_to_boil(driver)
    driver.close()
    moments = [line["at"] for line in driver.log]
    assert moments == sorted(moments)
    kinds = {line["kind"] for line in driver.log}
    assert kinds >= {"say", "stage", "task", "ask", "timer", "reading", "forecast", "idle"}
    assert {line["why"] for line in driver.log if line["kind"] == "say"} <= {
        "prompt",
        "reminder",
        "readback",
        "question",
        "answer",
        "warning",
        "caution",
    }


def test_killed_in_the_boil_the_day_goes_on_where_it_was(drive: Drive) -> None:
    driver = drive()
    brew_to_boil(driver)
    due = driver.wait_for("timer", name="Northern Brewer", state="soon")["due"]
    at = driver.at
    driver.kill()

    again = drive()
    again.at = at
    told = again.send(300, say="resume")
    assert again.stage == "boil"
    late = next(line for line in told if line["kind"] == "timer" and line["state"] == "late")
    assert (late["name"], late["due"]) == ("Northern Brewer", due)
    assert "Northern Brewer now: 24 grams. Due 3 minutes ago." in again.words(told)
    assert any(task["do"] == "add" for task in again.tasks.values())
    assert "Northern Brewer in, 3 minutes late." in again.words(again.send(1, say="hops are in"))
    again.close()


def test_start_keeps_an_unfinished_day_on_record_as_left(drive: Drive, tmp_path: Path) -> None:
    from assistant.record.journal import Journal

    for _ in range(2):
        driver = drive()
        driver.send(say="start")
        driver.close()
    with Journal.open(tmp_path, read_only=True) as journal:
        assert [day.status.value for day in journal.days()] == ["open", "left"]


def test_a_resumed_clock_may_not_lie_before_the_record(drive: Drive) -> None:
    driver = drive()
    driver.send(say="start")
    driver.done("fill", 600)
    driver.close()
    again = drive()
    told = again.send(5, say="resume")
    assert told[0]["text"] == "at 5 lies before the day's last moment, 600"
    again.close()


def test_nothing_to_resume_is_said(drive: Drive) -> None:
    driver = drive()
    told = driver.send(say="resume")
    assert told[0] == {
        "at": 0.0,
        "kind": "error",
        "text": "there is no unfinished day of this schedule: say start",
    }
    driver.close()


def test_stopped_by_hand_it_ends_with_130_and_keeps_the_day(drive: Drive, tmp_path: Path) -> None:
    driver = drive()
    driver.send(say="start")
    driver.process.send_signal(signal.SIGINT)
    assert driver.process.wait(timeout=20) == 130
    assert driver.process.stderr is not None
    assert driver.process.stderr.read() == (
        "Stopped. The day is kept: the same command goes on with it.\n"
    )
    again = drive()
    assert again.send(1, say="resume")[0]["stage"] == "gather"

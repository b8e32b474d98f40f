"""A brew day with sensors, as its command runs it, over a true broker."""

import subprocess
import sys
from contextlib import AbstractContextManager
from pathlib import Path

import pytest
from brokers import Mosquitto, sensors_file, until
from running import Running, running
from sample_files import SAMPLES

AMBER = SAMPLES / "breakwater-amber.yaml"
KETTLE_C = "topic: kettle, quantity: kettle_temperature, unit: degC, field: t, every: 1 s"


def command(tmp_path: Path, *options: str | Path) -> list[str]:
    named = [
        sys.executable,
        "-m",
        "assistant",
        "brew",
        str(AMBER),
        "--data",
        str(tmp_path / "data"),
    ]
    return [*named, *map(str, options)]


def brewing(tmp_path: Path, *options: str | Path) -> AbstractContextManager[Running]:
    return running(command(tmp_path, "--no-voice", "--no-board", *options))


def test_a_day_is_answered_by_its_sensor_through_a_dying_broker(
    tmp_path: Path, broker: Mosquitto
) -> None:
    card = sensors_file(tmp_path, ("host: 127.0.0.1", f"port: {broker.port}"), KETTLE_C)
    with brewing(tmp_path, "--sensors", card) as day:
        day.until("Kettle, bag, paddle")
        day.type("grain is in", "done")
        day.until("Mash temperature?")

        def answered() -> bool:
            broker.tell(("kettle", '{"t": 63.4, "battery": 2.9}'))
            return day.count("63.4, noted.") > 0

        until(answered, "the sensor answers what was asked")
        for _ in range(20):
            broker.tell(("kettle", '{"t": 63.4}'), ("kettle", '{"t": "hot"}'))
        day.until("kettle: found hot; wanted a number.")
        broker.kill()
        day.until("The sensors can't be reached. Read by hand.")
        broker.start()
        day.until("The sensors are back.")
        day.type("how long")
        day.until("left.")
    assert day.count("63.4, noted.") == 1
    assert day.count("found hot") == 1
    assert day.count("The sensors can't be reached") == 1
    report = subprocess.run(
        [
            sys.executable,
            "-m",
            "assistant",
            "report",
            "1",
            "--csv",
            "--data",
            str(tmp_path / "data"),
        ],
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert "by streaming sensor" in report
    assert "The sensors can't be reached. Read by hand." in report


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--pipe",), "--pipe and --sensors don't go together"),
        ((), "topics: found nothing; wanted a list of 1 to 40 topics"),
    ],
)
def test_what_can_not_be_begun_ends_in_words(
    tmp_path: Path, options: tuple[str, ...], told: str
) -> None:
    card = tmp_path / "sensors.yaml"
    card.write_text("broker: {host: a}\n")
    ended = subprocess.run(
        command(tmp_path, *options, "--sensors", card), capture_output=True, text=True, check=False
    )
    assert ended.returncode == 2
    assert told in ended.stderr
    assert not (tmp_path / "data").exists()


def test_without_its_library_it_says_what_to_install(tmp_path: Path) -> None:
    card = sensors_file(tmp_path, ("host: a",), KETTLE_C)
    # A module of that name that isn't there: None in sys.modules is how Python itself says so.
    hidden = "import sys; sys.modules['aiomqtt'] = None; from assistant.cli import main; main()"
    ended = subprocess.run(
        [sys.executable, "-c", hidden, *command(tmp_path, "--sensors", card)[3:]],
        capture_output=True,
        text=True,
        check=False,
    )
    assert ended.returncode == 2
    assert ended.stderr == "Sensors need aiomqtt: pip install 'kettleside[mqtt]'\n"

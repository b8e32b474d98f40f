"""Readings that come over a true broker: what they are in, how often, and what goes wrong."""

import os
import shutil
import subprocess
from collections.abc import Callable
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from brokers import Mosquitto, sensors_file, until

from assistant.backing_off import BackingOff
from assistant.day.events import SensorTrouble
from assistant.day.quantities import Quantity
from assistant.schedule.faults import ScheduleError
from assistant.sensing import Sensors
from assistant.sensor_card import SensorCard, load_sensors
from assistant.sensor_heard import SensorNews, SensorReading

KETTLE = Quantity.KETTLE_TEMPERATURE
KETTLE_C = "topic: kettle, quantity: kettle_temperature, unit: degC, every: 30 s"
ROOM_C = "topic: room, quantity: room_temperature, unit: degC"


@dataclass
class Hand:
    """A clock that is moved by hand."""

    now_s: float = 0.0

    def __call__(self) -> float:
        return self.now_s


@dataclass
class Listened:
    """Sensors that are listened to, with all that came of them so far."""

    sensors: Sensors
    clock: Hand
    came: list[SensorReading] = field(default_factory=list)
    news: list[SensorNews] = field(default_factory=list)

    def look(self) -> None:
        self.came += self.sensors.taken()
        self.news += self.sensors.news()

    def until(self, wanted: Callable[["Listened"], object], what: str) -> None:
        def looked() -> object:
            self.look()
            return wanted(self)

        until(looked, what)

    def told(self, trouble: SensorTrouble) -> int:
        self.look()
        return sum(news.trouble is trouble for news in self.news)


@contextmanager
def listened(card: SensorCard, *, heard: bool = True):
    clock = Hand()
    back_off = BackingOff((0.05, 0.1), steady_s=0.0)
    with Sensors(card, now_s=clock, back_off=back_off) as sensors:
        hand = Listened(sensors, clock)
        if heard:
            hand.until(lambda now: now.told(SensorTrouble.BACK), "the broker is there")
        yield hand


def card_of(tmp_path: Path, broker: Mosquitto, *topics: str, more: tuple[str, ...] = ()):
    keys = ("host: 127.0.0.1", f"port: {broker.port}", *more)
    return load_sensors(sensors_file(tmp_path, keys, *topics))


@pytest.mark.parametrize(
    ("topic", "payload", "quantity", "value", "unit"),
    [
        ("quantity: kettle_temperature, unit: degC", "66.4", KETTLE, 66.4, "degC"),
        ("quantity: kettle_temperature, unit: degF", " 151.5\n", KETTLE, 151.5, "degF"),
        ("quantity: kettle_temperature, unit: kelvin", "339.55", KETTLE, 66.4, "degC"),
        ("quantity: kettle_volume, unit: mL", "24500", Quantity.KETTLE_VOLUME, 24.5, "L"),
        ("quantity: gravity", "1.0482", Quantity.GRAVITY, 1.0482, "SG"),
        ("quantity: gravity, unit: degP", "11.9", Quantity.GRAVITY, 11.9, "degP"),
        ("quantity: mash_ph, unit: pH", "5.41", Quantity.MASH_PH, 5.41, "pH"),
        (
            "quantity: kettle_temperature, unit: degC, field: probes.1.c",
            '{"probes": [{"c": 20.1}, {"c": 66.4}], "battery": 3.1}',
            KETTLE,
            66.4,
            "degC",
        ),
        (
            "quantity: kettle_temperature, unit: degC, field: t",
            '{"t": "66.4"}',
            KETTLE,
            66.4,
            "degC",
        ),
        ("quantity: kettle_temperature, unit: degC, add: -0.9 degF", "66.4", KETTLE, 65.9, "degC"),
        ("quantity: gravity, add: 0.002", "1.046", Quantity.GRAVITY, 1.048, "SG"),
    ],
)
def test_a_message_becomes_a_reading_in_a_unit_the_day_knows(
    tmp_path: Path,
    broker: Mosquitto,
    topic: str,
    payload: str,
    quantity: Quantity,
    value: float,
    unit: str,
) -> None:
    with listened(card_of(tmp_path, broker, f"topic: probe, {topic}")) as hand:
        broker.tell(("probe", payload))
        hand.until(lambda now: now.came, "a reading")
        assert hand.came == [
            SensorReading(quantity=quantity, value=pytest.approx(value), unit=unit)
        ]


def test_two_values_of_one_message_are_two_sensors(tmp_path: Path, broker: Mosquitto) -> None:
    topics = (
        "topic: probe, quantity: kettle_temperature, unit: degC, field: inside",
        "topic: probe, quantity: room_temperature, unit: degC, field: outside",
    )
    with listened(card_of(tmp_path, broker, *topics)) as hand:
        broker.tell(("probe", '{"inside": 66, "outside": 18}'))
        hand.until(lambda now: len(now.came) == 2, "both readings")
        assert {reading.quantity: reading.value for reading in hand.came} == {
            KETTLE: 66.0,
            Quantity.ROOM_TEMPERATURE: 18.0,
        }


def test_what_the_broker_kept_from_before_is_left_alone(tmp_path: Path, broker: Mosquitto) -> None:
    broker.tell(("kettle", "12.0"), retain=True)
    with listened(card_of(tmp_path, broker, KETTLE_C, ROOM_C)) as hand:
        broker.tell(("room", "18.5"))
        hand.until(lambda now: now.came, "the message that is of now")
        assert [reading.value for reading in hand.came] == [18.5]


def test_a_flood_is_one_reading(tmp_path: Path, broker: Mosquitto) -> None:
    with listened(card_of(tmp_path, broker, KETTLE_C, ROOM_C)) as hand:
        broker.tell(("kettle", "66.0"))
        hand.until(lambda now: now.came, "the first reading")
        hand.clock.now_s += 10
        broker.tell(*[("kettle", f"{66 + number % 10 / 100}") for number in range(10_000)], qos=0)

        def room_told(now: Listened) -> bool:
            # A broker drops what a flood leaves no room for.
            broker.tell(("room", "18.5"))
            return len(now.came) > 1

        hand.until(room_told, "what came after the flood")
        assert [reading.value for reading in hand.came] == [66.0, 18.5]


def test_a_broker_that_is_killed_is_told_once_and_its_return_once(
    tmp_path: Path, broker: Mosquitto
) -> None:
    with listened(card_of(tmp_path, broker, KETTLE_C)) as hand:
        hand.news.clear()
        broker.kill()
        hand.until(lambda now: now.told(SensorTrouble.GONE), "it is gone")
        assert hand.sensors.trouble.startswith(f"can't reach 127.0.0.1:{broker.port}: ")
        broker.start()
        hand.until(lambda now: now.told(SensorTrouble.BACK), "it is back")
        assert hand.sensors.trouble == ""
        broker.tell(("kettle", "70"))
        hand.until(lambda now: now.came, "a reading after that")
        assert [news.trouble for news in hand.news] == [SensorTrouble.GONE, SensorTrouble.BACK]


def test_a_broker_that_was_never_there_is_waited_for(tmp_path: Path, needs_broker: None) -> None:
    late = Mosquitto(tmp_path)
    with listened(card_of(tmp_path, late, KETTLE_C), heard=False) as hand:
        hand.until(lambda now: now.told(SensorTrouble.GONE), "it is not there")
        with late:
            hand.until(lambda now: now.told(SensorTrouble.BACK), "it is there")


def test_a_sensor_that_falls_silent_is_told_and_told_again_when_it_is_heard(
    tmp_path: Path, broker: Mosquitto
) -> None:
    with listened(card_of(tmp_path, broker, KETTLE_C)) as hand:
        hand.clock.now_s += 299
        assert not hand.told(SensorTrouble.SILENT)
        hand.clock.now_s += 1
        hand.look()
        assert hand.told(SensorTrouble.SILENT) == 1
        assert hand.sensors.trouble == "silent: kettle temperature"
        hand.clock.now_s += 1000
        assert hand.told(SensorTrouble.SILENT) == 1
        broker.tell(("kettle", "66"))
        hand.until(lambda now: now.told(SensorTrouble.HEARD_AGAIN), "it is heard")
        assert hand.sensors.trouble == ""


@pytest.mark.parametrize(
    ("payload", "found"),
    [
        (b"", "nothing"),
        (b"warm", "warm"),
        (b"nan", "nan"),
        (b"1e99", "a number out of all bounds"),
        (b"\xff\xfe1", "what is no text in UTF-8"),
        (b"66.4 C", "66.4 C"),
        (b"9" * 15_000, "9999999999999999999999999999999999999..."),
        (b"\x1b[2J", r"\x1b[2J"),
    ],
)
def test_what_is_no_number_is_told_once_and_changes_nothing(
    tmp_path: Path, broker: Mosquitto, payload: bytes, found: str
) -> None:
    with listened(card_of(tmp_path, broker, KETTLE_C, ROOM_C)) as hand:
        hand.news.clear()
        broker.tell(*[("kettle", payload)] * 5, ("room", "18"))
        hand.until(lambda now: now.came, "the message behind it")
        hand.look()
        assert [reading.value for reading in hand.came] == [18.0]
        assert [news.line for news in hand.news] == [
            f"kettle: found {found}; wanted a number. It is passed over."
        ]


def test_a_message_of_megabytes_is_not_even_sent_here(tmp_path: Path, broker: Mosquitto) -> None:
    with listened(card_of(tmp_path, broker, KETTLE_C, ROOM_C)) as hand:
        broker.tell(("kettle", b"6" * 5_000_000), ("room", "18"))
        hand.until(lambda now: now.came, "the message behind it")
        assert [reading.value for reading in hand.came] == [18.0]


PASSWORD = "tr0ub and strife"


@pytest.fixture
def guarded(tmp_path: Path, needs_broker: None):
    tool = shutil.which("mosquitto_passwd", path=f"{os.environ.get('PATH', '')}:/usr/sbin")
    assert tool is not None
    known = tmp_path / "known"
    subprocess.run([tool, "-b", "-c", str(known), "brewer", PASSWORD], check=True)
    known.chmod(0o600)
    with Mosquitto(tmp_path, f"password_file {known}", anonymous=False) as broker:
        yield broker


def test_a_password_comes_from_a_file_and_is_shown_nowhere(
    tmp_path: Path, guarded: Mosquitto
) -> None:
    held = tmp_path / "password"
    held.write_text(f"{PASSWORD}\n")
    held.chmod(0o600)
    card = card_of(tmp_path, guarded, KETTLE_C, more=("user: brewer", "password_file: password"))
    assert card.warnings == ()
    assert PASSWORD not in repr(card)
    with listened(card) as hand:
        assert hand.sensors.trouble == ""


def test_a_wrong_password_is_told_in_words(
    tmp_path: Path, guarded: Mosquitto, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("MQTT_PASSWORD", "wrong one")
    more = ("user: brewer", "password_env: MQTT_PASSWORD")
    with listened(card_of(tmp_path, guarded, KETTLE_C, more=more), heard=False) as hand:
        hand.until(lambda now: now.told(SensorTrouble.GONE), "it is refused")
        assert "it refuses the user or the password" in hand.sensors.trouble
        assert "wrong one" not in " ".join(news.line for news in hand.news)


@pytest.fixture
def certified(tmp_path: Path, needs_broker: None):
    openssl = shutil.which("openssl")
    if openssl is None:
        pytest.skip("there is no openssl here to make a certificate with")
    for name in ("ours", "other"):
        subprocess.run(
            [
                *(openssl, "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2"),
                *("-keyout", str(tmp_path / f"{name}.key"), "-out", str(tmp_path / f"{name}.pem")),
                *("-subj", "/CN=a kitchen", "-addext", "subjectAltName=IP:127.0.0.1"),
            ],
            check=True,
            capture_output=True,
        )
    lines = (f"certfile {tmp_path / 'ours.pem'}", f"keyfile {tmp_path / 'ours.key'}")
    with Mosquitto(tmp_path, *lines) as broker:
        yield broker


def test_a_broker_that_proves_who_it_is_is_listened_to(
    tmp_path: Path, certified: Mosquitto
) -> None:
    with listened(card_of(tmp_path, certified, KETTLE_C, more=("tls: ours.pem",))) as hand:
        assert hand.sensors.trouble == ""


# paho leaves the socket of a failed handshake to the collector.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
def test_one_that_does_not_is_left_alone(tmp_path: Path, certified: Mosquitto) -> None:
    card = card_of(tmp_path, certified, KETTLE_C, more=("tls: other.pem",))
    with listened(card, heard=False) as hand:
        hand.until(lambda now: now.told(SensorTrouble.GONE), "it is not believed")
        assert "certificate verify failed" in hand.sensors.trouble


def test_a_file_that_holds_no_certificate_is_a_fault(tmp_path: Path) -> None:
    (tmp_path / "empty.pem").write_text("")
    path = sensors_file(tmp_path, ("host: a", "tls: empty.pem"), KETTLE_C)
    with pytest.raises(ScheduleError, match=r"broker\.tls: found empty\.pem: no certificate"):
        load_sensors(path)

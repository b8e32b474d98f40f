"""The file of the sensors: what stands in it, and every fault of it at once."""

import os
from pathlib import Path

import pytest
from brokers import sensors_file
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.day.quantities import Quantity
from assistant.schedule.faults import ScheduleError
from assistant.sensor_card import load_sensors
from assistant.sensor_payload import FieldPath

KETTLE_C = "topic: kettle, quantity: kettle_temperature, unit: degC"


def faults(path: Path) -> list[str]:
    with pytest.raises(ScheduleError) as found:
        load_sensors(path)
    return [str(fault).removeprefix(f"{path}:") for fault in found.value.faults]


def written(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "sensors.yaml"
    path.write_text(text)
    return path


def test_the_least_that_will_do(tmp_path: Path) -> None:
    card = load_sensors(sensors_file(tmp_path, ("host: kitchen.lan",), KETTLE_C))
    assert (card.broker.name, card.broker.user, card.broker.tls) == ("kitchen.lan:1883", None, None)
    (topic,) = card.topics
    assert (topic.quantity, topic.every_s, topic.add) == (Quantity.KETTLE_TEMPERATURE, 30.0, 0.0)
    assert card.warnings == ()


def test_all_that_can_be_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BROKER_PASSWORD", "secret of the house")
    keys = ("host: 10.0.0.7", "user: brewer", "password_env: BROKER_PASSWORD", "tls: system")
    topic = f"{KETTLE_C}, field: probes.0.c, every: 2 min, add: -0.4 degC"
    card = load_sensors(sensors_file(tmp_path, (*keys, "client_id: kettle-1"), topic))
    broker, (probe,) = card.broker, card.topics
    assert (broker.port, broker.user, broker.client_id) == (8883, "brewer", "kettle-1")
    assert broker.password == "secret of the house"
    assert broker.tls is not None
    assert (probe.path, probe.every_s, probe.add) == (FieldPath(("probes", "0", "c")), 120.0, -0.4)
    assert card.warnings == ()
    assert "secret" not in repr(card)


def test_every_fault_is_told_at_once(tmp_path: Path) -> None:
    text = """\
broker: {host: "kit chen", prt: 1883, password: hunter2}
topics:
  - {topic: brewery/+/t, quantity: boiling, unit: degC, every: 1 parsec, field: a..b}
  - {topic: a, quantity: gravity, unit: degC}
  - {topic: b, quantity: gravity, add: 3 degC, topic: c}
  - {topic: d, quantity: room_temprature, unit: degC, every: 0.1 s}
sensors: []
"""
    found = faults(written(tmp_path, text))
    assert [fault.partition(": found")[0] for fault in found] == [
        "1: broker.prt",
        "1: broker.password",
        "1: broker.host",
        "3: topics 1.topic",
        "3: topics 1.quantity",
        "3: topics 1.field",
        "3: topics 1.every",
        "4: topics 2.unit",
        "5: topics 3.topic",
        "5: topics 3.add",
        "5: topics.quantity",
        "6: topics 4.quantity",
        "6: topics 4.every",
        "7: sensors",
    ]
    assert "hunter2" not in " ".join(found)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "found an empty file; wanted a group of keys such as {broker:"),
        ("- a", "1: found a list; wanted a group of keys such as {broker:"),
        ("broker: {host: a}\ntopics: []", "2: topics: found 0 of them; wanted a list of 1 to 40"),
        ("broker: {host: a}", "1: topics: found nothing; wanted a list of 1 to 40 topics"),
        ("broker: kitchen.lan\ntopics: []", "1: broker: found kitchen.lan; wanted a group of keys"),
    ],
)
def test_a_file_that_lacks_the_most_is_told_what_it_lacks(
    tmp_path: Path, text: str, told: str
) -> None:
    assert any(told in fault for fault in faults(written(tmp_path, text)))


@pytest.mark.parametrize(
    ("key", "found", "wanted"),
    [
        ("topic: 'a/#'", "a/#", "one topic by its whole name"),
        ("quantity: boiling", "boiling", "that it boils is for eyes to tell"),
        ("unit: L", "L", "a unit of a kettle temperature: degC or degF, or one like it"),
        ("add: 5 L", "5 L", "a difference in a unit of the sensor"),
        ("every: 2 days", "2 days", "a time between readings from"),
    ],
)
def test_what_can_not_be_is_told_with_what_can(
    tmp_path: Path, key: str, found: str, wanted: str
) -> None:
    keys = dict(part.split(": ", 1) for part in KETTLE_C.split(", "))
    keys |= dict([key.split(": ", 1)])
    topic = ", ".join(f"{name}: {value}" for name, value in keys.items())
    (fault,) = faults(sensors_file(tmp_path, ("host: a",), topic))
    assert f"found {found}; wanted " in fault
    assert wanted in fault


def test_a_password_may_only_be_pointed_at(tmp_path: Path) -> None:
    (fault,) = faults(sensors_file(tmp_path, ("host: a", "user: b", "password: c"), KETTLE_C))
    assert "broker.password: found an unknown key" in fault
    assert "password_file, password_env" in fault


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        (("user: b", "password_env: NOT_SET_HERE"), "NOT_SET_HERE, which is not set"),
        (("user: b", "password_file: none"), "No such file or directory"),
        (("user: b", "password_file: empty"), "an empty file"),
        (("user: b", "password_file: huge"), "a file too large for a password"),
        (("user: b", "password_file: noise"), "what is no text"),
        (("password_file: held",), "a password without a user"),
        (("user: b", "password_file: held", "password_env: HOME"), "password_env beside it"),
    ],
)
def test_a_password_that_is_not_there_is_a_fault(
    tmp_path: Path, keys: tuple[str, ...], told: str
) -> None:
    (tmp_path / "empty").write_text("\n")
    (tmp_path / "huge").write_text("x" * 5000)
    (tmp_path / "noise").write_bytes(b"\xff\xfe")
    (tmp_path / "held").write_text("of the house")
    (fault,) = faults(sensors_file(tmp_path, ("host: a", *keys), KETTLE_C))
    assert told in fault
    assert "of the house" not in fault


@pytest.mark.skipif(os.name != "posix", reason="no such rights on Windows")
def test_what_is_not_as_safe_as_it_could_be_is_told(tmp_path: Path) -> None:
    held = tmp_path / "held"
    held.write_text("of the house")
    held.chmod(0o644)
    keys = ("host: 10.0.0.7", "user: b", "password_file: held")
    open_to_all, in_the_clear = load_sensors(sensors_file(tmp_path, keys, KETTLE_C)).warnings
    assert "chmod 600" in open_to_all
    assert "goes to 10.0.0.7 as it is" in in_the_clear
    held.chmod(0o600)
    here = ("host: 127.0.0.1", *keys[1:])
    assert load_sensors(sensors_file(tmp_path, here, KETTLE_C)).warnings == ()


TEXTS = st.one_of(
    st.text(max_size=200),
    st.lists(
        st.sampled_from(
            [
                "broker:",
                " host: a",
                "{",
                "}",
                "- ",
                "topics:",
                " topic: x",
                "unit: degC",
                "\n",
                "&a",
                "*a",
            ]
        ),
        max_size=30,
    ).map("\n".join),
)


@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(TEXTS)
def test_any_file_is_read_or_told_of(tmp_path: Path, text: str) -> None:
    path = tmp_path / "sensors.yaml"
    path.write_text(text, encoding="utf-8", errors="replace")
    assert all(fault.isprintable() for fault in fault_lines(path))


def fault_lines(path: Path) -> list[str]:
    """The faults of a file that need not have any; told without one would be no telling."""
    try:
        load_sensors(path)
    except ScheduleError as error:
        return [str(fault) for fault in error.faults] or ["\n"]
    return []

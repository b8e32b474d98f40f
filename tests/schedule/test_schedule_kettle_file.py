"""A kettle in a file of its own, beside the schedule or kept on record with it."""

from pathlib import Path

import pytest
from schedule_texts import faults_of, schedule_text

from assistant.schedule import ScheduleError, load, load_text, load_with_source


def write(folder: Path, kettle: str, kettle_text: str | None) -> Path:
    (folder / "kettles").mkdir()
    if kettle_text is not None:
        (folder / "kettles" / "pot.yaml").write_text(kettle_text)
    path = folder / "ale.yaml"
    path.write_text(schedule_text(kettle=kettle))
    return path


def test_a_kettle_file_is_found_beside_its_schedule(tmp_path: Path) -> None:
    path = write(tmp_path, "kettles/pot.yaml", "{holds: 30 L, heater: {power: 2 kW}}")
    assert load(path).kettle.holds_l == 30


def test_a_kettle_file_may_stand_in_a_folder_above(tmp_path: Path) -> None:
    (tmp_path / "beers").mkdir()
    (tmp_path / "pot.yaml").write_text("{holds: 30 L, heater: {power: 2 kW}}")
    path = tmp_path / "beers" / "ale.yaml"
    path.write_text(schedule_text(kettle="../pot.yaml"))
    assert load(path).kettle.name == "pot"


def test_a_fault_in_a_kettle_file_names_that_file(tmp_path: Path) -> None:
    path = write(tmp_path, "kettles/pot.yaml", "holds: 30 L\nheater: {power: 2}\n")
    with pytest.raises(ScheduleError, match=r"pot\.yaml:2: heater\.power: found 2; wanted"):
        load(path)


@pytest.mark.parametrize(
    ("kettle_text", "line", "found"),
    [
        ("holds: [", 1, "broken YAML (expected the node content, but found '<stream end>')"),
        ("", None, "an empty file"),
        ("- holds", 1, "a list"),
        ("beer: Ale\nholds: 30 L\nheater: {power: 2 kW}", 1, "an unknown key"),
    ],
)
def test_a_kettle_file_that_is_none(kettle_text: str, line: int | None, found: str) -> None:
    (fault,) = faults_of(schedule_text(kettle="pots/pot.yaml"), kettle_text)
    assert (fault.file, fault.line, fault.found) == (str(Path("pots/pot.yaml")), line, found)


def test_a_kettle_file_in_another_encoding_names_its_line(tmp_path: Path) -> None:
    path = write(tmp_path, "kettles/pot.yaml", None)
    (tmp_path / "kettles" / "pot.yaml").write_bytes(b"holds: 30 L\nroom: 20 \xb0C")
    with pytest.raises(ScheduleError, match=r"pot\.yaml:2: found the byte 0xb0; wanted plain text"):
        load(path)


@pytest.mark.parametrize(
    ("kettle", "found"),
    [
        ("kettles/gone.yaml", "kettles/gone.yaml, no such file"),
        ("kettles", "kettles, something that is not a file"),
        ("garage 35 L", "garage 35 L, no such file"),
    ],
)
def test_a_kettle_file_that_is_not_there_is_the_schedules_fault(
    tmp_path: Path, kettle: str, found: str
) -> None:
    path = write(tmp_path, kettle, None)
    with pytest.raises(ScheduleError) as caught:
        load(path)
    (fault,) = caught.value.faults
    assert (fault.file, fault.line, fault.key, fault.found) == (str(path), 3, "kettle", found)


@pytest.mark.parametrize(
    "kettle",
    [
        "/etc/passwd",
        r"C:\kettles\pot.yaml",
        "C:/kettles/pot.yaml",
        r"kettles\pot.yaml",
        r"\\server\pot.yaml",
        "//server/pot.yaml",
        r'"pot\0.yaml"',
        r'"pot\e[2J.yaml"',
        "x" * 201,
    ],
)
def test_a_kettle_path_is_relative_and_plain(kettle: str) -> None:
    (fault,) = faults_of(schedule_text(kettle=kettle), "{holds: 30 L, heater: {power: 2 kW}}")
    assert (fault.line, fault.key) == (3, "kettle")
    assert fault.wanted == (
        "a path relative to this file, with / between folders, such as kettles/garage-35l.yaml, "
        "or the kettle's own keys"
    )


def test_a_recorded_day_is_read_again_from_its_texts(tmp_path: Path) -> None:
    path = write(tmp_path, "kettles/pot.yaml", "{holds: 30 L, heater: {power: 2 kW}}")
    schedule, source = load_with_source(path)
    path.unlink()
    (tmp_path / "kettles" / "pot.yaml").unlink()
    assert load_text(source.text, source.name, source.kettle_text) == schedule


def test_a_kettle_in_the_schedule_leaves_no_second_text(tmp_path: Path) -> None:
    path = write(tmp_path, "{holds: 30 L, heater: {power: 2 kW}}", None)
    assert load_with_source(path)[1].kettle_text is None


def test_a_recorded_text_without_its_kettle_is_refused() -> None:
    (fault,) = faults_of(schedule_text(kettle="kettles/pot.yaml"))
    assert (fault.line, fault.key) == (3, "kettle")
    assert fault.found == "kettles/pot.yaml, no text of that file"

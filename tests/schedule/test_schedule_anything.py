"""Whatever a file holds, it is a schedule or a list of faults: never a crash."""

from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from schedule_texts import FILE, GOOD, schedule_text

from assistant.schedule import Schedule, ScheduleError, load_text

SAMPLES = [
    path.read_text(encoding="utf-8")
    for path in sorted((Path(__file__).parents[2] / "schedules").rglob("*.yaml"))
]
KETTLE_TEXT = "{holds: 30 L, heater: {power: 2.5 kW}}"

any_text = st.text(alphabet=st.characters(codec=None), max_size=300)
yaml_text = st.text(alphabet=list("abn:,-?[]{}#&*!|>'\"%@` \n\t\\/~<=0159.UuxNe_\x85\u2028"))
yaml_scrap = st.sampled_from(
    [
        "&a ",
        "*a",
        "!!int ",
        "!",
        "---\n",
        "...\n",
        "%TAG ! x\n",
        '"\\x',
        "? ",
        "<<: ",
        "|2\n",
        ">-\n",
    ]
)


def outcome(text: str, kettle_text: str | None) -> Schedule | ScheduleError:
    try:
        return load_text(text, FILE, kettle_text)
    except ScheduleError as error:
        return error


def schedule_or_faults(text: str, kettle_text: str | None) -> None:
    result = outcome(text, kettle_text)
    if isinstance(result, ScheduleError):
        assert result.faults
        assert all(str(fault).isprintable() for fault in result.faults)
    else:
        assert result.grain_kg > 0


@given(text=any_text)
@example(text='"\\UFFFFFFFF"')
@example(text="%YAML " + "9" * 5000 + ".1\n---\n")
def test_any_text(text: str) -> None:
    schedule_or_faults(text, text)


@given(text=yaml_text)
def test_any_text_of_yaml_signs(text: str) -> None:
    schedule_or_faults(text, text)


@given(text=st.lists(yaml_scrap | yaml_text, max_size=12).map("".join))
def test_any_heap_of_yaml_scraps(text: str) -> None:
    schedule_or_faults(text, text)


@given(key=st.sampled_from(list(GOOD)), value=any_text | yaml_text)
def test_any_value_of_a_key(key: str, value: str) -> None:
    schedule_or_faults(schedule_text(**{key: value}), KETTLE_TEXT)


@settings(max_examples=150)
@given(
    text=st.sampled_from(SAMPLES),
    start=st.integers(0, 3000),
    length=st.integers(0, 40),
    scrap=yaml_scrap | yaml_text,
)
def test_any_slip_of_the_pen(text: str, start: int, length: int, scrap: str) -> None:
    spoilt = text[:start] + scrap + text[start + length :]
    schedule_or_faults(spoilt, KETTLE_TEXT)
    schedule_or_faults(schedule_text(kettle="pot.yaml"), spoilt)


numbers = st.floats(allow_nan=False, allow_infinity=False).map(repr) | st.integers().map(str)
units = st.sampled_from(
    ["L", "gal", "kg", "degC", "degF", "min", "%", "EBC", "degL", "vol", "", "W/K"]
)


@given(number=numbers, unit=units)
@pytest.mark.parametrize("template", ["volume: {}", "boil: {{for: {}}}", "ferment: {{at: {}}}"])
def test_any_figure_with_any_unit(template: str, number: str, unit: str) -> None:
    key, _, value = template.format(f"{number} {unit}").partition(": ")
    schedule_or_faults(schedule_text(**{key: value}), None)

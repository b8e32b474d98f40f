"""The README says what the program does."""

import re

import pytest
from pictures import PROJECT, README, readme_with_diagram

from assistant.cli import main
from assistant.day.commands import COMMANDS
from assistant.schedule.load import load_text

TEXT = README.read_text()


def test_its_diagram_is_drawn_from_the_table() -> None:
    assert readme_with_diagram(TEXT) == TEXT, "run python tests/pictures.py"


def test_its_schedule_loads() -> None:
    block = next(b for b in re.findall(r"```yaml\n(.*?)```", TEXT, re.DOTALL) if "beer:" in b)
    kettle = (PROJECT / "schedules" / "kettles" / "garage-35l.yaml").read_text()
    assert load_text(block, "README.md", kettle).beer == "Breakwater Amber"


@pytest.mark.parametrize("command", sorted(main.commands))
def test_every_command_of_the_program_is_in_it(command: str) -> None:
    assert f"`kettleside {command}" in TEXT


def test_the_first_paragraph_states_the_job() -> None:
    first = TEXT.split("\n\n")[1]
    for word in ("home brewer", "wet", "single kettle", "record", "offline"):
        assert word in first


def test_what_it_says_can_be_said_can_be_said() -> None:
    words = {word for spec in COMMANDS.values() for word in spec.words}
    table = TEXT.split("| say | and |")[1].split("\n\n")[0]
    said = re.findall(
        r"`([^`]+)`",
        "\n".join(row.split("|")[1] for row in table.splitlines() if row.count("|") > 2),
    )
    plain = {phrase for phrase in said if phrase in words}
    assert len(plain) > 15

"""Ctrl-C before a command has come to anything: it ends with its status and a word."""

import pytest
from click.testing import CliRunner
from sample_files import SAMPLES

from assistant.cli import main
from assistant.record.journal import Journal

AMBER = str(SAMPLES / "breakwater-amber.yaml")


@pytest.mark.parametrize(
    "words", [("tend",), ("package", "1"), ("days",), ("plan", AMBER), ("brew", AMBER)], ids=str
)
def test_ctrl_c_while_the_record_is_opened_ends_a_command_with_its_status(
    words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*_: object, **__: object) -> Journal:
        raise KeyboardInterrupt

    monkeypatch.setattr(Journal, "open", stopped)
    done = CliRunner().invoke(main, [*words, "--data", "/nowhere"])
    assert (done.exit_code, done.stdout, done.stderr) == (130, "", "Stopped.\n")

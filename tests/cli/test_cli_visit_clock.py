"""The computer's clock between visits: set back, it can't tell how old a beer is."""

import time
from pathlib import Path

import pytest
from click.testing import CliRunner
from pitched_day import PITCHED_S, on_record

from assistant.cellar.visiting import UNSURE
from assistant.cli import main
from assistant.schedule import Schedule

DAY_S = 86400.0


@pytest.mark.parametrize(("began_ago_days", "told"), [(3.0, False), (-2.0, True)])
def test_a_clock_set_back_since_the_last_visit_is_told(
    tmp_path: Path, amber: Schedule, began_ago_days: float, told: bool
) -> None:
    on_record(tmp_path, amber, began_wall=time.time() - PITCHED_S - began_ago_days * DAY_S)
    done = CliRunner().invoke(main, ["tend", "--no-voice", "--data", str(tmp_path)], input="")
    assert done.exit_code == 0, done.stderr
    assert (UNSURE in done.stdout) is told

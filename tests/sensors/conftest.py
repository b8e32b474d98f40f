"""The broker of a test."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from brokers import MOSQUITTO, Mosquitto


@pytest.fixture
def needs_broker() -> None:
    if MOSQUITTO is None:
        pytest.skip("there is no Mosquitto here; on Debian `apt install mosquitto` brings it")


@pytest.fixture
def broker(tmp_path: Path, needs_broker: None) -> Iterator[Mosquitto]:
    with Mosquitto(tmp_path) as running:
        yield running

"""A true Mosquitto on a free port of this machine, which never outlives its test."""

import os
import shutil
import socket
import subprocess
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from types import TracebackType
from typing import TypeVar

from paho.mqtt import publish

MOSQUITTO = shutil.which("mosquitto", path=f"{os.environ.get('PATH', '')}:/usr/sbin")
PATIENCE_S = 30.0
Found = TypeVar("Found")


def until(look: Callable[[], Found], what: str) -> Found:
    """What ``look`` finds, as soon as it finds something."""
    give_up_s = time.monotonic() + PATIENCE_S
    while not (found := look()):
        assert time.monotonic() < give_up_s, f"it never came to this: {what}"
        time.sleep(0.02)
    return found


def free_port() -> int:
    with socket.socket() as bound:
        bound.bind(("127.0.0.1", 0))
        return int(bound.getsockname()[1])


class Mosquitto:
    """A broker in a folder; ``more`` are lines of its configuration for the listener."""

    def __init__(self, folder: Path, *more: str, anonymous: bool = True) -> None:
        self.port = free_port()
        self._config = folder / "mosquitto.conf"
        # As root it would give up the rights to read what the test wrote.
        user = ["user root"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
        lines = [
            f"listener {self.port} 127.0.0.1",
            f"allow_anonymous {str(anonymous).lower()}",
            "persistence false",
            *user,
            *more,
        ]
        self._config.write_text("\n".join(lines) + "\n")
        self._process: subprocess.Popen[bytes] | None = None

    def __enter__(self) -> "Mosquitto":
        self.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.kill()

    def start(self) -> None:
        assert MOSQUITTO is not None
        self._process = subprocess.Popen(
            [MOSQUITTO, "-c", str(self._config)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        until(self._answers, "the broker listens")

    def kill(self) -> None:
        if self._process is not None:
            self._process.kill()
            self._process.wait()
            self._process = None

    def tell(self, *messages: tuple[str, bytes | str], retain: bool = False, qos: int = 1) -> None:
        """Publish messages as a sensor would."""
        publish.multiple(
            [(topic, payload, qos, retain) for topic, payload in messages],
            hostname="127.0.0.1",
            port=self.port,
        )

    def _answers(self) -> bool:
        assert self._process is not None
        assert self._process.poll() is None, "the broker ended"
        try:
            socket.create_connection(("127.0.0.1", self.port), 1).close()
        except OSError:
            return False
        return True


def sensors_file(folder: Path, broker: Sequence[str], *topics: str) -> Path:
    """A file of sensors: the keys of the broker, then a line for each topic."""
    path = folder / "sensors.yaml"
    lines = ["broker:", *(f"  {line}" for line in broker), "topics:"]
    path.write_text("\n".join([*lines, *(f"  - {{{topic}}}" for topic in topics)]) + "\n")
    return path

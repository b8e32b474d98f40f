"""What the tests of speaking share: a real voice, or the reason why there is none."""

import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from assistant.speaking.voice import Voice, VoiceFailed

ILL_WORKER = Path(__file__).parent / "ill_worker.py"


@pytest.fixture(scope="session")
def speaking_machine() -> None:
    """Skips where this machine has no synthesiser."""
    voice = Voice()
    try:
        voice.render("one")
    except VoiceFailed as error:
        pytest.skip(str(error))
    finally:
        voice.close()


@pytest.fixture
def make_voice(speaking_machine: None) -> Iterator[Callable[..., Voice]]:
    """Makes voices and closes them."""
    voices: list[Voice] = []

    def make(**options: object) -> Voice:
        voices.append(Voice(**options))
        return voices[-1]

    yield make
    for voice in voices:
        voice.close()


@pytest.fixture
def ill(tmp_path: Path) -> Callable[..., tuple[str, ...]]:
    """The command of a worker that is ill once, or always."""

    def worker(how: str, *, always: bool = False) -> tuple[str, ...]:
        marker = "-" if always else str(tmp_path / "was-ill")
        return (sys.executable, "-P", str(ILL_WORKER), how, marker)

    return worker

"""One worker process of the voice, as its parent sees it: started, asked, timed and ended."""

import json
import os
import queue
import shutil
import subprocess
import sys
import tempfile
import threading
from collections.abc import Sequence
from pathlib import Path
from typing import Any, TextIO

from assistant.speaking.sound_file import NotASound, read_sound
from assistant.speaking.spoken import Spoken, trimmed
from assistant.speaking.voice_settings import VoiceName, VoiceSettings

WORKER = (sys.executable, "-P", "-m", "assistant.speaking.voice_worker")
"""How the worker is started; ``-P`` keeps modules of the current folder out of it."""

PACKAGE_ROOT = Path(__file__).parent.parent.parent

STARTING_S = 15.0
"""A cold disk of a small computer takes seconds to load Python; a warm one 0.1 s."""

SAYING_S = 3.0
EACH_WORD_S = 0.2
"""Allowed for an item: many times what espeak takes, for slower synthesisers and machines."""

ENDING_S = 1.0
SHORTEST_S = 0.05
"""No word is shorter: what is, was not spoken."""


class WorkerFailed(Exception):
    """The worker ended, did not answer in time or made no sound.

    ``missing`` names a package whose installation would help, where the worker knows.
    """

    def __init__(self, text: str, missing: str | None = None) -> None:
        super().__init__(text)
        self.missing = missing


class VoiceProcess:
    """A worker with settings of its own, just started; :meth:`await_ready` comes before asking.

    Raises :class:`WorkerFailed` where the system starts none.
    """

    def __init__(
        self,
        settings: VoiceSettings,
        *,
        worker: Sequence[str] = WORKER,
        saying_s: float = SAYING_S,
    ) -> None:
        self._saying_s = saying_s
        self._ready = False
        self.engine = ""
        """What the synthesiser is called, once it is ready."""
        try:
            self._folder = Path(tempfile.mkdtemp(prefix="kettleside-voice-"))
        except OSError as error:
            raise WorkerFailed(f"the voice has no room for its sounds: {error}") from error
        self._answers: queue.Queue[str | None] = queue.Queue()
        self._count = 0
        try:
            self._process = self._started(worker, settings)
        except OSError as error:
            shutil.rmtree(self._folder, ignore_errors=True)
            raise WorkerFailed(f"the voice can't be started: {error}") from error
        assert self._process.stdout is not None
        self._reader = threading.Thread(
            target=self._read, args=(self._process.stdout,), name="voice answers", daemon=True
        )
        self._reader.start()

    def await_ready(self, within_s: float = STARTING_S) -> None:
        """Wait until it can be asked; raises :class:`WorkerFailed`."""
        if not self._ready:
            self.engine = str(self._answer(within_s).get("engine", ""))
            self._ready = True

    @property
    def pid(self) -> int:
        """The id of the worker's process."""
        return self._process.pid

    def say(self, text: str) -> Spoken:
        """The sound of a text, silence trimmed; raises :class:`WorkerFailed`."""
        self._count += 1
        path = self._folder / f"{self._count}.wav"
        self._ask({"say": text, "into": str(path)})
        self._answer(self._saying_s + EACH_WORD_S * len(text.split()))
        try:
            spoken = trimmed(read_sound(path))
        except NotASound as error:
            self.kill()
            raise WorkerFailed(str(error)) from error
        path.unlink(missing_ok=True)
        if spoken.length_s < SHORTEST_S:
            self.kill()
            raise WorkerFailed("the voice made no sound")
        return spoken

    def voices(self) -> tuple[VoiceName, ...]:
        """The voices there are; raises :class:`WorkerFailed`."""
        self._ask({"voices": True})
        answer = self._answer(self._saying_s)
        try:
            return tuple(VoiceName(**voice) for voice in answer["voices"])
        except (KeyError, TypeError) as error:
            self.kill()
            raise WorkerFailed("the voice answered nonsense") from error

    def close(self) -> None:
        """End the worker in good order, or else by force."""
        self._end_input()
        try:
            self._process.wait(ENDING_S)
        except subprocess.TimeoutExpired:
            self._process.kill()
        self._clear_up()

    def abort(self) -> None:
        """End the worker at once, from another thread than the one that asks it."""
        self._process.kill()

    def kill(self) -> None:
        """End the worker at once, whatever it does."""
        self._process.kill()
        self._end_input()
        self._clear_up()

    def _started(self, worker: Sequence[str], settings: VoiceSettings) -> subprocess.Popen[str]:
        call = [*worker, "--folder", str(self._folder), "--rate", str(settings.rate_wpm)]
        if settings.voice is not None:
            call += ["--voice", settings.voice]
        paths = [str(PACKAGE_ROOT), *filter(None, [os.environ.get("PYTHONPATH")])]
        return subprocess.Popen(
            call,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(paths)},
            encoding="utf-8",
            errors="replace",
        )

    def _read(self, answers: TextIO) -> None:
        for line in answers:
            self._answers.put(line)
        self._answers.put(None)

    def _ask(self, order: dict[str, Any]) -> None:
        assert self._process.stdin is not None
        try:
            self._process.stdin.write(f"{json.dumps(order)}\n")
            self._process.stdin.flush()
        except (OSError, ValueError) as error:
            self.kill()
            raise WorkerFailed(self._how_it_ended()) from error

    def _answer(self, timeout_s: float) -> dict[str, Any]:
        try:
            line = self._answers.get(timeout=timeout_s)
        except queue.Empty:
            self.kill()
            raise WorkerFailed("the voice did not answer") from None
        if line is None:
            self.kill()
            raise WorkerFailed(self._how_it_ended())
        try:
            answer: dict[str, Any] = dict(json.loads(line))
        except (ValueError, TypeError) as error:
            self.kill()
            raise WorkerFailed("the voice answered nonsense") from error
        if "failed" in answer:
            self.kill()
            raise WorkerFailed(answer["failed"], answer.get("missing"))
        return answer

    def _how_it_ended(self) -> str:
        return f"the voice ended with exit status {self._process.returncode}"

    def _end_input(self) -> None:
        assert self._process.stdin is not None
        try:
            self._process.stdin.close()
        except OSError:
            # What was still to be written has no reader any more.
            return

    def _clear_up(self) -> None:
        self._process.wait()
        self._reader.join(ENDING_S)
        assert self._process.stdout is not None
        if not self._reader.is_alive():
            self._process.stdout.close()
        shutil.rmtree(self._folder, ignore_errors=True)

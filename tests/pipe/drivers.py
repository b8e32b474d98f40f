"""A program that drives a brew day through the real command and its pipe."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

Line = dict[str, Any]
SAMPLES = Path(__file__).parent.parent.parent / "schedules"
AMBER = SAMPLES / "breakwater-amber.yaml"


class Driver:
    """One process of ``kettleside brew SCHEDULE --pipe`` with what is open in its day."""

    def __init__(self, folder: Path, schedule: Path = AMBER) -> None:
        self.process = subprocess.Popen(
            [
                sys.executable,
                "-m",
                "assistant",
                "brew",
                str(schedule),
                "--pipe",
                "--data",
                str(folder),
            ],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        self.at = 0.0
        self.next: float | None = None
        self.stage = ""
        self.tasks: dict[int, Line] = {}
        self.asks: dict[str, Line] = {}
        self.advice: Line | None = None
        self.log: list[Line] = []

    def send(self, wait_s: float = 0.0, **content: Any) -> list[Line]:
        """Send one line and collect all it is answered with."""
        self.at += wait_s
        return self.raw(json.dumps({"at": self.at} | content))

    def raw(self, line: str) -> list[Line]:
        """Send a line as it is."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.write(line + "\n")
        self.process.stdin.flush()
        answers: list[Line] = []
        while not answers or answers[-1]["kind"] != "idle":
            out = self.process.stdout.readline()
            assert out, f"the pipe closed: {self.process.stderr.read()}"  # type: ignore[union-attr]
            answers.append(json.loads(out))
        for answer in answers:
            self._follow(answer)
        self.log += answers
        return answers

    def _follow(self, answer: Line) -> None:
        match answer["kind"]:
            case "stage":
                self.stage = answer["stage"]
                self.tasks.clear()
                self.asks.clear()
            case "task":
                self.tasks[answer["id"]] = answer
            case "ask":
                self.asks[answer["quantity"]] = answer
            case "reading" if answer["accepted"]:
                self.asks.pop(answer["quantity"], None)
            case "advice":
                self.advice = answer
            case "idle":
                self.next = answer["next"]

    def read(self, quantity: str, value: float, unit: str = "", **more: float) -> list[Line]:
        """Send a reading, ten seconds on."""
        reading = {"quantity": quantity, "value": value, "unit": unit} | more
        return self.send(10, reading=reading)

    def done(self, do: str, wait_s: float = 30.0) -> list[Line]:
        """Do the open task of a kind and say so."""
        task_id = next(i for i, task in self.tasks.items() if task["do"] == do)
        del self.tasks[task_id]
        return self.send(wait_s, done=task_id)

    def wait_for(self, kind: str, **wanted: Any) -> Line:
        """Let time pass from due moment to due moment until something is told."""
        for _ in range(200):
            assert self.next is not None, f"nothing is due in {self.stage}"
            for answer in self.send(max(self.next - self.at, 0.0)):
                if answer["kind"] == kind and all(answer.get(k) == v for k, v in wanted.items()):
                    return answer
        raise AssertionError(f"never told: {kind} {wanted}")

    def __enter__(self) -> "Driver":
        return self

    def __exit__(self, *_: object) -> None:
        if self.process.poll() is None:
            self.kill()
        else:
            self._close_streams()

    def kill(self) -> None:
        """End the process as a power cut would."""
        self.process.kill()
        self.process.wait()
        self._close_streams()

    def close(self) -> int:
        """End the input and give the exit status."""
        assert self.process.stdin is not None
        self.process.stdin.close()
        self.process.wait(timeout=20)
        self._close_streams()
        return self.process.returncode

    def _close_streams(self) -> None:
        for stream in (self.process.stdin, self.process.stdout, self.process.stderr):
            assert stream is not None
            stream.close()

    def words(self, answers: list[Line]) -> str:
        """What was said in some answers."""
        return " ".join(answer["text"] for answer in answers if answer["kind"] == "say")

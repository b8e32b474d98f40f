"""Make the README's pictures of the board anew: `python tests/board_pictures.py`."""

import json
import os
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from board.brewed import AMBER, Brewed, brewed
from chromium import CHROMIUM, CHROMIUM_FLAGS
from golden import golden_day
from playwright.sync_api import sync_playwright

from assistant.day.timers import next_due_s
from assistant.pipe import Pipe
from assistant.record.journal import Journal
from assistant.rehearsal.rehearsed import Who
from assistant.schedule import load

PICTURES = Path(__file__).parent.parent / ".pictures"
SETTLES_MS = 2500

Line = dict[str, Any]

ZONE = "UTC-1"
"""POSIX counts westwards: an hour ahead of Greenwich."""


@contextmanager
def under_way(lines: list[Line]) -> Iterator[Brewed]:
    """A live day that goes on where these lines of a driver leave it, this very moment."""
    with tempfile.TemporaryDirectory() as folder:
        ends_s = lines[-1]["at"]
        with Journal.open(Path(folder)) as journal:
            pipe = Pipe(load(AMBER), str(AMBER.resolve()), journal)
            for line in lines:
                pipe.answer(json.dumps(line).encode(), time.time() - ends_s + line["at"])
        with brewed(Path(folder), first_lines=["y"]) as day:
            yield day


def day_lines() -> list[Line]:
    """The golden day as a driver would send it: each of the brewer's words at its time."""
    told = [line for line in golden_day().log if line.who is Who.BREWER]
    return [{"at": 0, "say": "start"}, *({"at": line.at, "say": line.text} for line in told)]


def lines_until(lines: list[Line], words: str) -> list[Line]:
    """The lines up to the first answer that has these words in it, each due moment among them."""
    sent: list[Line] = []
    with tempfile.TemporaryDirectory() as folder, Journal.open(Path(folder)) as journal:
        pipe = Pipe(load(AMBER), str(AMBER.resolve()), journal)
        waiting = list(reversed(lines))
        while waiting:
            due_s = pipe.session and next_due_s(pipe.session.state)
            falls_due = due_s and due_s < waiting[-1]["at"]
            sent.append({"at": due_s} if falls_due else waiting.pop())
            if words in json.dumps(pipe.answer(json.dumps(sent[-1]).encode(), 0.0)):
                return sent
    raise ValueError(f"nobody says {words!r} on this day")


MOMENTS = (
    ("board-boil.png", "weigh out", (1280, 800), "dark"),
    ("board-phone.png", '"kind": "advice"', (390, 844), "light"),
)


def main() -> None:
    """Write the pictures."""
    os.environ["TZ"] = ZONE
    time.tzset()
    lines = day_lines()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=[*CHROMIUM_FLAGS])
        for name, words, (width, height), scheme in MOMENTS:
            with under_way(lines_until(lines, words)) as day:
                context = browser.new_context(
                    viewport={"width": width, "height": height},
                    color_scheme=scheme,
                    device_scale_factor=1.5,
                )
                page = context.new_page()
                page.goto(day.address)
                page.wait_for_timeout(SETTLES_MS)
                page.screenshot(path=PICTURES / name)
        browser.close()


if __name__ == "__main__":
    main()

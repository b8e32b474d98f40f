"""How quick and how light is the board? ``python tests/bench/board_costs.py`` prints it.

Nothing is asserted.
The true command and a true Chromium on this machine. ``event`` is from a line typed into the day
until a frame with it is painted, ``touch`` from a click on the page by way of the day and back to
a painted frame; both end with the first ``requestAnimationFrame`` after the one in which the words
were set, so a frame late rather than early. ``idle`` is the processor time of the whole program
in a minute in which nothing happens, with no board, with one, and with one that readers look at;
the difference is the server's. Goals: event p95 under 150 ms, the server under 3 % of a core.
"""

import argparse
import os
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path
from statistics import quantiles

sys.path.insert(0, str(Path(__file__).parent.parent))

from board.brewed import AMBER, Brewed, brewed
from board.served import read_until
from chromium import CHROMIUM, CHROMIUM_FLAGS
from playwright.sync_api import Page, sync_playwright

BETWEEN_S = 0.25
SETTLES_S = 5.0

WATCH = """() => {
    window.painted = new Map();
    const heard = document.getElementById("heard");
    new MutationObserver(() => {
        const words = heard.textContent;
        requestAnimationFrame(() => requestAnimationFrame(() => {
            const now = Date.now();
            for (const word of words.match(/note (typed|touched) \\d+/g) ?? [])
                if (!window.painted.has(word)) window.painted.set(word, now);
        }));
    }).observe(heard, {childList: true, subtree: true, characterData: true});
}"""

TOUCH = """(words) => {
    document.getElementById("field").value = words;
    const now = Date.now();
    document.querySelector("#say-form button").click();
    return now;
}"""


def main() -> None:
    """Measure and print."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--events", type=int, default=200)
    options.add_argument("--idle", type=float, default=60.0, help="seconds for each row of idle")
    options.add_argument("--readers", type=int, default=200)
    wanted = options.parse_args()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=[*CHROMIUM_FLAGS])
        with tempfile.TemporaryDirectory() as data, brewed(Path(data)) as day:
            page = browser.new_page()
            page.goto(day.address)
            page.wait_for_selector("#buttons button")
            page.evaluate(WATCH)
            print_late("event", typed_late_ms(page, day, wanted.events))
            print_late("touch", touched_late_ms(page, wanted.events))
        browser.close()
    for readers in (None, 0, 1, wanted.readers):
        print_idle(readers, wanted.idle)


def typed_late_ms(page: Page, day: Brewed, count: int) -> list[float]:
    """Milliseconds from typing a line to the frame that shows it."""
    began: dict[str, float] = {}
    for number in range(count):
        words = f"note typed {number}"
        began[words] = time.time() * 1000
        day.types(words)
        page.wait_for_timeout(BETWEEN_S * 1000)
    return late_ms(page, began)


def touched_late_ms(page: Page, count: int) -> list[float]:
    """The same from a touch on the page, through the day and back."""
    began: dict[str, float] = {}
    for number in range(count):
        words = f"note touched {number}"
        began[words] = page.evaluate(TOUCH, words)
        page.wait_for_timeout(BETWEEN_S * 1000)
    return late_ms(page, began)


def late_ms(page: Page, began: dict[str, float]) -> list[float]:
    painted = page.evaluate("Object.fromEntries(window.painted)")
    return [painted[words] - at_ms for words, at_ms in began.items() if words in painted]


def print_late(name: str, late: Sequence[float]) -> None:
    """Half, 95 and all of a hundred came no later."""
    cuts = quantiles(late, n=100)
    sys.stdout.write(
        f"{name:<6} {len(late):4} seen   p50 {cuts[49]:4.0f} ms   p95 {cuts[94]:4.0f} ms   "
        f"most {max(late):4.0f} ms\n"
    )


def print_idle(readers: int | None, seconds: float) -> None:
    """The share of a core the program takes; ``readers`` None is a day without a board."""
    with tempfile.TemporaryDirectory() as data, ExitStack() as stack:
        if readers is None:
            share = idle_share_without(Path(data), seconds)
        else:
            day = stack.enter_context(brewed(Path(data)))
            for _ in range(readers):
                reader = stack.enter_context(reader_of(day))
                read_until(reader, b"event: picture")
            share = idle_share(day.process.pid, seconds)
    name = "no board" if readers is None else f"{readers} readers"
    sys.stdout.write(f"idle   {name:<12} {share * 100:5.2f} % of a core\n")


def reader_of(day: Brewed) -> socket.socket:
    """A connection to the events that takes what comes."""
    host, port = day.address.split("/")[2].split(":")
    reader = socket.create_connection((host, int(port)), timeout=10)
    reader.sendall(f"GET /events HTTP/1.1\r\nHost: {host}:{port}\r\n\r\n".encode())
    return reader


def idle_share_without(data: Path, seconds: float) -> float:
    command = [sys.executable, "-m", "assistant", "brew", str(AMBER), "--data", str(data)]
    with subprocess.Popen(
        [*command, "--no-voice", "--no-board"],
        stdin=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
    ) as process:
        time.sleep(SETTLES_S)
        share = idle_share(process.pid, seconds)
        process.kill()
    return share


def idle_share(pid: int, seconds: float) -> float:
    """Processor seconds of a process for each second that passes."""
    time.sleep(SETTLES_S)
    before = cpu_s(pid)
    time.sleep(seconds)
    return (cpu_s(pid) - before) / seconds


def cpu_s(pid: int) -> float:
    """User and system time of a process so far; Linux only (proc_pid_stat(5))."""
    fields = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


if __name__ == "__main__":
    main()

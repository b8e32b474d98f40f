"""What a process holds of the machine: memory, descriptors and threads."""

import os
import threading
from pathlib import Path


def resident_bytes(pid: int | None) -> int:
    """The memory a process holds, Linux only; 0 where there is no such process."""
    try:
        pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
    except (FileNotFoundError, ProcessLookupError):
        return 0
    return pages * os.sysconf("SC_PAGE_SIZE")


def open_descriptors() -> dict[str, str]:
    """The descriptors of this process by number, each with what it stands for; Linux only."""
    there = {}
    for number in os.listdir("/proc/self/fd"):
        try:
            there[number] = os.readlink(f"/proc/self/fd/{number}")
        except FileNotFoundError:
            # The one that listed them.
            continue
    return there


def live_threads() -> list[str]:
    """The names of this process's threads."""
    return sorted(thread.name for thread in threading.enumerate())

"""A brew day listens on no network: nobody else in the house or outside can reach it."""

import os
import socket
from contextlib import suppress
from pathlib import Path

import pytest
from drivers import Driver

PROC = Path("/proc")
TABLES = ("tcp", "tcp6", "udp", "udp6", "raw", "raw6")
INODE = 9
"""The column of a socket's inode (Linux, proc(5), /proc/net/tcp)."""

pytestmark = pytest.mark.skipif(
    not (PROC / "self" / "net" / "tcp").exists(), reason="this system has no /proc to look into"
)


def family(process: int) -> list[int]:
    """A process and all that it has started, and those have."""
    children = [
        int(child)
        for task in (PROC / str(process) / "task").iterdir()
        for child in (task / "children").read_text().split()
    ]
    return [process, *(member for child in children for member in family(child))]


def network_sockets(process: int) -> list[str]:
    """What the kernel's tables hold of a process: any use of a network."""
    held = set()
    for found in (PROC / str(process) / "fd").iterdir():
        # What lists the folder is open as well, and closed by the time it is looked at.
        with suppress(FileNotFoundError):
            held.add(os.readlink(found))
    return [
        line
        for table in TABLES
        for path in [PROC / str(process) / "net" / table]
        if path.exists()
        for line in path.read_text().splitlines()[1:]
        if f"socket:[{line.split()[INODE]}]" in held
    ]


def test_what_listens_is_seen() -> None:
    for kind in (socket.SOCK_STREAM, socket.SOCK_DGRAM):
        with socket.socket(socket.AF_INET, kind) as listening:
            listening.bind(("127.0.0.1", 0))
            if kind is socket.SOCK_STREAM:
                listening.listen()
            port = f":{listening.getsockname()[1]:04X} "
            assert any(port in line for line in network_sockets(os.getpid()))


def test_a_brew_day_by_the_pipe_has_no_socket_on_any_network(tmp_path: Path) -> None:
    with Driver(tmp_path) as day:
        for words in ("start", "skip", "ten minute timer", "note the fan is on"):
            day.send(10, say=words)
        day.read("water_temperature", 71.0, "degC")
        for process in family(day.process.pid):
            assert network_sockets(process) == []

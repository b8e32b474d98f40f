"""The rooms of the package and who may import whom."""

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "assistant"
ROOMS = {
    "brewing": set(),
    "schedule": {"brewing"},
    "advice": {"brewing", "schedule"},
    "day": {"brewing", "schedule", "advice"},
    "cellar": {"brewing", "schedule", "advice", "day"},
    "hearing": {"day", "schedule", "advice"},
    "speaking": set(),
    "record": {"cellar", "day", "schedule", "advice", "brewing"},
    "board": {"day", "schedule", "advice"},
    "rehearsal": {
        "brewing",
        "schedule",
        "advice",
        "day",
        "hearing",
        "speaking",
        "record",
        "cellar",
    },
}
"""hearing, record and board reach below ``day`` only for names that its event types are made of."""

LEAVES = {"backing_off", "closing", "file_lock"}
"""What rooms that may not import each other share; it imports nothing of ours itself."""

PURE = ("brewing", "schedule", "advice", "day", "cellar")
IMPURE = {
    "datetime",
    "time",
    "random",
    "secrets",
    "uuid",
    "os",
    "sys",
    "socket",
    "subprocess",
    "threading",
    "asyncio",
    "sqlite3",
    "io",
    "rich",
    "click",
    "logging",
}


def imports(path: Path) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} imports relatively"
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_arrows_between_rooms_point_down(path: Path) -> None:
    room = path.relative_to(PACKAGE).parts[0]
    if room not in ROOMS:
        return
    ours = {name.split(".")[1] for name in imports(path) if name.startswith("assistant.")}
    # The number of the version belongs to no room.
    shared = {"__version__"} | (set() if room in PURE else LEAVES)
    assert ours - {room} - shared <= ROOMS[room]


@pytest.mark.parametrize("leaf", sorted(LEAVES))
def test_what_the_rooms_share_imports_nothing_of_ours(leaf: str) -> None:
    path = PACKAGE / f"{leaf}.py"
    assert not {name for name in imports(path) if name.startswith("assistant.")}


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_the_pure_rooms_know_no_clock_no_chance_and_no_outside(path: Path) -> None:
    room = path.relative_to(PACKAGE).parts[0]
    if room not in PURE:
        return
    outside = {name.split(".")[0] for name in imports(path)} & IMPURE
    if room == "schedule":
        outside -= {"os"}
    assert not outside
    calls = {
        node.func.id
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    assert not calls & {"print", "input", "eval", "exec"}
    assert "open" not in calls or room == "schedule"


def test_every_room_is_known() -> None:
    folders = {path.name for path in PACKAGE.iterdir() if path.is_dir() and path.name[0] != "_"}
    assert folders <= set(ROOMS)

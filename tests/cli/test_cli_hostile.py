"""Names made to act on a terminal: every command prints them as they are written, or spelt out."""

import json
import os
import subprocess
import sys
import wave
from pathlib import Path

import pytest

from assistant.schedule import load

BEER = "[bold red]x[/] [link=https://a.example]y[/link] 👩🏽 ﷽ [/]"
MALT = "[blink]malt[/]"
HOP = "[reverse]Target[/]"
LATE_HOP = "[link=x]Late[/link]"
YEAST = "[conceal]ale[/]"
POT = "[bold]pot[/] [/]"

SCHEDULE = f"""
beer: "{BEER}"
volume: 18 L
kettle: {{kettle: "{POT}", holds: 32 L, heater: {{power: 2.6 kW}}}}
grist: [{{malt: "{MALT}", weight: 3.6 kg, extract: 80 %, colour: 6 EBC}}]
mash: [{{rest: "[dim]single[/]", at: 66 degC, for: 60 min}}]
boil: {{for: 60 min}}
additions:
  - {{add: "{HOP}", kind: hops, weight: 22 g, alpha: 10 %, at: 45 min}}
  - {{add: "[/] finings", kind: finings, weight: 3 g, at: 12 min}}
  - {{add: "{LATE_HOP}", kind: hops, weight: 30 g, alpha: 6 %, at: whirlpool}}
yeast: {{name: "{YEAST}"}}
"""
ORDERS = "\x1b[2J\x1b]8;;x\x07\x9b2J\u202e\u200b"
"""Clear the screen, begin a link, ring, clear it again, write from right to left, nothing."""

NOTE = "note fan \x1b[2J\x9b2J\u202e\u200b[bold]left[/]"


@pytest.fixture
def beer(tmp_path: Path) -> Path:
    path = tmp_path / "beer.yaml"
    path.write_text(SCHEDULE, encoding="utf-8")
    return path


def kettleside(folder: Path, *words: str | Path, typed: str = "") -> str:
    """What a command prints, errors included, as it would on a terminal."""
    done = subprocess.run(
        [sys.executable, "-m", "assistant", *map(os.fspath, words)],
        input=typed.encode("utf-8", "surrogateescape"),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        timeout=120,
        check=False,
        env={
            "PATH": "/usr/bin:/bin",
            "COLUMNS": "400",
            "HOME": os.fspath(folder),
            "KETTLESIDE_DATA": os.fspath(folder / "data"),
            "PYTHONUTF8": "1",
            # click takes orders out of what is no terminal's; rich may put its own colours in.
            "PYTHONPATH": os.pathsep.join([os.fspath(folder), *sys.path]),
            "NO_COLOR": "1",
        },
    )
    return done.stdout.decode("utf-8")


@pytest.fixture(autouse=True)
def as_on_a_terminal(tmp_path: Path) -> None:
    """Have click leave in what it would leave in on a terminal."""
    (tmp_path / "sitecustomize.py").write_text(
        "import click.utils, click._compat\n"
        "click.utils.should_strip_ansi = lambda *_: False\n"
        "click._compat.should_strip_ansi = lambda *_: False\n"
    )


def harmless(printed: str) -> bool:
    return all(line.replace("\t", " ").isprintable() for line in printed.split("\n"))


def test_the_check_itself_sees_an_order(tmp_path: Path) -> None:
    raw = subprocess.run(
        [sys.executable, "-c", f"import click; click.echo({ORDERS!r})"],
        capture_output=True,
        check=True,
        env={"PYTHONPATH": os.fspath(tmp_path), "PYTHONUTF8": "1"},
    ).stdout.decode()
    assert raw == ORDERS + "\n"
    assert not harmless(raw)


def test_the_plan_prints_names_as_they_are_written(beer: Path, tmp_path: Path) -> None:
    printed = kettleside(tmp_path, "plan", beer)
    assert harmless(printed)
    for name in (BEER, HOP, LATE_HOP, YEAST, POT, "[dim]single[/]", "[/] finings"):
        assert name in printed


@pytest.mark.parametrize("everything", [(), ("--all",)], ids=["the day", "all of it"])
def test_a_rehearsal_prints_names_as_they_are_written(
    beer: Path, tmp_path: Path, everything: tuple[str, ...]
) -> None:
    printed = kettleside(tmp_path, "rehearse", "--text", *everything, beer)
    assert harmless(printed)
    assert BEER in printed
    assert LATE_HOP in printed
    assert HOP in printed


def test_a_day_in_lines_its_list_and_its_report_print_names_as_they_are_written(
    beer: Path, tmp_path: Path
) -> None:
    typed = f"{NOTE}\nskip\nwhat's next\n{ORDERS}\n{HOP} is in\nblorb{ORDERS} is in\n"
    brewed = kettleside(tmp_path, "brew", "--no-voice", beer, typed=typed)
    listed = kettleside(tmp_path, "days")
    reported = kettleside(tmp_path, "report", "1")
    for printed in (brewed, listed, reported):
        assert harmless(printed)
    assert BEER in listed
    assert BEER in reported
    assert HOP in reported
    assert r"\x1b[2J" in reported
    assert "[bold]left[/]" in reported


def test_the_pipe_is_plain_ascii_and_means_what_was_written(beer: Path, tmp_path: Path) -> None:
    lines = [
        {"at": 0, "say": "start"},
        {"at": 1, "say": NOTE},
        {"at": 2, "say": "\ud800" + ORDERS},
        {"at": 3, "say": "ten minute timer for ½ \ud800 malt"},
        {"at": 4, "say": "options"},
        {"at": 5, ORDERS: 1},
        {"at": 6, "reading": {"quantity": ORDERS}},
        {"at": 7, "reading": {"quantity": "gravity", "value": 1, "unit": "\udcff" + ORDERS}},
    ]
    typed = "".join(json.dumps(line) + "\n" for line in lines)
    printed = kettleside(tmp_path, "brew", "--pipe", beer, typed=typed)
    assert printed.isascii()
    assert harmless(printed)
    answers = [json.loads(line) for line in printed.splitlines()]
    assert [answer["kind"] for answer in answers].count("idle") == len(lines)
    assert all(answer["text"].isprintable() for answer in answers if "text" in answer)


def test_file_names_are_spelt_out_in_every_fault(beer: Path, tmp_path: Path) -> None:
    spoilt = tmp_path / f"beer{ORDERS}.yaml"
    spoilt.write_text(SCHEDULE + "hue: red\n", encoding="utf-8")
    impossible = tmp_path / f"oven{ORDERS}.yaml"
    impossible.write_text(SCHEDULE.replace("2.6 kW", "120 W"), encoding="utf-8")
    load(impossible)
    for command in ("plan", "brew", "rehearse"):
        for path in (spoilt, impossible, tmp_path / f"none{ORDERS}.yaml"):
            printed = kettleside(tmp_path, command, path)
            assert harmless(printed)
            assert r"\x1b[2J" in printed


def test_recordings_with_odd_names_are_named_harmless(tmp_path: Path) -> None:
    silence = tmp_path / f"silence{ORDERS}.wav"
    with wave.open(os.fspath(silence), "wb") as written:
        written.setparams((1, 2, 16_000, 0, "NONE", ""))
        written.writeframes(bytes(32_000))
    undecoded = os.fsdecode(os.fsencode(tmp_path) + b"/caf\xe9.wav")
    for form in ((), ("--json",)):
        printed = kettleside(
            tmp_path,
            "hear",
            "--engine",
            "pocketsphinx",
            *form,
            silence,
            undecoded,
            tmp_path / ORDERS,
        )
        assert harmless(printed)
        assert len(printed.splitlines()) >= 3


def test_models_put_there_by_hand_are_listed_harmless(tmp_path: Path) -> None:
    acoustic = tmp_path / "data" / "models" / f"vosk-model-{ORDERS}" / "am"
    acoustic.mkdir(parents=True)
    (acoustic / "final.mdl").touch()
    printed = kettleside(tmp_path, "model", "list")
    assert harmless(printed)
    assert r"vosk-model-\x1b[2J" in printed


def test_a_terminal_without_the_signs_gets_question_marks(beer: Path, tmp_path: Path) -> None:
    for encoding in ("ascii", "cp1252"):
        done = subprocess.run(
            [sys.executable, "-m", "assistant", "plan", os.fspath(beer)],
            capture_output=True,
            check=False,
            env={"PYTHONIOENCODING": encoding, "HOME": os.fspath(tmp_path), "PATH": "/usr/bin"},
        )
        assert (done.returncode, done.stderr) == (0, b"")
        assert b"[reverse]Target[/]" in done.stdout
        assert "\ufdfd" not in done.stdout.decode(encoding)

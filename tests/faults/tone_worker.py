"""A worker of the voice that says tones: ``tone_worker.py HOW`` and the options of the true one.

It speaks the protocol of ``assistant.speaking.voice_worker`` and loads next to nothing, so that it
starts in no time. While the file ``HOW`` says ``dies`` it ends as it starts and at each item;
while it says ``hangs`` it answers nothing.
"""

import json
import os
import struct
import sys
import time

RATE_HZ = 22_050
SAMPLES = 4_410


def how(path: str) -> str:
    try:
        with open(path) as told:
            return told.read()
    except OSError:
        return ""


def fall_ill(path: str) -> None:
    match how(path):
        case "dies":
            os._exit(1)
        case "hangs":
            time.sleep(600)


def tone(into: str) -> None:
    square = b"".join(struct.pack("<h", 9_000 if at // 40 % 2 else -9_000) for at in range(SAMPLES))
    head = struct.pack(
        "<4sI4s4sIHHIIHH4sI",
        *(b"RIFF", 36 + len(square), b"WAVE", b"fmt ", 16, 1, 1),
        *(RATE_HZ, 2 * RATE_HZ, 2, 16, b"data", len(square)),
    )
    with open(into, "wb") as sound:
        sound.write(head + square)


def answer(text: dict[str, object]) -> None:
    sys.stdout.write(f"{json.dumps(text)}\n")
    sys.stdout.flush()


def main(path: str) -> None:
    fall_ill(path)
    answer({"engine": "tones"})
    for line in sys.stdin:
        order = json.loads(line)
        fall_ill(path)
        if "say" in order:
            tone(order["into"])
            answer({"done": order["into"]})
        else:
            answer({"voices": []})


if __name__ == "__main__":
    main(sys.argv[1])

"""The golden fermentation: every line of a beer's pipe from the yeast to the glass.

`python tests/golden_fermentation.py` writes it anew; read the difference as a brewer would before
keeping it.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from pitched_day import PITCHED_S, on_record
from sample_files import SAMPLES

from assistant.cellar.events import Errand, VisitBegan
from assistant.record.beers import beer_on_record
from assistant.record.journal import Journal
from assistant.schedule import load
from assistant.visit_pipe import VisitPipe

SAMPLE = SAMPLES / "saltgrass-pale.yaml"
GOLDEN = Path(__file__).parent / "cellar" / "golden-saltgrass-pale.txt"
BEGAN = 1718355600.0
DAY_S = 86400.0

Said = tuple[float, str | dict[str, Any] | None]
"""Days since the yeast went in, and the words, the reading or nothing but the time."""


def warm(value: float) -> dict[str, Any]:
    return {"quantity": "fermenter_temperature", "value": value, "unit": "degF"}


VISITS: tuple[tuple[Errand, tuple[Said, ...]], ...] = (
    (
        Errand.TEND,
        (
            (1.0, "start"),
            (1.0, warm(67.0)),
            (1.1, warm(77.5)),
            (1.1, "note krausen to the lid"),
            (1.1, "done"),
        ),
    ),
    (
        Errand.TEND,
        (
            (3.6, "start"),
            (3.6, "gravity one oh three oh"),
            (3.6, "beer temperature sixty eight"),
            (4.01, None),
            (4.2, "hops are in"),
            (4.2, "what's next"),
            (4.2, "done"),
        ),
    ),
    (
        Errand.TEND,
        (
            (8.0, "start"),
            (8.0, "gravity 1.013"),
            (8.0, "gravity 1.130"),
            (8.0, "no"),
            (8.0, "undo"),
            (8.0, "gravity 1.013"),
            (8.0, warm(68.0)),
            (8.0, "where are we"),
            (8.0, "done"),
        ),
    ),
    (
        Errand.PACKAGE,
        (
            (9.0, "start"),
            (9.0, "gravity 1.013"),
            (9.0, warm(67.0)),
            (9.0, "fermenter volume five gallons"),
            (9.0, "packaged"),
            (9.0, "no"),
            (9.0, "why"),
            (9.0, "done"),
        ),
    ),
    (
        Errand.PACKAGE,
        (
            (14.2, "start"),
            (14.2, "1.012"),
            (14.2, "sixty six"),
            (14.2, "4.9 gallons"),
            (14.25, "packaged"),
            (14.26, "slurry eight fluid ounces"),
        ),
    ),
    (Errand.TEND, ((20.0, "start"), (20.0, "what's next"), (20.0, "done"))),
)


def answers(pipe: VisitPipe, said: tuple[Said, ...]) -> Iterator[str]:
    """Each line that is sent and what it is answered with, but for what does not change."""
    for day, what in said:
        at = PITCHED_S + day * DAY_S
        line: dict[str, Any] = {"at": at}
        if isinstance(what, str):
            line["say"] = what
        elif what is not None:
            line["reading"] = what
        yield f"{day:5.2f} > {json.dumps({k: v for k, v in line.items() if k != 'at'})}"
        for answer in pipe.answer(json.dumps(line).encode() + b"\n", BEGAN + at):
            answer.pop("at")
            yield f"        {json.dumps(_in_days(_as_shown(answer)))}"


def _as_shown(answer: dict[str, Any]) -> dict[str, Any]:
    """A beer without its ranges, whose last digits are the fit's and not the beer's."""
    if answer["kind"] != "beer":
        return answer
    ahead = [[each["what"], {"at_s": each["at_s"]}] for each in answer["coming"]]
    shown = ("kind", "progress", "gravity", "attenuation_percent", "abv_percent", "packaged")
    return {key: answer[key] for key in shown} | {"coming": ahead}


def _in_days(found: Any) -> Any:
    """Moments as days since the yeast, to a tenth: what a person can read."""
    if isinstance(found, dict):
        return {
            key: _days(value) if key.endswith("_s") or key == "next" else _in_days(value)
            for key, value in found.items()
        }
    return [_in_days(each) for each in found] if isinstance(found, list) else found


def _days(value: Any) -> Any:
    if isinstance(value, list):
        return [_days(each) for each in value]
    return value if value is None else round((value - PITCHED_S) / DAY_S, 1)


def golden_fermentation() -> str:
    """All visits, one after another, each to the record as the one before left it."""
    lines = []
    with TemporaryDirectory() as folder:
        on_record(Path(folder), load(SAMPLE), began_wall=BEGAN)
        for errand, said in VISITS:
            lines.append(f"--- {errand.value} ---")
            with Journal.open(Path(folder)) as journal:
                day = journal.day(1)
                assert day is not None
                pipe = VisitPipe(
                    journal, beer_on_record(journal, day), VisitBegan(at=0.0, errand=errand)
                )
                lines += answers(pipe, said)
                assert pipe.visit is not None
                pipe.visit.end()
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    GOLDEN.write_text(golden_fermentation())

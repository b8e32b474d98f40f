"""A schedule's file, or its text as kept on record, to a checked ``Schedule``."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from assistant.schedule.beer import build_schedule, check_beer
from assistant.schedule.faults import Report, ScheduleError
from assistant.schedule.groups import Group, Values, take
from assistant.schedule.kettle_card import build_kettle
from assistant.schedule.model import Schedule
from assistant.schedule.reading import Unreadable, read_text, read_tree
from assistant.schedule.tables import KETTLE, SCHEDULE

INLINE_KETTLE_NAME = "kettle"

OpenKettle = Callable[[str], str]


@dataclass(frozen=True, kw_only=True)
class Source:
    """The texts a schedule was read from: enough to read it again when the files have changed.

    ``kettle_text`` is None where the kettle stands in the schedule itself.
    """

    name: str
    text: str
    kettle_text: str | None


def load(path: Path) -> Schedule:
    """Read and check the schedule at ``path`` and the kettle file it names.

    Raises ScheduleError with every fault of both files.
    """
    return load_with_source(path)[0]


def load_with_source(path: Path) -> tuple[Schedule, Source]:
    """As ``load``, with the texts that were read."""
    report = Report(file=str(path))
    try:
        text = read_text(path)
    except Unreadable as fault:
        report.add(fault.line, None, fault.found, fault.wanted)
        raise ScheduleError(tuple(report.faults)) from fault
    kettle_texts = []

    def open_kettle(reference: str) -> str:
        kettle_texts.append(read_text(path.parent / reference))
        return kettle_texts[0]

    schedule = _read(text, report, open_kettle)
    kettle_text = kettle_texts[0] if kettle_texts else None
    return schedule, Source(name=str(path), text=text, kettle_text=kettle_text)


def load_text(text: str, name: str, kettle_text: str | None = None) -> Schedule:
    """Check a schedule's text; ``name`` stands for the file in its faults.

    ``kettle_text`` is that of the kettle file, needed where the schedule names one. Raises
    ScheduleError with every fault of both texts.
    """

    def open_kettle(reference: str) -> str:
        if kettle_text is None:
            raise Unreadable(None, "no text of that file", "the text of the kettle file")
        return kettle_text

    return _read(text, Report(file=name), open_kettle)


def _read(text: str, report: Report, open_kettle: OpenKettle) -> Schedule:
    values = _read_group(SCHEDULE, text, report)
    kettle, kettle_name = None, INLINE_KETTLE_NAME
    kettle_report = Report(file="")
    if values is not None:
        check_beer(values, report)
        kettle = values.get("kettle")
        if isinstance(kettle, str):
            kettle_name = PurePosixPath(kettle).stem
            kettle_report = Report(file=str(Path(report.file).parent / kettle))
            kettle = _read_kettle(kettle, values, report, kettle_report, open_kettle)
    faults = (*report.in_order(), *kettle_report.in_order())
    if faults or values is None or kettle is None:
        raise ScheduleError(faults)
    return build_schedule(values, build_kettle(kettle, kettle_name))


def _read_kettle(
    reference: str,
    schedule: Values,
    report: Report,
    kettle_report: Report,
    open_kettle: OpenKettle,
) -> Values | None:
    try:
        text = open_kettle(reference)
    except Unreadable as fault:
        if fault.line is None:
            # The kettle file cannot be opened, so the mistake is more likely in its name.
            found = f"{reference}, {fault.found}"
            report.add(schedule.line_of("kettle"), "kettle", found, fault.wanted)
        else:
            kettle_report.add(fault.line, None, fault.found, fault.wanted)
        return None
    return _read_group(KETTLE, text, kettle_report)


def _read_group(group: Group, text: str, report: Report) -> Values | None:
    try:
        tree = read_tree(text, report)
    except Unreadable as fault:
        report.add(fault.line, None, fault.found, fault.wanted)
        return None
    values: Values | None = take(group, tree, report.top())
    return values

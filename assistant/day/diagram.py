"""The stages drawn from the real table, for the README: a Mermaid state diagram."""

from collections.abc import Iterator

from assistant.advice.timeline import Stage
from assistant.day.stages import TRANSITIONS, Trigger

QUIET = (Trigger.SKIPPED, Trigger.WENT_BACK)
"""Left out of the picture: every stage can be skipped and gone back from."""


def stage_diagram() -> str:
    """The diagram's text, arrows between the same two stages drawn as one."""
    return "\n".join(_lines())


def _lines() -> Iterator[str]:
    yield "stateDiagram-v2"
    yield f"    [*] --> {Stage.GATHER.value}"
    for stage, row in TRANSITIONS.items():
        labels: dict[Stage, list[str]] = {}
        for trigger, to in row.items():
            if trigger not in QUIET:
                labels.setdefault(to, []).append(trigger.value)
        for to, words in labels.items():
            yield f"    {stage.value} --> {to.value}: {' / '.join(words)}"
    yield f"    {Stage.FINISHED.value} --> [*]"

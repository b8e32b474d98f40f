"""A schedule's YAML as a small tree in which every value knows its line.

PyYAML gives the events; the tree is built here without recursion and within limits, so that a
file made to exhaust the program (deep nesting, aliases of aliases, megabytes) is refused early.
Only what a schedule needs is taken: one document of mappings, lists and plain values; tags and
aliases are faults.
"""

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from assistant.schedule.faults import Report, harmless

LARGEST_FILE_BYTES = 64 * 1024
DEEPEST = 8
MOST_VALUES = 2000


@dataclass(frozen=True, kw_only=True)
class Scalar:
    """One value as written; ``holds`` is what YAML would take it for, such as ``a number``."""

    text: str
    holds: str
    line: int


@dataclass(frozen=True, kw_only=True)
class Sequence:
    """A list, in the order of the file."""

    line: int
    items: list["Node"] = field(default_factory=list)


@dataclass(frozen=True, kw_only=True)
class Mapping:
    """Keys with their values; of a key given twice, the first stands and the rest are noted."""

    line: int
    values: dict[str, "Node"] = field(default_factory=dict)
    lines: dict[str, int] = field(default_factory=dict)
    repeated: list[tuple[str, int]] = field(default_factory=list)


@dataclass(frozen=True, kw_only=True)
class Unusable:
    """A value that is no plain YAML, and what to say of it."""

    line: int
    found: str
    wanted: str


Node = Scalar | Sequence | Mapping | Unusable

TEXT = "text"
NOTHING = "nothing"
STANDARD = "tag:yaml.org,2002:"
_HOLDS = {
    "null": NOTHING,
    "bool": "yes or no",
    "int": "a number",
    "float": "a number",
    "timestamp": "a date",
}


class Unreadable(Exception):
    """A file that has to be given up, at a line where one can be named."""

    def __init__(self, line: int | None, found: str, wanted: str) -> None:
        super().__init__(line, found, wanted)
        self.line = line
        self.found = found
        self.wanted = wanted


def read_text(path: Path) -> str:
    """The text of a file; Unreadable where it cannot be had."""
    try:
        if not path.exists():
            raise Unreadable(None, "no such file", "a file that is there")
        if not path.is_file():
            raise Unreadable(None, "something that is not a file", "a file of YAML")
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its path cannot be used"
        raise Unreadable(None, f"a file that cannot be read: {reason}", "a file of YAML") from error
    _require_small(len(data))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        found = f"the byte 0x{data[error.start]:02x}"
        raise Unreadable(line, found, "plain text in UTF-8") from error


def read_tree(text: str, report: Report) -> Node:
    """The tree of a file's text.

    What is wrong in one place goes on the report; Unreadable is for what ends the reading.
    """
    _require_small(len(text))
    builder = _Builder(report)
    try:
        for event in yaml.parse(text, Loader=yaml.SafeLoader):
            builder.take(event)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark
        line = mark.line + 1 if mark else builder.line
        found = f"broken YAML ({error.problem})"
        raise Unreadable(line, found, "YAML that can be read") from error
    except yaml.reader.ReaderError as error:
        line = text.count("\n", 0, error.position) + 1
        found = f"the character {harmless(text[error.position : error.position + 1])}"
        raise Unreadable(line, found, "plain text without control characters") from error
    except (ValueError, OverflowError) as error:
        # PyYAML lets chr() and int() fail on escapes and directives that are out of range.
        raise Unreadable(builder.line, "broken YAML", "YAML that can be read") from error
    if builder.root is None:
        raise Unreadable(None, "an empty file", "the keys of a schedule or of a kettle")
    return builder.root


def _require_small(size: int) -> None:
    if size > LARGEST_FILE_BYTES:
        wanted = f"at most {LARGEST_FILE_BYTES // 1024} KiB"
        raise Unreadable(None, "a file too large for a schedule", wanted)


class _Builder:
    """Takes YAML events one by one and grows the tree from them."""

    def __init__(self, report: Report) -> None:
        self.report = report
        self.root: Node | None = None
        self.line = 1
        self._open: list[Sequence | Mapping] = []
        self._keys: list[tuple[str | None, int] | None] = []
        self._values = 0
        self._documents = 0
        self._resolver: Any = yaml.SafeLoader("")

    def take(self, event: yaml.Event) -> None:
        """Take one event; Unreadable where the file must be given up."""
        if event.start_mark:
            self.line = event.start_mark.line + 1
        match event:
            case yaml.DocumentStartEvent():
                self._start_document()
            case yaml.SequenceEndEvent() | yaml.MappingEndEvent():
                self._open.pop()
                self._keys.pop()
            case yaml.NodeEvent():
                self._start_node(event)

    def _start_document(self) -> None:
        self._documents += 1
        if self._documents > 1:
            raise Unreadable(self.line, "a second document", "one document to a file")

    def _start_node(self, event: yaml.NodeEvent) -> None:
        self._values += 1
        if self._values > MOST_VALUES:
            raise Unreadable(self.line, "too many values", f"at most {MOST_VALUES} in a file")
        node = self._node(event)
        self._place(node)
        if isinstance(event, yaml.CollectionStartEvent):
            self._open.append(node if isinstance(node, Sequence | Mapping) else self._aside(event))
            self._keys.append(None)
        if len(self._open) > DEEPEST:
            raise Unreadable(self.line, "values nested too deep", f"at most {DEEPEST} levels")

    def _aside(self, event: yaml.CollectionStartEvent) -> Sequence | Mapping:
        kind = Sequence if isinstance(event, yaml.SequenceStartEvent) else Mapping
        return kind(line=self.line)

    def _node(self, event: yaml.NodeEvent) -> Node:
        if isinstance(event, yaml.AliasEvent):
            found = f"the alias *{event.anchor}"
            return Unusable(line=self.line, found=found, wanted="the value itself")
        tag = getattr(event, "tag", None)
        if tag is not None:
            found = f"the tag {tag.replace(STANDARD, '!!')}"
            return Unusable(line=self.line, found=found, wanted="the value without a tag")
        if isinstance(event, yaml.ScalarEvent):
            return Scalar(text=event.value, holds=self._holds(event), line=self.line)
        if isinstance(event, yaml.SequenceStartEvent):
            return Sequence(line=self.line)
        return Mapping(line=self.line)

    def _holds(self, event: yaml.ScalarEvent) -> str:
        if event.style:
            return TEXT
        tag = self._resolver.resolve(yaml.ScalarNode, event.value, (True, False))
        return _HOLDS.get(tag.removeprefix(STANDARD), TEXT)

    def _place(self, node: Node) -> None:
        if not self._open:
            self.root = node
            return
        parent = self._open[-1]
        if isinstance(parent, Sequence):
            parent.items.append(node)
        elif self._keys[-1] is None:
            self._keys[-1] = self._key(node)
        else:
            name, line = self._keys[-1]
            self._keys[-1] = None
            self._enter(parent, name, line, node)

    def _key(self, node: Node) -> tuple[str | None, int]:
        if isinstance(node, Scalar):
            return node.text, node.line
        found = node.found if isinstance(node, Unusable) else "a group of values as a key"
        self.report.add(node.line, None, found, "a key of one plain word")
        return None, node.line

    def _enter(self, parent: Mapping, name: str | None, line: int, node: Node) -> None:
        if name is None:
            return
        if name in parent.values:
            parent.repeated.append((name, line))
        else:
            parent.values[name] = node
            parent.lines[name] = line

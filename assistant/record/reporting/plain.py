"""What JSON can hold of frozen figures."""

import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from typing import Any


def plain(thing: Any) -> Any:
    """Lists, objects, text and numbers: enums by their value, nothing that is not finite."""
    if isinstance(thing, Enum):
        return thing.value
    if isinstance(thing, float):
        return thing if math.isfinite(thing) else None
    if is_dataclass(thing):
        return {field.name: plain(getattr(thing, field.name)) for field in fields(thing)}
    if isinstance(thing, Mapping):
        return {plain(key): plain(value) for key, value in thing.items()}
    if isinstance(thing, list | tuple):
        return [plain(each) for each in thing]
    return thing

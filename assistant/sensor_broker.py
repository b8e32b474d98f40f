"""The broker of a file of sensors: where it is, and who is asking.

Where a password comes from stands in the file, never the password itself, and no message shows it.
"""

import os
import ssl
from dataclasses import dataclass, field
from ipaddress import ip_address
from pathlib import Path

from assistant.schedule.faults import Place
from assistant.schedule.groups import Values

PORT, TLS_PORT = 1883, 8883
"""MQTT's own, as registered with IANA."""

LONGEST_PASSWORD = 4096
SYSTEM = "system"


@dataclass(frozen=True, kw_only=True)
class Broker:
    """Where the messages come from; ``tls`` is how it is to prove who it is, None for plain MQTT.

    Without a ``client_id`` the broker gives one.
    """

    host: str
    port: int
    user: str | None = None
    password: str | None = field(default=None, repr=False)
    client_id: str | None = None
    tls: ssl.SSLContext | None = field(default=None, repr=False, compare=False)

    @property
    def name(self) -> str:
        """``kitchen.lan:1883``."""
        return f"{self.host}:{self.port}"


def build_broker(values: Values, place: Place, folder: Path, warnings: list[str]) -> Broker | None:
    """The broker of checked values, what is not safe about it added to ``warnings``.

    Paths are relative to ``folder``. None, or a fault at ``place``, where something is wrong.
    """
    password = _password(values, place, folder, warnings)
    user = values.get("user")
    if password is not None and user is None and not values.gives("user"):
        line = values.line_of("password_env" if values.gives("password_env") else "password_file")
        place.fault(line, "a password without a user", "a user beside it")
    tls = _tls(values, place, folder)
    host = values.get("host")
    if host is None:
        return None
    port = values.get("port")
    if password is not None and tls is None and not _is_here(host):
        warnings.append(
            f"The password goes to {host} as it is, for anyone on the network to read. "
            "Give the broker tls, or use a network you trust."
        )
    return Broker(
        host=host,
        port=(TLS_PORT if tls else PORT) if port is None else int(port),
        user=user,
        password=password,
        client_id=values.get("client_id"),
        tls=tls,
    )


def _is_here(host: str) -> bool:
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def _password(values: Values, place: Place, folder: Path, warnings: list[str]) -> str | None:
    name, file = values.get("password_env"), values.get("password_file")
    if name is not None and file is not None:
        line = values.line_of("password_file")
        place.under("password_file").fault(line, "password_env beside it", "one of the two")
        return None
    if name is not None:
        password = os.environ.get(name, "")
        if not password:
            line = values.line_of("password_env")
            place.under("password_env").fault(
                line, f"{name}, which is not set", "a variable that holds the password"
            )
        return password or None
    return None if file is None else _password_in(folder / file, values, place, warnings)


def _password_in(path: Path, values: Values, place: Place, warnings: list[str]) -> str | None:
    wanted = f"a file with the password, at most {LONGEST_PASSWORD} bytes of UTF-8"
    try:
        with path.open("rb") as opened:
            held = opened.read(LONGEST_PASSWORD + 1)
            mode = os.fstat(opened.fileno()).st_mode
        password = held.decode("utf-8").rstrip("\r\n")
    except UnicodeDecodeError:
        found = "what is no text"
    except OSError as error:
        found = f"{values.written('password_file')}: {error.strerror}"
    except ValueError:
        found = "a path that can't be used"
    else:
        found = "an empty file" if not password else "a file too large for a password"
        if password and len(held) <= LONGEST_PASSWORD:
            if os.name == "posix" and mode & 0o077:
                warnings.append(f"Others can read {path}: take it from them with chmod 600.")
            return password
    place.under("password_file").fault(values.line_of("password_file"), found, wanted)
    return None


def _tls(values: Values, place: Place, folder: Path) -> ssl.SSLContext | None:
    wanted = values.get("tls")
    if wanted is None:
        return None
    try:
        return ssl.create_default_context(cafile=None if wanted == SYSTEM else str(folder / wanted))
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "no certificate in it"
        if isinstance(error, ssl.SSLError):
            reason = "no certificate in it"
        found = f"{wanted}: {reason}"
        place.under("tls").fault(
            values.line_of("tls"), found, "system, or a file of certificates in PEM"
        )
        return None

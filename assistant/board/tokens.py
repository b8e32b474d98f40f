"""The secret in a shared board's address: one for each date, the same after a restart.

Whoever has the address may look and speak. Yesterday's is good until the small hours, for a brew
day that runs late.
"""

import hmac
import secrets
from contextlib import suppress
from datetime import datetime, timedelta
from hashlib import sha256
from pathlib import Path

SECRET_FILE = "board.secret"
SECRET_BYTES = 32
TOKEN_LETTERS = 26
"""Of 32 letters, so 130 bits: more than can be guessed."""

LATE_HOUR = 6
"""Until then a date's token is good on the next."""

LETTERS = "abcdefghijkmnpqrstuvwxyz23456789"
"""No l, o, 0 or 1, so that an address can be typed from a screen."""


def kept_secret(folder: Path) -> bytes:
    """The secret of a folder, made at the first call; another each time where none can be kept."""
    file = folder / SECRET_FILE
    with suppress(OSError):
        found = file.read_bytes()
        if len(found) == SECRET_BYTES:
            return found
    made = secrets.token_bytes(SECRET_BYTES)
    with suppress(OSError):
        file.unlink(missing_ok=True)
        file.touch(mode=0o600)
        file.write_bytes(made)
    return made


class Tokens:
    """The tokens of one secret, by date."""

    def __init__(self, secret: bytes) -> None:
        self._secret = secret

    def token(self, now: datetime) -> str:
        """The token of a moment's date."""
        digest = hmac.digest(self._secret, f"board {now:%Y-%m-%d}".encode(), sha256)
        return "".join(LETTERS[byte % len(LETTERS)] for byte in digest[:TOKEN_LETTERS])

    def is_good(self, token: str, now: datetime) -> bool:
        """Whether a token opens the board at a moment; it takes as long to say no as yes."""
        dates = [now]
        if now.hour < LATE_HOUR:
            dates.append(now - timedelta(days=1))
        # Every date is compared, and in bytes: a token may hold any sign.
        good = [hmac.compare_digest(self.token(date).encode(), token.encode()) for date in dates]
        return any(good)

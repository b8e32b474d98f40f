"""A page as a PDF, by whichever printer of pages this machine has."""

import os
import shutil
import signal
import subprocess
import sys
import tempfile
from contextlib import suppress
from pathlib import Path

BROWSERS = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "microsoft-edge",
    "msedge",
)
"""Browsers that print without a window, by the names they have on a PATH."""

BROWSER_FLAGS = (
    "--headless",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-pdf-header-footer",
)

PDF_BEGINS = b"%PDF-"

PATIENCE_S = 120.0
"""A browser that has not printed a page by then never will."""


class NoPrinter(Exception):
    """Nothing here can make a PDF of a page; the message says what would."""


def as_pdf(page: str) -> bytes:
    """The page as a PDF: by WeasyPrint where that is installed, else by a browser.

    Raises :class:`NoPrinter` where there is neither, or where the browser fails.
    """
    printed = _by_weasyprint(page)
    return printed if printed is not None else _by_browser(page)


def _by_weasyprint(page: str) -> bytes | None:
    try:
        # It needs Pango, and says so by an OSError of the loader.
        import weasyprint
    except (ImportError, OSError):
        return None
    return bytes(weasyprint.HTML(string=page, url_fetcher=_nothing_else).write_pdf())


def _nothing_else(url: str) -> dict[str, object]:
    raise ValueError(f"a report needs nothing else, and asked for {url[:100]}")


def _by_browser(page: str) -> bytes:
    browser = next((found for found in map(shutil.which, BROWSERS) if found), None)
    if browser is None:
        raise NoPrinter(
            "a PDF needs WeasyPrint (pip install weasyprint, with Pango) or one of Chromium, "
            "Chrome and Edge on the PATH: found neither; --html makes a page that any browser "
            "prints"
        )
    # A browser from a snap sees no hidden folder, and none of the system's own for the moment.
    try:
        with tempfile.TemporaryDirectory(
            prefix="kettleside-", ignore_cleanup_errors=True
        ) as folder:
            source, made = Path(folder, "report.html"), Path(folder, "report.pdf")
            source.write_text(page, encoding="utf-8")
            _print(browser, source, made, Path(folder, "browser"))
            printed = made.read_bytes() if made.exists() else b""
    except OSError as error:
        raise NoPrinter(f"{browser} can't be handed the page: {error.strerror}") from error
    if not printed.startswith(PDF_BEGINS):
        raise NoPrinter(f"{browser} made no PDF; --html makes a page that any browser prints")
    return printed


def _print(browser: str, source: Path, made: Path, own: Path) -> None:
    # A browser started by root refuses to put itself in its sandbox.
    as_root = sys.platform != "win32" and os.geteuid() == 0
    call = [
        browser,
        *BROWSER_FLAGS,
        *(["--no-sandbox"] if as_root else []),
        f"--user-data-dir={own}",
        f"--print-to-pdf={made}",
        source.as_uri(),
    ]
    quiet = subprocess.DEVNULL
    try:
        running = subprocess.Popen(
            call, stdin=quiet, stdout=quiet, stderr=quiet, start_new_session=True
        )
    except OSError as error:
        raise NoPrinter(f"{browser} can't be started: {error.strerror}") from error
    try:
        running.wait(PATIENCE_S)
    except subprocess.TimeoutExpired:
        raise NoPrinter(f"{browser} did not print the page within {PATIENCE_S:.0f} s") from None
    finally:
        _end(running)


def _end(browser: "subprocess.Popen[bytes]") -> None:
    """End a browser with all the helpers it started, which may outlive it."""
    if sys.platform == "win32":
        browser.kill()
    else:
        with suppress(ProcessLookupError, PermissionError):
            os.killpg(browser.pid, signal.SIGKILL)
    browser.wait()

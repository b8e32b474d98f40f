"""A page of the browser for each test of the board."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A page on a tablet that can be touched; whatever it complains of fails the test."""
    context = browser.new_context(viewport={"width": 1024, "height": 768}, has_touch=True)
    opened = context.new_page()
    faults: list[str] = []
    opened.on("pageerror", lambda error: faults.append(str(error)))
    opened.on(
        "console",
        lambda told: faults.append(told.text) if complains(told.type, told.text) else None,
    )
    yield opened
    context.close()
    assert not faults


def complains(kind: str, text: str) -> bool:
    """Whether the console tells of a fault; that a server is gone is none of the page's."""
    return kind in ("error", "warning") and "ERR_" not in text

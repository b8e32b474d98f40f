"""The true browser of this machine, and how it is started for a test: alone and without the net."""

import os
import shutil

CHROMIUM = next(
    (
        found
        for name in ("chromium", "chromium-browser", "google-chrome")
        if (found := shutil.which(name))
    ),
    None,
)
CHROMIUM_FLAGS = (
    *(["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []),
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)

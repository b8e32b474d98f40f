"""``python -m assistant`` is ``kettleside``."""

from assistant.cli import main

main()

"""The stand-ins of the other rooms' tests, which are not on the path of these."""

import sys
from pathlib import Path

for folder in ("hearing", "live"):
    sys.path.append(str(Path(__file__).parent.parent / folder))

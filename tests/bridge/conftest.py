"""The made-up arm of the browser's tests serves here too."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "browser"))

"""What the outside checks share: the published values."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml


@pytest.fixture(scope="session")
def published():
    """The table of values from outside."""
    return yaml.safe_load(Path(__file__).with_name("published_values.yaml").read_text(encoding="utf-8"))

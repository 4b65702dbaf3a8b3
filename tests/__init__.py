"""Tests, and what they share. None reads the settings of whoever runs them, nor do the commands that they start."""

import os
from pathlib import Path

os.environ["HALFPIN_SETTINGS"] = str(Path(__file__).parent / "no-settings")
"""A folder that is not there; a test of settings names one of its own."""

"""Puts the shared balls and lanes of these tests within reach."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

"""Puts the shared balls and lanes of these tests, and the scripts' studies, within reach."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[2] / "scripts"))

"""Import sqlite-utils without pandas, which it takes along where it is installed, for column types not used here.

Half of the command line's start would go into it. Afterwards pandas can be imported as ever.
"""

from __future__ import annotations

import sys

_MISSING = "pandas" not in sys.modules
if _MISSING:
    sys.modules["pandas"] = None  # type: ignore[assignment]
try:
    import sqlite_utils  # noqa: F401
finally:
    if _MISSING:
        del sys.modules["pandas"]

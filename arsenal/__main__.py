"""`python -m arsenal` is `padbook`."""

from __future__ import annotations

import sys

from arsenal.commands import main

if __name__ == "__main__":
    sys.exit(main())

#!/usr/bin/env python3
"""Open Padbook on the sample shop: one command, nothing else to install by hand.

Arguments go on to `padbook` (try `--help`); without any, the desk opens on the sample shop, and where there is no
display the sample shop's order and upkeep are printed instead.
"""

from __future__ import annotations

import os
import subprocess
import sys

from environment import (
    HOME,
    ROOT,
    WINDOW_LIBRARIES,
    X11_LIBRARIES,
    SetupError,
    install_debian,
    missing_libraries,
    prepare,
    python,
    say,
)

SAMPLE = HOME / "sample.padbook"


def has_display() -> bool:
    """Whether a window can be shown from here."""
    if sys.platform != "linux" or os.environ.get("QT_QPA_PLATFORM"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def padbook(*arguments: str) -> list[str]:
    """The command line of the program in its environment."""
    return [str(python()), "-m", "arsenal", *arguments]


def have_sample() -> None:
    """Write the sample shop once."""
    if not SAMPLE.exists():
        say("Writing the sample shop …")
        if subprocess.run(padbook("sample", str(SAMPLE)), stdout=subprocess.DEVNULL, check=False).returncode:
            raise SetupError("The sample shop could not be written; the sentence above says why.")


def show() -> int:
    """Open the desk on the sample shop, or print what it holds where no window can be shown."""
    have_sample()
    if has_display():
        missing = missing_libraries(WINDOW_LIBRARIES, X11_LIBRARIES) if sys.platform == "linux" else []
        if missing:
            install_debian(missing, "to show a window")
        os.execv(python(), padbook("--data", str(SAMPLE)))
    return subprocess.run(padbook("--data", str(SAMPLE)), check=False).returncode


def main() -> int:
    """Set up, then show the sample shop or pass the arguments on."""
    os.environ["PYTHONPATH"] = str(ROOT)
    try:
        prepare()
        if sys.argv[1:]:
            os.execv(python(), padbook(*sys.argv[1:]))
        return show()
    except SetupError as error:
        say(str(error))
        return 1
    except KeyboardInterrupt:
        say("Stopped. The next start goes on from here.")
        return 130


if __name__ == "__main__":
    raise SystemExit(main())

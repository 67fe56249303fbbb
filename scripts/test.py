#!/usr/bin/env python3
"""Lint, types, contracts and tests: the one definition that contributors and CI call alike.

Arguments go on to pytest; with any, only the tests run.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys

from environment import ROOT, WINDOW_LIBRARIES, SetupError, install_debian, missing_libraries, prepare, python, say

CHECKS = (
    ("contracts", ("-c", "from importlinter.cli import lint_imports_command as lint; lint()")),
    ("lint", ("-m", "ruff", "check", ".")),
    ("format", ("-m", "ruff", "format", "--check", ".")),
    ("types", ("-m", "mypy")),
)


def run(name: str, arguments: tuple[str, ...]) -> int:
    """Run one check in the environment's Python and say how it ended."""
    say(f"── {name}")
    return subprocess.run([str(python()), *arguments], cwd=ROOT, check=False).returncode


def fetch_pdf_reader() -> None:
    """An independent reader of PDFs, where it can be had; without it the checks of printed pages are passed over."""
    if sys.platform != "linux" or shutil.which("pdftotext"):
        return
    try:
        install_debian(["poppler-utils"], "to read printed pages in the tests")
    except SetupError as error:
        say(f"{error} The tests that read printed pages are skipped.")


def main() -> int:
    """Set up, then run the checks in order and stop at the first that fails; the tests come last."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    os.environ["PYTHONPATH"] = str(ROOT)
    try:
        prepare(("test",))
        missing = missing_libraries(WINDOW_LIBRARIES) if sys.platform == "linux" else []
        if missing:
            install_debian(missing, "to test the desk")
    except SetupError as error:
        say(str(error))
        return 1
    fetch_pdf_reader()
    if not sys.argv[1:]:
        for name, arguments in CHECKS:
            if code := run(name, arguments):
                return code
    return run("tests", ("-m", "pytest", "-q", "-n", "2", *(sys.argv[1:] or ("-m", "not slow"))))


if __name__ == "__main__":
    raise SystemExit(main())

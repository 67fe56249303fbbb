"""The commands about the file as a whole: tables in and out, copies, handing over, checking, the sample shop."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from arsenal.terminal import INITIATOR, KNOWN, opened, shop_path, show

if TYPE_CHECKING:
    from arsenal.acts.bring_in import Renaming, SheetHead
    from arsenal.acts.shop import Shop

Add = Callable[[str, Callable[[argparse.Namespace], int], str], Any]


def add_to(add: Add) -> None:
    """Every command with its options."""
    _in_and_out(add)
    _restoring(add)
    _handing(add)
    add("verify", run_verify, "go over the whole file and say whether it is sound")
    sample = add("sample", run_sample, "write the sample shop to a new file")
    sample.add_argument("onto", type=Path, metavar="FILE")


def _in_and_out(add: Add) -> None:
    load = add("load", run_load, "take in tables (CSV, XLSX), all rows or none; a dump's shop.jsonl makes a file")
    load.add_argument("files", nargs="+", type=Path, metavar="FILE")
    load.add_argument("--keep-good", action="store_true", help="keep the good rows and leave the bad ones out")
    load.add_argument(
        "--alike", choices=("ask", "same", "another"), default="ask",
        help="rows of a name or serial that is there already: the same, another one, or left out and told",
    )  # fmt: skip
    load.add_argument("--columns", action="store_true", help="only say how each header would be read; load nothing")
    load.add_argument("--as", dest="table", default="", metavar="TABLE", help="what a table with other headers holds")
    load.add_argument(
        "--column", dest="pairs", action="append", default=[], metavar="HEADER=COLUMN",
        help="what one of its columns holds, once for each; those not named are read as --columns says",
    )  # fmt: skip
    load.add_argument("--errors", type=Path, metavar="CSV", help="write rows that did not come in there")
    dump = add("dump", run_dump, "write everything as the tables that load reads, and as JSON Lines")
    dump.add_argument("folder", type=Path, metavar="DIR")
    dump.add_argument("--xlsx", action="store_true", help="write the tables as one workbook too")
    again = add("rebuild", run_rebuild, "make a new file, equal to the old one, from the lines that dump wrote")
    again.add_argument("lines", type=Path, metavar="LINES")
    again.add_argument("onto", type=Path, metavar="FILE")
    add("views", run_views, "bring what other programs see of the file (balls_now, due) up to date for every ball")
    backup = add("backup", run_backup, "write a checked copy of the file")
    backup.add_argument("onto", type=Path, metavar="FILE")


def _restoring(add: Add) -> None:
    back = add("restore", run_restore, "put a checked backup in the file's place; what is there is kept beside it")
    back.add_argument("backup", type=Path, metavar="BACKUP")


def _handing(add: Add) -> None:
    given = add("handover", run_handover, "write a checked copy to be taken over on another machine; then only read")
    given.add_argument("onto", type=Path, metavar="COPY")
    taken = add("takeover", run_takeover, "be in charge of a copy that was handed over; what is here is kept beside it")
    taken.add_argument("copy", type=Path, metavar="COPY")
    taken.add_argument("--anyway", action="store_true", help="also where it is older, or both were worked on")
    back = add("takeback", run_takeback, "be in charge again of a file that was handed over")
    for command in (given, taken, back):
        command.add_argument("--who", default="", metavar="NAME", help="who does it")


def run_load(given: argparse.Namespace) -> int:
    """Load tables; bad rows are listed and, without --keep-good, stop all of it."""
    from arsenal import printed  # noqa: PLC0415
    from arsenal.acts import bring_in, files  # noqa: PLC0415

    if [path.suffix for path in given.files] == [".jsonl"]:
        report = files.rebuild(given.files[0], shop_path(given))
        show(given, printed.report_row(report), lambda: f"Rebuilt {shop_path(given)}. {files.said(report)}")
        return 0
    if given.columns:
        return _run_columns(given)
    with opened(given, make=True) as shop:
        answers = bring_in.Answers(rest=bring_in.Rest(given.alike))
        report = files.load(
            shop, given.files, _renamings(shop, given), answers=answers, keep_good=given.keep_good,
            initiator=INITIATOR,
        )  # fmt: skip
        if given.errors is not None and (report.bad_rows or report.questions):
            bring_in.write_errors(report, given.errors)
        show(given, printed.report_row(report), lambda: files.said(report))
    return 0 if report.kept or not (report.bad_rows or report.questions) else KNOWN


def _run_columns(given: argparse.Namespace) -> int:
    from arsenal.acts import headers_said  # noqa: PLC0415

    with opened(given, read_only=shop_path(given).exists(), make=True) as shop:
        said, heads = _renamings(shop, given), _heads(shop, given)
    heads = [replace(head, renaming=said.get(head.fingerprint, head.renaming)) for head in heads]
    show(given, headers_said.rows(heads), lambda: headers_said.text(heads))
    return 0


def _renamings(shop: Shop, given: argparse.Namespace) -> dict[str, Renaming]:
    """What was said of the files' headers on the command line."""
    from arsenal.acts import headers_said  # noqa: PLC0415

    pairs = [headers_said.pair(text) for text in given.pairs]
    if not given.table and not pairs:
        return {}
    return headers_said.renamings(_heads(shop, given), given.table, pairs)


def _heads(shop: Shop, given: argparse.Namespace) -> list[SheetHead]:
    from arsenal.acts import bring_in  # noqa: PLC0415

    return [head for path in given.files if not path.is_dir() for head in bring_in.head(shop, path)]


def run_dump(given: argparse.Namespace) -> int:
    """Write the tables."""
    from arsenal.acts import files  # noqa: PLC0415

    with opened(given, read_only=True) as shop:
        written = [str(path) for path in files.dump(shop, given.folder, xlsx=given.xlsx)]
    show(given, written, lambda: "\n".join(written))
    return 0


def run_rebuild(given: argparse.Namespace) -> int:
    """A new file from JSON Lines."""
    from arsenal import printed  # noqa: PLC0415
    from arsenal.acts import files  # noqa: PLC0415

    report = files.rebuild(given.lines, given.onto)
    row = {"file": str(given.onto), **printed.report_row(report)}
    show(given, row, lambda: f"Rebuilt {given.onto}. {files.said(report)}")
    return 0


def run_views(given: argparse.Namespace) -> int:
    """Write the tables for other programs whole."""
    from arsenal.acts import files  # noqa: PLC0415

    with opened(given) as shop:
        behind, balls = files.fill_views(shop), len(shop.balls())
    said = f"The views are up to date: {balls} balls, {behind} of them written anew."
    show(given, {"balls": balls, "written": behind}, lambda: said)
    return 0


def run_backup(given: argparse.Namespace) -> int:
    """Write a checked copy."""
    from arsenal.acts import files  # noqa: PLC0415

    with opened(given, read_only=True) as shop:
        onto = files.backup(shop, given.onto)
    show(given, {"backup": str(onto), "checked": True}, lambda: f"Backed up to {onto}, reopened and checked.")
    return 0


def run_restore(given: argparse.Namespace) -> int:
    """Put a backup in the file's place."""
    from arsenal.acts import files  # noqa: PLC0415

    onto = shop_path(given)
    kept = files.restore(given.backup, onto)
    was = f" What was here before is kept as {kept.name}." if kept else ""
    row = {"file": str(onto), "kept": str(kept) if kept else None}
    show(given, row, lambda: f"Restored {onto} from {given.backup}, checked.{was}")
    return 0


def run_handover(given: argparse.Namespace) -> int:
    """Hand the file over."""
    from arsenal.acts import take_over  # noqa: PLC0415

    with opened(given) as shop:
        told = take_over.hand_over(shop, given.onto, given.who)
    show(given, {"copy": told.onto, "revision": told.revision}, lambda: take_over.said_handed(told))
    return 0


def run_takeover(given: argparse.Namespace) -> int:
    """Take a copy over in place of the shop's file."""
    from arsenal.acts import take_over  # noqa: PLC0415

    taken = take_over.take_over(given.copy, shop_path(given), given.who, anyway=given.anyway)
    row = {"file": str(taken.path), "kept": str(taken.kept) if taken.kept else None}
    show(given, row, lambda: take_over.said(taken))
    return 0


def run_takeback(given: argparse.Namespace) -> int:
    """Take a file back that was handed over."""
    from arsenal.acts import take_over  # noqa: PLC0415

    with opened(given) as shop:
        told = take_over.take_back(shop, given.who)
    said = f"Taken back: {shop_path(given)} is in charge again. The copy {told.onto} must not be taken over any more."
    show(given, {"file": str(shop_path(given)), "copy": told.onto}, lambda: said)
    return 0


def run_verify(given: argparse.Namespace) -> int:
    """Go over the file; exit code 2 where it is not sound."""
    from arsenal.acts import files  # noqa: PLC0415

    with opened(given, read_only=True) as shop:
        found = files.verify(shop)
    row: dict[str, Any] = {
        "ok": found.ok, "problems": [str(p) for p in found.problems], "entries": found.entries,
        "head_hash": found.head_hash,
    }  # fmt: skip
    sound = f"The file is sound: {found.entries} log entries, an unbroken chain of hashes."
    show(given, row, lambda: sound if found.ok else "\n".join(["The file is not sound:", *row["problems"]]))
    return 0 if found.ok else KNOWN


def run_sample(given: argparse.Namespace) -> int:
    """Write the sample shop."""
    from arsenal import printed  # noqa: PLC0415
    from arsenal.acts import files  # noqa: PLC0415

    report = files.write_sample(given.onto)
    row = {"file": str(given.onto), **printed.report_row(report)}
    said = (
        f"The sample shop is in {given.onto}: {report.people} bowlers, {report.balls} balls, {report.entries} entries."
    )
    show(given, row, lambda: said)
    return 0

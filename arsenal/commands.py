"""The command line, over acts. Heavy imports wait until a command needs them."""

from __future__ import annotations

import argparse
import os
import sys
import traceback
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from arsenal import __version__, file_commands
from arsenal.terminal import INITIATOR, KNOWN, bug, has_display, opened, show, speak_utf8
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.trade.person import Person

STOPPED = 130
DESCRIPTION = """What is on every ball now, which is strongest on this lane, what one pad would do, what is due.
Without a command the desk opens; where no window can be shown, the order and the upkeep are printed."""
LINES = """Examples: "rook 1000 h" sanded by hand · "rook 500/2000 m" by machine · "rook 14s" shots · "rook ~20g" about
20 games · "rook 3g wiped clean" · "rook r 2400" scanner · "rook > jay 3" ends three boards stronger. A ball goes by its
nickname or first letters; the day is today unless written (thu, yesterday, 12 mar)."""


def parser() -> argparse.ArgumentParser:
    """Every command with its options."""
    shared = argparse.ArgumentParser(add_help=False)
    shared.add_argument("--data", type=Path, metavar="FILE", default=argparse.SUPPRESS, help="the shop's file")
    printing = argparse.ArgumentParser(add_help=False, parents=[shared])
    printing.add_argument("--json", action="store_true", help="print JSON")
    top = argparse.ArgumentParser(prog="padbook", description=DESCRIPTION, parents=[shared])
    top.add_argument("--version", action="version", version=f"Padbook {__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", title="commands")

    def add(name: str, run: Callable[[argparse.Namespace], int], said: str, *, prints: bool = True) -> Any:
        made = commands.add_parser(name, help=said, description=said, parents=[printing if prints else shared])
        made.set_defaults(run=run)
        return made

    _order_options(add("order", run_order, "the set from strongest to weakest on a lane condition"))
    _whatif_options(add("whatif", run_whatif, "what every pad in stock and every recipe would do to one ball"))
    _practice_options(add("practice", run_practice, "what practice taught, the next shot worth throwing, a plan"))
    event = add("event", run_event, "an event's bag, stage by stage, and its prep sheet; nothing is logged by it")
    event.add_argument("name", metavar="NAME", help="the event, as padbook list events names it")
    event.add_argument("--bowler", metavar="B", help="whose bag; may be left out where one bowler is entered")
    due = add("upkeep", run_upkeep, "what is due on which ball, why and by when")
    due.add_argument("--bowler", metavar="B", help="only this bowler's balls")
    due.add_argument("--all", action="store_true", help="list later jobs too")
    _log_options(add("log", run_log, "keep one-line entries, all of them or none"))
    file_commands.add_to(add)
    found = add("find", run_find, "find a ball, person or ticket: name, nickname, phone, serial, number, label code")
    found.add_argument("text", nargs="+", metavar="TEXT", help="what is known of it; one wrong letter is forgiven")
    found.add_argument("--most", type=int, default=20, metavar="N", help="how many at most; 20 when left out")
    listed = add("list", run_list, "list what the file holds")
    listed.add_argument("what", choices=("bowlers", "balls", "lanes", "pads", "recipes", "events"))
    return top


def _order_options(ordered: argparse.ArgumentParser) -> None:
    ordered.add_argument("--bowler", metavar="B", help="whose balls; may be left out where there is one bowler")
    ordered.add_argument("--lane", metavar="L", help="lane condition; the bowler's usual one when left out")
    ordered.add_argument("--game", type=int, default=0, metavar="N", help="the lane after N games; 0 is fresh")
    ordered.add_argument(
        "--with", dest="others", action="append", default=[], metavar="NAME",
        help="who else is on the pair, once for each; the bowler's own name: nobody; left out: three who throw alike",
    )  # fmt: skip


def _whatif_options(what: argparse.ArgumentParser) -> None:
    what.add_argument("--bowler", metavar="B", help="whose ball; may be left out where there is one bowler")
    what.add_argument("--ball", metavar="X", required=True, help="the ball")
    what.add_argument("--lane", metavar="L", help="lane condition; the bowler's usual one when left out")
    what.add_argument(
        "--want", metavar="WHAT", help="“2 ft earlier”, “2 boards more”, “between A and B”: the gentlest that does it"
    )


def _log_options(log: argparse.ArgumentParser) -> None:
    log.epilog = LINES
    log.add_argument("lines", nargs="+", metavar="LINE", help="what happened to a ball")
    log.add_argument("--dry-run", action="store_true", help="show the meaning and keep nothing")
    log.add_argument("--yes", action="store_true", help="keep what needs a confirmation")


def _practice_options(practice: argparse.ArgumentParser) -> None:
    practice.add_argument("--bowler", metavar="B", help="who throws; may be left out where there is one bowler")
    practice.add_argument("--lane", metavar="L", help="lane condition; the bowler's usual one when left out")
    length = practice.add_mutually_exclusive_group()
    length.add_argument("--shots", type=int, metavar="N", help="a plan of so many shots; ten when left out")
    length.add_argument("--minutes", type=float, metavar="N", help="a plan for so many minutes")
    practice.add_argument("--csv", type=Path, metavar="DIR", help="write shots and what they taught there as tables")


def main(argv: Sequence[str] | None = None, open_desk: Callable[[Sequence[str]], int] | None = None) -> int:
    """Run one command; the exit code is 0, 2 for a known error (one sentence on stderr), 1 for a bug. Without a command
    `open_desk` opens the window; None, or no display, prints instead.
    """
    speak_utf8()
    given = parser().parse_args(argv)
    try:
        if given.command is None and open_desk is not None and has_display():
            where = getattr(given, "data", None)
            return open_desk(["--data", str(where)] if where else [])
        code = int(getattr(given, "run", run_without_display)(given))
        sys.stdout.flush()
    except KnownError as error:
        print(error, file=sys.stderr)
        return KNOWN
    except KeyboardInterrupt:
        print("Stopped. What was not kept whole was not kept at all.", file=sys.stderr)
        return STOPPED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception:  # noqa: BLE001  (the last hand: log it and say where)
        return bug(traceback.format_exc())
    return code


def run_without_display(given: argparse.Namespace) -> int:
    """The order and the upkeep of the file, and how to open the desk."""
    from arsenal import printed  # noqa: PLC0415
    from arsenal.acts import lane_side, reading, upkeep  # noqa: PLC0415

    with opened(given, read_only=True) as shop:
        whom = [person for person in reading.bowlers(shop) if person.style is not None]
        whom.sort(key=lambda person: -len(shop.balls(person.id)))
        for person in whom[:1]:
            print(printed.order_text(lane_side.lane_side(shop, person.id, _some_lane(shop, person))), end="\n\n")
        print(printed.upkeep_text(upkeep.upkeep(shop), _owners(shop)), end="\n\n")
        if len(whom) > 1:
            print(f"Other bowlers: {'; '.join(p.name for p in whom[1:])} (padbook order --bowler NAME).")
    print("No window can be shown here. With a display, or with DISPLAY set, the same command opens the desk.")
    return 0


def run_order(given: argparse.Namespace) -> int:
    """The order of one bowler's balls."""
    from arsenal import printed  # noqa: PLC0415
    from arsenal.acts import lane_side, reading  # noqa: PLC0415

    with opened(given, read_only=True) as shop:
        bowler = reading.bowler_named(shop, given.bowler)
        lane = reading.lane_named(shop, given.lane, bowler)
        others = [reading.bowler_named(shop, name).id for name in given.others]
        side = lane_side.lane_side(shop, bowler.id, lane.id, game=given.game, with_ids=others)
        rows = [printed.order_row(row, side) for row in side.order.rows]
        show(given, rows, lambda: printed.order_text(side))
    return 0


def run_whatif(given: argparse.Namespace) -> int:
    """Every pad and recipe on one ball, or the gentlest that does what is wanted."""
    from arsenal import printed_pads  # noqa: PLC0415
    from arsenal.acts import reading, wants, whatif  # noqa: PLC0415

    with opened(given, read_only=True) as shop:
        bowler = reading.bowler_named(shop, given.bowler)
        ball = reading.ball_named(shop, given.ball, bowler.id)
        lane = reading.lane_named(shop, given.lane, bowler)
        if given.want is not None:
            want = wants.want_of(shop, given.want, bowler.id)
            found = whatif.ask(shop, bowler.id, ball.id, want, lane.id)
            show(given, printed_pads.answer_row(found), lambda: printed_pads.answer_text(found))
            return 0
        sheet = whatif.what_if(shop, bowler.id, ball.id, lane.id)
        rows = [printed_pads.pad_row(result, sheet) for result in sheet.results]
        show(given, rows, lambda: printed_pads.whatif_text(sheet))
    return 0


def run_practice(given: argparse.Namespace) -> int:
    """What practice taught of each ball, the test most worth making, and a plan."""
    from arsenal import printed_practice  # noqa: PLC0415
    from arsenal.acts import practice, reading  # noqa: PLC0415

    with opened(given, read_only=True) as shop:
        bowler = reading.bowler_named(shop, given.bowler)
        if given.csv is not None:
            written = [str(path) for path in practice.export(shop, bowler.id, given.csv)]
            show(given, written, lambda: "\n".join(written))
            return 0
        lane = reading.lane_named(shop, given.lane, bowler)
        session = practice.session(shop, bowler.id, lane.id)
        found = practice.next_shots(shop, bowler.id, lane.id)
        plan = practice.plan(shop, bowler.id, lane.id, shots=given.shots, minutes=given.minutes)
        row = printed_practice.practice_row(session, found, plan)
        show(given, row, lambda: printed_practice.practice_text(session, found, plan))
    return 0


def run_event(given: argparse.Namespace) -> int:
    """The bag and the prep sheet of one bowler at one event."""
    from arsenal import printed_event  # noqa: PLC0415
    from arsenal.acts import event, reading  # noqa: PLC0415

    with opened(given, read_only=True) as shop:
        found = reading.event_named(shop, given.name)
        who = reading.entered_named(shop, found, given.bowler)
        plan = event.event_plan(shop, found.id, who.id)
        show(given, printed_event.event_row(plan), lambda: printed_event.event_text(plan))
    return 0


def run_upkeep(given: argparse.Namespace) -> int:
    """What is due."""
    from arsenal import printed  # noqa: PLC0415
    from arsenal.acts import reading, upkeep  # noqa: PLC0415

    with opened(given, read_only=True) as shop:
        bowler_id = reading.bowler_named(shop, given.bowler).id if given.bowler is not None else None
        sheet, owners = upkeep.upkeep(shop, bowler_id), _owners(shop)
        rows = [printed.job_row(job, sheet, owners) for job in sheet.jobs]
        show(given, rows, lambda: printed.upkeep_text(sheet, owners, every=given.all))
    return 0


def run_log(given: argparse.Namespace) -> int:
    """Keep lines, all or none, and say what they mean."""
    from arsenal.acts import logging  # noqa: PLC0415

    with opened(given, read_only=given.dry_run) as shop:
        meant = [(line, logging.read_line(shop, line)) for line in given.lines]
        unclear = [f"{line}: {said.problem}" for line, said in meant if said.problem]
        if unclear:
            raise KnownError(" ".join(unclear))
        drafts = [draft for _, said in meant for draft in said.drafts]
        said = [_said(m.parts, m.after, m.cautions) for _, m in meant]
        kept = None
        if not given.dry_run:
            kept = logging.keep(shop, drafts, INITIATOR, confirmed=given.yes)
        names = {ball.id: ball.name for ball in shop.balls()}
        rows = [
            {"ball": names[d.ball_id], "kind": str(d.kind), "on": d.on.isoformat(), "line": d.typed, "kept": bool(kept)}
            for d in drafts
        ]
        last = "Nothing was kept: this was a dry run." if kept is None else f"Kept. {kept.sentence}."
        show(given, rows, lambda: "\n".join([*said, last]))
    return 0


def run_find(given: argparse.Namespace) -> int:
    """What fits, best first; also while the window has the file open."""
    from arsenal import printed_find  # noqa: PLC0415
    from arsenal.acts import reading  # noqa: PLC0415

    text = " ".join(given.text)
    with opened(given, read_only=True) as shop:
        hits = reading.find_any(shop, text, max(1, given.most))
        rows = [printed_find.hit_row(hit) for hit in hits]
        show(given, rows, lambda: printed_find.hits_text(hits, text))
    return 0


def run_list(given: argparse.Namespace) -> int:
    """List bowlers, balls or lane conditions."""
    from arsenal import printed  # noqa: PLC0415
    from arsenal.acts import reading  # noqa: PLC0415

    with opened(given, read_only=True) as shop:
        lanes, owners = shop.lanes(), _owners(shop)
        if given.what == "bowlers":
            rows = [
                printed.bowler_row(p, len(shop.balls(p.id)), lanes[p.usual_lane_id].name if p.usual_lane_id else None)
                for p in reading.bowlers(shop)
            ]
        elif given.what == "balls":
            rows = [printed.ball_row(ball, owners.get(ball.owner_id)) for ball in reading.balls(shop)]
        elif given.what == "lanes":
            rows = [printed.lane_row(lane) for lane in reading.lanes(shop)]
        elif given.what == "events":
            rows = _event_rows(shop)
        else:
            rows = _stock_rows(shop, given.what, owners)
        show(given, rows, lambda: printed.list_text(rows, f"There are no {given.what} in this file yet."))
    return 0


def _event_rows(shop: Shop) -> list[dict[str, Any]]:
    from arsenal import printed_event  # noqa: PLC0415
    from arsenal.acts import events  # noqa: PLC0415

    return [printed_event.list_row(event) for event in events.events(shop)]


def _stock_rows(shop: Shop, what: str, owners: dict[int, str]) -> list[dict[str, Any]]:
    from arsenal import printed_pads  # noqa: PLC0415
    from arsenal.acts import pads  # noqa: PLC0415

    if what == "pads":
        return [printed_pads.stock_row(stocked, owners) for stocked in pads.stock(shop)]
    return [printed_pads.recipe_row(recipe, owners) for recipe in shop.recipes()]


def _some_lane(shop: Shop, person: Person) -> int | None:
    return person.usual_lane_id or next(iter(shop.lanes()), None)


def _owners(shop: Shop) -> dict[int, str]:
    return {person.id: person.name for person in shop.people()}


def _said(parts: Sequence[tuple[str, bool]], after: str, cautions: Sequence[str]) -> str:
    sentence = "".join(text for text, _ in parts).strip().rstrip(".") + "."
    return "\n".join([f"{sentence} {after}".rstrip() + ("." if after else ""), *(f"  Mind: {c}" for c in cautions)])

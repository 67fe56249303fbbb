"""What the command line prints: rows for JSON and tables of text, in the trade's units, in 100 columns or fewer."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from arsenal.acts import own_side, words
from arsenal.acts.views import LaneSide, LoadReport, UpkeepSheet
from arsenal.motion import at_arrows
from arsenal.order.records import OrderRow
from arsenal.plan.records import Due, Job
from arsenal.trade import days
from arsenal.trade.ball import Ball
from arsenal.trade.lane import FilmGrid, FilmSummary, Lane
from arsenal.trade.pads import label
from arsenal.trade.person import Person
from arsenal.trade.release import Line
from arsenal.trade.units import BOARD_M, FOOT_M, GRAM_KG, MILLILITRE_M3, MPH_MPS, POUND_KG, RPM_RADPS

Row = dict[str, Any]


def number(value: float | None, digits: int = 4) -> float | None:
    """A number for JSON; None where there is none."""
    return None if value is None or not math.isfinite(value) else round(value, digits)


def feet(value_m: float | None) -> float | None:
    """Feet for JSON."""
    return None if value_m is None else number(value_m / FOOT_M)


def order_row(row: OrderRow, side: LaneSide) -> Row:
    """One ball of the order for JSON."""
    trace, state = row.trace, row.state
    names = {r.ball.id: r.ball.name for r in side.order.rows}
    read_lateral_m = trace.breakpoint_lateral_m
    return {
        "ball": row.ball.name,
        "place": row.place,
        "boards": number(row.boards),
        "boards_low": number(row.boards_low),
        "boards_high": number(row.boards_high),
        "strength": number(row.strength),
        "first_read_ft": feet(row.first_read_m),
        "breakpoint_ft": feet(trace.breakpoint_m),
        "breakpoint_board": None if read_lateral_m is None else number(own_side.board(side.bowler, read_lateral_m)),
        "rolls_ft": feet(trace.rolls_m),
        "shape": row.shape_word or None,
        "shape_ft": feet(trace.shape_m),
        "hook_boards": number(trace.hook_m / BOARD_M),
        "room": number(row.room),
        "finish_grit": number(state.grit, 1),
        "finish_grit_low": number(state.grit_low, 1),
        "finish_grit_high": number(state.grit_high, 1),
        "ra_um": number(math.exp(state.ln_ra_m.mean) * 1e6),
        "oil_g": number(state.oil_kg.mean / GRAM_KG),
        "games_since_surface": number(state.games_on_finish.mean),
        "tied_with": [names[i] for i in row.tied_with if i in names],
        "flags": list(row.flags),
        "findings": [finding.sentence for finding in row.findings],
    }


def job_row(job: Job, sheet: UpkeepSheet, owners: dict[int, str]) -> Row:
    """One job for JSON."""
    ball = sheet.balls[job.ball_id]
    lost, left = job.boards_lost, job.games_left
    return {
        "bowler": owners.get(ball.owner_id),
        "ball": ball.name,
        "work": job.work.value,
        "due": job.due.value,
        "how": job.how,
        "why": job.why,
        "detail": job.detail,
        "by_state": job.by_state,
        "share": number(job.share),
        "share_low": number(job.share_low),
        "share_high": number(job.share_high),
        "games_left": number(left.mean) if left else None,
        "games_left_sd": number(left.sd) if left else None,
        "by": job.by.isoformat() if job.by else None,
        "minutes": number(job.minutes),
        "boards_lost": number(lost.mean) if lost else None,
        "boards_lost_sd": number(lost.sd) if lost else None,
        "first_read_lost_ft": feet(job.first_read_lost_m),
    }


def bowler_row(person: Person, balls: int, lane: str | None) -> Row:
    """One bowler for JSON."""
    style = person.style
    return {
        "name": person.name,
        "nickname": person.nickname,
        "hand": person.hand.value,
        "two_handed": person.two_handed,
        "speed_mph": number(style.speed_mps / MPH_MPS) if style else None,
        "revs_rpm": number(style.rev_rate_radps / RPM_RADPS) if style else None,
        "games_a_week": number(person.games_a_week),
        "balls": balls,
        "usual_lane": lane,
    }


def ball_row(ball: Ball, owner: str | None) -> Row:
    """One ball for JSON."""
    return {
        "name": ball.name,
        "nickname": ball.nickname,
        "owner": owner,
        "cover": ball.cover.value,
        "weight_lb": number(ball.mass_kg / POUND_KG),
        "rg_in": number(ball.rg_m / 0.0254),
        "differential_in": number(ball.differential_m / 0.0254),
        "serial": ball.serial,
        "spare": ball.spare,
    }


def lane_row(lane: Lane) -> Row:
    """One lane condition for JSON."""
    film = lane.film
    row: Row = {"name": lane.name, "house": lane.house, "surface": lane.surface.value, "film": "unknown house"}
    row |= {"length_ft": None, "volume_ml": None, "ratio": None}
    if isinstance(film, FilmSummary):
        row |= {
            "film": "summary",
            "length_ft": feet(film.length_m),
            "volume_ml": number(film.volume_m3 / MILLILITRE_M3),
            "ratio": number(film.ratio),
        }
    elif isinstance(film, FilmGrid):
        row["film"] = "measured"
    return row


def report_row(report: LoadReport) -> Row:
    """A load for JSON."""
    counts = {name: getattr(report, name) for name in ("people", "balls", "lanes", "pads", "recipes", "entries")}
    bad = [{"file": b.file, "row": b.row, "field": b.field, "reason": b.reason} for b in report.bad_rows]
    asked = [{"file": q.file, "row": q.row, "about": q.kind, "question": q.sentence} for q in report.questions]
    return {"kept": report.kept, **counts, "bad_rows": bad, "questions": asked, "backup": report.backup or None}


def order_text(side: LaneSide) -> str:
    """The order as a table with its remarks."""
    rows: list[tuple[str, ...]] = [("", "Ball", "On it now", "Reads", "Shape", "Rolls", "Boards", "")]
    rows += [_order_cells(row) for row in side.order.rows]
    rows += [("", row.ball.name, _finish(row), "", "", "", "", "spare") for row in side.order.spares]
    lines = [*wrapped(throw_words(side)), f"Rule: {side.rule.sentence}.", "", *table(rows, right=(0, 5, 6))]
    if any(row.tied_with for row in side.order.rows):
        lines += ["", "= which of these is stronger is under 90 % sure"]
    for remark in side.order.remarks:
        lines += ["", *wrapped(f"{remark.title}. {remark.detail}".strip())]
    return "\n".join(lines)


def throw_words(side: LaneSide) -> str:
    """“Mirel Oster throws 16.4 mph, 325 rpm on 41 ft house, 25 mL from 22, over 15.” Later in a set: “… 25 mL, after 3
    games by …, from 22 …”.
    """
    style = side.bowler.style
    speed = f" throws {style.speed_mps / MPH_MPS:.1f} mph, {style.rev_rate_radps / RPM_RADPS:.0f} rpm" if style else ""
    own = "own line" if side.order.line_is_own else "best line of the reference ball"
    later = f", {side.traffic_words}," if side.traffic_words else ""
    return (
        f"{side.bowler.name} ({side.bowler.hand.value}-handed){speed} on {side.lane.name}{later} "
        f"from {line_words(side.bowler, side.order.line)} ({own})."
    )


def line_words(person: Person, line: Line) -> str:
    """“22, over 15”: laydown, and board at the arrows, from the own gutter."""
    arrows = own_side.board(person, at_arrows(line)[1])
    return f"{own_side.board(person, line.lateral_m):.0f}, over {arrows:.0f}"


def upkeep_text(sheet: UpkeepSheet, owners: dict[int, str], *, every: bool = False) -> str:
    """What is due now and this week; later jobs counted, or listed with `every`."""
    who = sheet.bowler.name if sheet.bowler else "everybody"
    head = f"Upkeep for {who} until {days.weekday_and_day(sheet.until)}, at {sheet.games_a_week:.3g} games a week"
    lines = [head]
    later = [job for job in sheet.jobs if job.by and not _now(job) and not _this_week(job, sheet)]
    groups = [
        ("Now", [job for job in sheet.jobs if _now(job)]),
        ("This week", [job for job in sheet.jobs if not _now(job) and _this_week(job, sheet)]),
        ("Later", later if every else []),
    ]
    for title, jobs in groups:
        if jobs:
            total = sum(job.minutes for job in jobs)
            count = words.count(len(jobs), "job")
            lines += ["", f"{title}: {count}, {total:.0f} min", *table([_job_cells(j, sheet, owners) for j in jobs])]
    if not any(jobs for _, jobs in groups):
        lines += ["", "Nothing is due."]
    if later and not every:
        lines += ["", f"{words.count(len(later), 'job')} later; --all lists them."]
    if sheet.to_buy:
        lines += ["", f"Pads to buy: {', '.join(sheet.to_buy)}"]
    return "\n".join(lines)


def list_text(rows: Sequence[Row], empty: str) -> str:
    """Records as a table: a column for each field that any of them has."""
    if not rows:
        return empty
    names = [n for n in rows[0] if any(r[n] not in (None, "", False) for r in rows)]
    right = tuple(
        i for i, n in enumerate(names) if isinstance(next(r[n] for r in rows if r[n] is not None), float | int)
    )
    cells = [tuple(_cell(row[name]) for name in names) for row in rows]
    return "\n".join(table([tuple(n.replace("_", " ") for n in names), *cells], right=right))


def table(rows: Sequence[Sequence[str]], right: Sequence[int] = ()) -> list[str]:
    """Columns two spaces apart, those in `right` flush right; nothing at the ends of lines."""
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return [
        "  ".join(
            cell.rjust(width) if i in right else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]


def wrapped(text: str, width: int = 96) -> list[str]:
    """Text in lines, the later ones set in."""
    import textwrap  # noqa: PLC0415

    return textwrap.wrap(text, width, subsequent_indent="  ")


def _order_cells(row: OrderRow) -> tuple[str, ...]:
    tied = "=" if row.tied_with else " "
    flag = "benchmark" if row.benchmark else row.flags[0] if row.flags else ""
    read = "" if row.first_read_m is None else f" {row.first_read_m / FOOT_M:.0f} ft"
    return (
        f"{tied}{row.place}",
        row.ball.name,
        _finish(row),
        row.read_word + read,
        row.shape_word,
        "" if row.trace.rolls_m is None else f"{row.trace.rolls_m / FOOT_M:.0f} ft",
        words.signed(row.boards) + ("" if row.benchmark else f" {words.doubt(row.boards_sd)}"),
        flag,
    )


def _finish(row: OrderRow) -> str:
    games = round(row.state.games_on_finish.mean)
    return f"{label(row.state.finish)}, ~{words.two_figures(row.state.grit):.0f}, {words.count(games, 'game')}"


def _job_cells(job: Job, sheet: UpkeepSheet, owners: dict[int, str]) -> tuple[str, ...]:
    ball = sheet.balls[job.ball_id]
    whose = f" ({owners[ball.owner_id]})" if sheet.bowler is None and ball.owner_id in owners else ""
    by = days.weekday_near(job.by, sheet.today) if job.by else ""
    return (f"  {ball.name}{whose}", f"{job.work.value} {job.how}".strip(), job.why, by)


def _now(job: Job) -> bool:
    return job.due in (Due.DUE, Due.OVER)


def _this_week(job: Job, sheet: UpkeepSheet) -> bool:
    return job.due is Due.SOON or (job.by is not None and job.by <= sheet.until)


def _cell(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else ""
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)

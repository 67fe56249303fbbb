"""A practice printed: what shots taught of each ball, the test most worth making, the plan; rows for JSON."""

from __future__ import annotations

from collections.abc import Sequence

from arsenal.acts.practice_views import NextShots, NextView, PlanLine, PlanView, PracticeSession, ShotRow, TaughtRow
from arsenal.order import words
from arsenal.printed import Row, number, table, wrapped
from arsenal.trade.pads import label


def practice_row(session: PracticeSession, shots: NextShots, plan: PlanView) -> Row:
    """Everything for JSON; a number that does not exist is null."""
    return {
        "bowler": session.bowler.name,
        "lane": session.lane.name,
        "line": session.line_words,
        "trials": session.trials,
        "lane_says": session.outing_words or None,
        "balls": [_ball(row) for row in session.balls],
        "shots": [_shot(row) for row in session.shots],
        "next": _next(shots.best, called(session)) if shots.best else None,
        "others": [_next(one, called(session)) for one in shots.shots[1:]],
        "question": shots.question.words,
        "next_says": shots.sentence or None,
        "plan": [_line(line) for line in plan.lines],
        "plan_minutes": number(plan.minutes),
        "plan_says": plan.sentence or None,
        "plan_changed": list(plan.changed),
        "findings": [finding.sentence for finding in session.findings],
    }


def called(session: PracticeSession) -> dict[int, str]:
    """Names of the balls in the bag."""
    return {row.ball_id: row.name for row in session.balls}


def _ball(row: TaughtRow) -> Row:
    return {
        "ball": row.name,
        "shots": row.shots,
        "boards": number(row.now),
        "boards_sd": number(row.now_sd),
        "boards_sd_before": number(row.before_sd),
        "sentence": row.sentence,
        "benchmark": row.benchmark,
        "warning": row.warning or None,
        "finishes": [
            {
                "first_read_ft": number(one.now_ft),
                "first_read_sd_ft": number(one.now_sd_ft),
                "first_read_before_ft": number(one.before_ft),
                "first_read_sd_before_ft": number(one.before_sd_ft),
                "shots": one.shots,
                "sentence": one.sentence,
            }
            for one in row.response
        ],
    }


def _shot(row: ShotRow) -> Row:
    return {
        "shot": row.number or None,
        "ball": row.name,
        "other": row.other or None,
        "expected_board": number(row.expected_board),
        "expected_low": number(row.expected_low),
        "expected_high": number(row.expected_high),
        "seen": row.seen,
        "seen_board": number(row.seen_board),
        "outside": row.outside,
        "odd": row.odd,
        "kept_out": row.kept_out or None,
    }


def _next(one: NextView, names: dict[int, str]) -> Row:
    return {
        "title": one.title,
        "sentence": one.sentence,
        "why": list(one.why),
        "balls": [names[i] for i in one.ball_ids],
        "wiped": one.wiped,
        "recipe": label(one.recipe.steps) if one.recipe else None,
        "minutes": number(one.minutes),
        "doubt": number(one.before),
        "doubt_after": number(one.after),
    }


def _line(line: PlanLine) -> Row:
    return {
        "shots": line.shots,
        "balls": line.names,
        "finish": line.finish,
        "why": line.why,
        "minutes": number(line.minutes),
        "recipe": label(line.recipe.steps) if line.recipe else None,
        "wiped": line.wiped,
        "done_shots": line.done_shots,
        "done": line.done,
    }


def practice_text(session: PracticeSession, shots: NextShots, plan: PlanView) -> str:
    """What was taught, what to throw next, the plan; in 100 columns or fewer."""
    lines = wrapped(f"{session.bowler.name} on {session.lane.name} from {session.line_words}.")
    if session.outing_words:
        lines += wrapped(session.outing_words)
    lines += ["", *_taught(session.balls)]
    for row in session.balls:
        told = [one.sentence for one in row.response[-1:]] + ([row.warning] if row.warning else [])
        lines += [line for text in told for line in wrapped(text)]
    lines += ["", *_next_lines(shots), "", plan.title]
    lines += table([_plan_cells(line) for line in plan.lines], right=(1,)) if plan.lines else []
    lines += [line for text in (plan.sentence, *plan.changed) if text for line in wrapped(text)]
    for finding in session.findings:
        lines += ["", *wrapped(finding.sentence)]
    return "\n".join(lines)


def _taught(rows: Sequence[TaughtRow]) -> list[str]:
    if not rows:
        return ["There is no strike ball in the bag."]
    head = ("ball", "shots", "boards off its sheet", "before", "")
    return table([head, *(_taught_cells(row) for row in rows)], right=(1,))


def _taught_cells(row: TaughtRow) -> tuple[str, ...]:
    now = ""
    if row.now is not None and row.now_sd is not None:
        now = f"{words.signed(row.now, row.now_sd)} ± {words.doubt(row.now_sd)}"
    return row.name, str(row.shots or "–"), now, f"± {words.doubt(row.before_sd)}", row.sentence


def _next_lines(shots: NextShots) -> list[str]:
    if shots.best is None:
        return wrapped(shots.sentence)
    said = [f"Next: {shots.best.title}", *wrapped(shots.best.sentence)]
    return [*said, *(line for text in shots.best.why for line in wrapped(text))]


def _plan_cells(line: PlanLine) -> tuple[str, ...]:
    tick = "[x]" if line.done else "[ ]"
    return tick, str(line.shots), line.names, line.finish, line.why

"""An event printed: the bag stage by stage, the prep sheet; rows for JSON."""

from __future__ import annotations

from arsenal.acts.event_views import BallLine, EventName, EventPlan, Mark, PrepLine, RoomCell
from arsenal.printed import Row, number, table, wrapped

SIGN = {Mark.OPEN: "[ ]", Mark.DONE: "[x]", Mark.SOON: "[ ]", Mark.BAN: " ! "}


def event_row(plan: EventPlan) -> Row:
    """Everything for JSON; what does not exist is null."""
    return {
        "event": plan.event.name, "first_on": plan.event.first_on.isoformat(), "bowler": plan.bowler,
        "lane": plan.lanes, "rule": plan.rule.sentence,
        "stages": [
            {
                "stage": s.key, "title": s.title, "from_shot": s.from_shot, "to_shot": s.to_shot,
                "line": s.line or None, "variant": s.variant, "likely": not s.likely, "told": s.hover,
            }
            for s in plan.stages
        ],
        "bag": [_ball(row) for row in plan.rows],
        "covered": [
            {"stage": c.stage, "ball": c.name if c.ball_id is not None else None, "reach": c.reach.value}
            for c in plan.covered
        ],
        "one_more": [{"kind": m.kind, "what": m.what, "effect": m.effect, "cost": m.cost} for m in plan.more],
        "prep": [
            {**_line(line), "part": part.title} for part in plan.prep.parts for line in part.lines
        ],
        "prep_minutes": number(plan.prep.minutes), "pad_changes": plan.prep.pad_changes,
        "facts": dict(plan.prep.facts), "cautions": list(plan.prep.cautions),
        "registration": [
            {
                "ball": r.name, "serial": r.serial or None, "weight": r.weight, "cover": r.cover,
                "hardness": r.hardness or None, "read": r.hardness_when or None, "missing": r.missing or None,
                "advice": list(r.advice),
            }
            for r in plan.registration.rows
        ],
        "says": list(plan.sentences), "notes": list(plan.notes),
    }  # fmt: skip


def _ball(row: BallLine) -> Row:
    return {
        "ball": row.name, "taken": row.taken, "pinned": row.settled, "finish": row.finish, "note": row.note,
        "spare": row.spare, "given_up": row.given_up or None, "stages": {c.stage: _cell(c) for c in row.cells},
    }  # fmt: skip


def _cell(cell: RoomCell) -> Row:
    return {
        "words": cell.words, "room": number(cell.room), "room_sd": number(cell.room_sd),
        "in_boards": number(cell.in_boards), "out_boards": number(cell.out_boards), "line": cell.line or None,
        "best": cell.best,
    }  # fmt: skip


def _line(line: PrepLine) -> Row:
    return {
        "key": line.key, "at": line.when.isoformat() if line.when else None, "ball": line.who or None,
        "what": line.what, "minutes": line.minutes or None, "done": line.mark is Mark.DONE, "writes_log": line.logs,
    }  # fmt: skip


def list_row(event: EventName) -> Row:
    """One event of the list."""
    return {
        "name": event.name, "first on": event.first_on.isoformat(), "past": event.past,
        "bowlers": ", ".join(event.entered_names) or None,
    }  # fmt: skip


def event_text(plan: EventPlan) -> str:
    """The bag and the prep sheet as text."""
    lines = [f"{plan.title}: {plan.bowler} on {plan.lanes}, {plan.balls}.", f"{plan.rule.sentence}.", ""]
    lines += _bag_lines(plan)
    lines += ["", *_covered_lines(plan), ""]
    for more in plan.more:
        lines += wrapped(f"{more.kind}: {more.what}: {more.effect} ({more.cost}).")
    for said in (*plan.sentences, *plan.notes):
        lines += wrapped(said)
    lines += ["", f"Prep sheet, {plan.prep.done}, about {plan.prep.minutes:.0f} min:"]
    for part in plan.prep.parts:
        lines += ["", part.title, *(_prep_line(line) for line in part.lines)]
    lines.append("")
    for what, said in plan.prep.facts:
        lines += wrapped(f"{what}: {said}.")
    for said in plan.prep.cautions:
        lines += wrapped(said)
    return "\n".join(lines)


def _bag_lines(plan: EventPlan) -> list[str]:
    head = ["", "ball", "finish", *(s.title.lower() for s in plan.stages)]
    shots = ["", "", "", *(s.shots for s in plan.stages)]
    cells = [
        ["*" if row.taken else "", row.name, row.finish, *(_words(c) for c in row.cells)]
        + [""] * (len(plan.stages) - len(row.cells))
        for row in plan.rows
    ]
    return ["Room on its own best line (* taken, ! best there):", *table([head, shots, *cells])]


def _words(cell: RoomCell) -> str:
    return f"{cell.words}!" if cell.best else cell.words


def _covered_lines(plan: EventPlan) -> list[str]:
    titles = {s.key: s.title for s in plan.stages}
    return [
        f"{titles[c.stage]}: {c.name}, {c.more}" + (f" ({s.likely})" if s.likely else "")
        for c, s in zip(plan.covered, plan.stages, strict=True)
    ]


def _prep_line(line: PrepLine) -> str:
    said = " ".join(part for part in (line.at, line.who and f"{line.who}:", line.what) if part)
    return f"  {SIGN[line.mark]} {said}" + (f", {line.minutes}" if line.minutes else "")

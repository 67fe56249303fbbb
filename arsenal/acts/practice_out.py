"""Practice out of the program: shots as seen and expected, and what they taught, as CSV tables or one JSON file."""

from __future__ import annotations

import contextlib
import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from arsenal.acts import own_side, practice_held, practice_taught, taught
from arsenal.acts.practice_views import TaughtRow
from arsenal.acts.shop import Shop
from arsenal.exchange import sight_words, trials_out
from arsenal.exchange.trials_out import BallOut, BowlerOut, FindingOut, FinishOut, LaneOut, PracticeOut, ShotOut
from arsenal.practice import from_log, model
from arsenal.practice import taught as teachings
from arsenal.practice.cases import Case
from arsenal.practice.finishes import finishes_taught
from arsenal.practice.forecast import Forecast, forecasts
from arsenal.practice.posterior import Posterior
from arsenal.trade.entries import Compared, Entry, Shot, effective
from arsenal.trade.errors import KnownError
from arsenal.trade.factors import BallFactors
from arsenal.trade.pads import label
from arsenal.trade.person import Person
from arsenal.trade.trial import MARKS, Mark
from arsenal.trade.units import BOARD_M, DEGREE_RAD, FOOT_M, MPH_MPS, RPM_RADPS

KINDS = ("csv", "json")
MARK_OUT = {
    Mark.LANDING: "pins_board", Mark.FIRST_READ: "first_read_ft", Mark.BREAKPOINT: "breakpoint_ft",
    Mark.BREAKPOINT_BOARD: "breakpoint_board", Mark.ARROWS: "arrows_board",
}  # fmt: skip
ALONG = (Mark.FIRST_READ, Mark.BREAKPOINT)


def write(shop: Shop, bowler_id: int | None, path: Path, kind: str = "csv") -> tuple[Path, ...]:
    """Write one bowler's practice (None: everybody's): tables into the folder `path`, or one JSON file there. The files
    written. Raises KnownError where there is nothing to write or a file cannot be written, NotFound.
    """
    if kind not in KINDS:
        raise KnownError(f"Practice is not written as {kind}.", next_step=f"Choose {' or '.join(KINDS)}.")
    told = collected(shop, bowler_id)
    if not told.shots:
        raise KnownError("There is no practice shot to write yet.", next_step="Log what one shot did.")
    folder = path if kind == "csv" else path.absolute().parent
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise KnownError(f"The folder {folder} cannot be made: {error.strerror or error}.") from error
    return trials_out.write_csv(path, told) if kind == "csv" else trials_out.write_json(path, told)


def collected(shop: Shop, bowler_id: int | None = None) -> PracticeOut:
    """Everything that would be written."""
    people = shop.people() if bowler_id is None else (shop.person(bowler_id),)
    told = PracticeOut(shop.now().isoformat())
    for person in people:
        own = _of(shop, person)
        told = replace(
            told, shots=told.shots + own.shots, balls=told.balls + own.balls, finishes=told.finishes + own.finishes,
            lanes=told.lanes + own.lanes, bowlers=told.bowlers + own.bowlers, findings=told.findings + own.findings,
        )  # fmt: skip
    return told


def _of(shop: Shop, person: Person) -> PracticeOut:
    entries = _entries(shop, person)
    if not entries:
        return PracticeOut("")
    found = taught.posterior_of(shop, person.id)
    said = taught.findings_of(shop, person.id)
    findings = tuple(FindingOut(person.name, f.code, f.sentence, f.seq) for f in said)
    out = {f.seq: f.sentence for f in said if f.seq is not None and f.code.startswith("trial.")}
    out = {seq: text for seq, text in out.items() if all(f.code != "trial.time" for f in said if f.seq == seq)}
    shots = _shots(shop, person, entries, found, out)
    if found is None:
        return PracticeOut("", shots, findings=findings)
    return PracticeOut(
        "", shots, _balls(shop, person, found), _finishes(person, found), _lanes(shop, person, found),
        _bowlers(shop, found), findings,
    )  # fmt: skip


def _entries(shop: Shop, person: Person) -> list[Entry]:
    own = [ball for ball in shop.balls(person.id) if ball.id in shop.practised()]
    shop.read_ahead(own)
    found = [e for b in own for e in effective(shop.entries(b.id)) if isinstance(e.payload, Shot | Compared)]
    return sorted(found, key=lambda e: (e.on, e.seq))


# ---- shots


def _shots(
    shop: Shop, person: Person, entries: Sequence[Entry], found: Posterior | None, out: Mapping[int, str]
) -> tuple[ShotOut, ...]:
    place = {case.trial.seq: i for i, case in enumerate(found.cases)} if found else {}
    expected = forecasts(found, range(len(found.cases))) if found else {}
    made = []
    for entry in entries:
        at = place.get(entry.seq)
        case = found.cases[at] if found is not None and at is not None else None
        row = _plain_shot(shop, person, entry, case)
        if found is not None and at is not None:
            row = replace(row, odd=float(found.odd[at]), **_expected(shop, person, entry, expected[at]))
        made.append(replace(row, kept_out=out.get(entry.seq, "") if at is None else ""))
    return tuple(made)


def _thrower(shop: Shop, person: Person, entry: Entry) -> Person:
    told = entry.payload.bowler_id if isinstance(entry.payload, Shot) else None
    return next((p for p in shop.people() if p.id == told), person)


def _plain_shot(shop: Shop, person: Person, entry: Entry, case: Case | None) -> ShotOut:
    payload, thrower = entry.payload, _thrower(shop, person, entry)
    assert isinstance(payload, Shot | Compared)  # noqa: S101 -- asked only of these
    names = {ball.id: ball.name for ball in shop.balls()}
    lane_id = payload.lane_id if payload.lane_id is not None else thrower.usual_lane_id
    lane = shop.lanes().get(lane_id) if lane_id is not None else None
    named = payload.outing if isinstance(payload, Shot) else ""
    key = from_log.outing(entry.on, lane_id, thrower.id, named) if lane_id is not None else ""
    row = ShotOut(
        entry.seq, entry.on, "", thrower.name, names[entry.ball_id], "", lane.name if lane else "", key,
        label(case.thrown[0].state.finish) if case else "", None, "", "", typed=entry.typed,
    )  # fmt: skip
    if isinstance(payload, Compared):
        return replace(
            row, other_ball=names.get(payload.other_ball_id, ""), stronger_boards=payload.boards,
            stronger_boards_sd=payload.sd_boards, seen=_pair_words(payload.boards),
        )  # fmt: skip
    return _with_seen(row, payload, thrower)


def _pair_words(boards: float) -> str:
    if boards == 0.0:
        return "level"
    return f"{abs(boards):g} {'board' if abs(boards) == 1.0 else 'boards'} {'stronger' if boards > 0.0 else 'weaker'}"


def _with_seen(row: ShotOut, shot: Shot, thrower: Person) -> ShotOut:
    sight = shot.seen
    numbers: dict[str, Any] = {
        MARK_OUT[mark]: value / FOOT_M if mark in ALONG else own_side.board(thrower, value)
        for mark, value in sight.numbers.items()
    }
    said = sight_words.seen(sight, back_up=thrower.back_up, hooks_to_left=thrower.hooks_to_left)
    read = shot.measured
    measured: dict[str, Any] = {} if read is None else {
        "speed_mph": _in(read.speed_mps, MPH_MPS), "revs_rpm": _in(read.rev_rate_radps, RPM_RADPS),
        "rotation_deg": _in(read.axis_rotation_rad, DEGREE_RAD), "tilt_deg": _in(read.axis_tilt_rad, DEGREE_RAD),
        "launch_deg": _in(read.launch_rad, DEGREE_RAD), "entry_deg": _in(read.entry_rad, DEGREE_RAD),
    }  # fmt: skip
    return replace(
        row, time="" if shot.minute is None else sight_words.clock(shot.minute), wiped=shot.wiped, seen=said,
        words=", ".join(word.value for word in sight.words), off_target_boards=_in(sight.off_target_m, BOARD_M),
        pins_left=sight.pins_left, by_sensor=sight.by_sensor, **numbers, **measured,
    )  # fmt: skip


def _in(value_si: float | None, unit_si: float) -> float | None:
    return None if value_si is None else value_si / unit_si


def _expected(shop: Shop, person: Person, entry: Entry, forecast: Forecast) -> dict[str, Any]:
    """What was expected before the shot, in own boards and feet; a pair's is how much higher its first ball ends."""
    if isinstance(entry.payload, Compared):
        first = MARKS.index(Mark.LANDING)
        return {
            "stronger_boards_expected": _number(forecast.mean[first] / BOARD_M),
            "stronger_boards_expected_sd": _number(forecast.sd[first] / BOARD_M),
        }
    thrower, told = _thrower(shop, person, entry), dict[str, Any]()
    for at, mark in enumerate(MARKS):
        if mark not in MARK_OUT:
            continue
        mean, sd, unit = float(forecast.mean[at]), float(forecast.sd[at]), FOOT_M if mark in ALONG else BOARD_M
        told[f"{MARK_OUT[mark]}_expected"] = _number(mean / FOOT_M if mark in ALONG else own_side.board(thrower, mean))
        told[f"{MARK_OUT[mark]}_expected_sd"] = _number(sd / unit)
    return told


def _number(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


# ---- what they taught


def _balls(shop: Shop, person: Person, found: Posterior) -> tuple[BallOut, ...]:
    rows = _rows(shop, person)
    return tuple(
        _ball(shop, person, found, factors, rows.get(ball_id))
        for ball_id, factors in sorted(taught.taught_of(shop, person.id).items())
    )


def _rows(shop: Shop, person: Person) -> Mapping[int, TaughtRow]:
    """Boards and a sentence for each ball on the usual condition, where throw and condition are known."""
    with contextlib.suppress(KnownError):
        held = practice_held.held(shop, person.id)
        return {row.ball_id: row for row in practice_taught.rows(shop, held, None)}
    return {}


def _ball(shop: Shop, person: Person, found: Posterior, factors: BallFactors, row: TaughtRow | None) -> BallOut:
    sds = [math.sqrt(max(factors.cov[5 * i], 0.0)) for i in range(4)]
    mu, response, oil, ln_ra = factors.mean
    pace = found.where.ball(factors.ball_id).start + model.PACE
    ball = shop.ball(factors.ball_id)
    made = BallOut(
        person.name, ball.name, factors.trials, label(shop.state(ball.id).finish), mu, sds[0], 1.0 + response, sds[1],
        oil, sds[2], ln_ra, sds[3], float(found.mean[pace]), float(found.sd()[pace]),
    )  # fmt: skip
    if row is None:
        return made
    return replace(
        made, boards=row.now, boards_sd=row.now_sd, boards_sd_before=row.before_sd, sentence=row.sentence,
        warning=row.warning,
    )  # fmt: skip


def _finishes(person: Person, found: Posterior) -> tuple[FinishOut, ...]:
    return tuple(
        FinishOut(
            person.name, one.after.ball.name, one.first_read_m.mean / FOOT_M, one.first_read_m.sd / FOOT_M,
            one.landing_m.mean / BOARD_M, one.landing_m.sd / BOARD_M, one.shots, one.sentence,
        )
        for one in finishes_taught(found)
    )  # fmt: skip


def _lanes(shop: Shop, person: Person, found: Posterior) -> tuple[LaneOut, ...]:
    made, lanes = [], shop.lanes()
    for key in found.where.outings:
        seen = teachings.lane_of(found, key)
        first = next(case.trial for case in found.cases if case.thrown[0].outing == key)
        if seen is None:
            continue
        name = lanes[first.lane_id].name if first.lane_id in lanes else ""
        row = LaneOut(
            person.name, first.on, name, key, seen.shots, seen.mean[0], seen.sd(0), seen.mean[1], seen.sd(1)
        )  # fmt: skip
        if len(seen.mean) > model.LENGTH:
            length = seen.mean[model.LENGTH] / FOOT_M
            row = replace(row, length_ft=length, length_ft_sd=seen.sd(model.LENGTH) / FOOT_M)
        made.append(row)
    return tuple(sorted(made, key=_by_day))


def _by_day(lane: LaneOut) -> tuple[date, str]:
    return lane.date, lane.outing


def _bowlers(shop: Shop, found: Posterior) -> tuple[BowlerOut, ...]:
    names = {person.id: person.name for person in shop.people()}
    shots = [case.trial.bowler_id for case in found.cases]
    return tuple(
        BowlerOut(names.get(bowler_id, ""), shots.count(bowler_id), ln.mean, ln.sd)
        for bowler_id, ln in sorted(found.scatter.items())
    )

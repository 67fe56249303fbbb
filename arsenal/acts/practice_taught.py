"""What each ball's shots have taught: boards off its sheet before and now, its answer to finish; the lane's part."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from arsenal.acts.practice_held import Held
from arsenal.acts.practice_views import ResponseRow, TaughtRow
from arsenal.acts.shop import Shop
from arsenal.motion.records import Floats
from arsenal.order import words
from arsenal.practice import straight, taught
from arsenal.practice.finishes import finishes_taught
from arsenal.practice.model import BALL_SIZE
from arsenal.practice.next_shot import Lines
from arsenal.practice.posterior import Posterior
from arsenal.practice.taught import FIRST_READ, LANDING
from arsenal.trade import days
from arsenal.trade.findings import Finding
from arsenal.trade.lane import UnknownHouse
from arsenal.trade.units import BOARD_M, FOOT_M

SURE = 1.2815515655446004
"""Standard normal 90th percentile: under it nobody can say which way."""
LIKELY = 0.6744897501960817
"""Standard normal 75th percentile: three to one for that way."""
WORTH_SAYING = 0.5
EVENING = 17


def rows(shop: Shop, held: Held, in_hand: int | None) -> tuple[TaughtRow, ...]:
    """A row for each ball in the bag."""
    if not held.owned:
        return ()
    made: Mapping[int, TaughtRow] = shop.remembered(
        ("taught rows", shop.revision, *held.key), lambda: _made(shop, held)
    )
    return tuple(replace(row, in_hand=row.ball_id == in_hand) for row in made.values())


def _made(shop: Shop, held: Held) -> dict[int, TaughtRow]:
    lines = Lines.of(held.found, held.owned, shop.priors)
    plain = lines.mean.copy()
    for key in lines.where.outings:
        plain[lines.where.outing(key)] = 0.0
    now = straight.answers_of(held.owned, lines.where, plain, shop.priors)
    sheet = straight.answers_of(held.owned, lines.where, np.zeros(lines.where.size), shop.priors)
    wrong = taught.wrong_balls(held.found) if held.found else {}
    answers = _responses(held.found)
    found = {}
    for t, a, b in zip(held.owned, now, sheet, strict=True):
        own = _own(lines, t.ball.id, a.slope)
        before, after = (np.sqrt(np.maximum(np.einsum("kd,de,ke->k", own, c, own), 0.0)) for c in
                         (lines.where.prior, lines.cov))  # fmt: skip
        found[t.ball.id] = _row(held, t.ball.id, a.at - b.at, before, after, answers, wrong)
    return found


def _own(lines: Lines, ball_id: int, slope: Floats) -> Floats:
    """The slope by what is unknown of one ball alone."""
    first = lines.where.balls[ball_id]
    columns = [*range(first, first + BALL_SIZE), *(at for key, at in lines.where.finishes.items() if key[0] == ball_id)]
    own = np.zeros_like(slope)
    own[:, columns] = slope[:, columns]
    return own


def _row(
    held: Held, ball_id: int, moved: Floats, before: Floats, after: Floats,
    answers: Mapping[int, tuple[ResponseRow, ...]], wrong: Mapping[int, Finding],
) -> TaughtRow:  # fmt: skip
    shots = sum(t.ball.id == ball_id for case in held.found.cases for t in case.thrown) if held.found else 0
    boards, sd = float(moved[LANDING]) / BOARD_M, float(after[LANDING]) / BOARD_M
    benchmark = ball_id == held.benchmark_id
    text = sentence(boards, sd, (moved[FIRST_READ] / FOOT_M, after[FIRST_READ] / FOOT_M), benchmark=benchmark)
    return TaughtRow(
        ball_id, held.names[ball_id], shots, text if shots else "not thrown yet", float(before[LANDING]) / BOARD_M,
        boards if shots else None, sd if shots else None, benchmark, False, answers.get(ball_id, ()),
        wrong[ball_id].sentence if ball_id in wrong else "",
    )  # fmt: skip


def sentence(boards: float, sd: float, read_ft: tuple[float, float], *, benchmark: bool) -> str:
    """“2 weaker than its sheet”, “as its sheet says, reads 2 ft earlier”, “benchmark, fixes this lane”."""
    said = []
    if abs(boards) >= LIKELY * sd and abs(boards) >= WORTH_SAYING and words.amount(boards, sd) != "0":
        way = "stronger" if boards > 0.0 else "weaker"
        maybe = "" if abs(boards) >= SURE * sd else "perhaps "
        said.append(f"{maybe}{words.amount(boards, sd)} {way} than its sheet")
    feet, feet_sd = read_ft
    if np.isfinite(feet) and abs(feet) >= SURE * feet_sd and abs(feet) >= 1.0:
        said.append(f"reads {abs(feet):.0f} ft {'earlier' if feet < 0.0 else 'later'}")
    if said:
        return ", ".join(said)
    return "benchmark, fixes this lane" if benchmark else "as its sheet says"


def _responses(found: Posterior | None) -> dict[int, tuple[ResponseRow, ...]]:
    """Each change of finish that was thrown on either side of, from the log alone and after the shots. Both doubts are
    told by the same straight lines, those of the ball as it is known now, so that shots only ever narrow them.
    """
    if found is None:
        return {}
    alone = replace(found, mean=np.zeros_like(found.mean), cov=found.where.prior)
    unseen = replace(found, cov=found.where.prior)
    told = zip(finishes_taught(alone), finishes_taught(unseen), finishes_taught(found), strict=True)
    made: dict[int, tuple[ResponseRow, ...]] = {}
    for before, doubted, now in told:
        a, sd, b = before.first_read_m.mean, doubted.first_read_m.sd, now.first_read_m
        row = ResponseRow(a / FOOT_M, sd / FOOT_M, b.mean / FOOT_M, b.sd / FOOT_M, now.shots, now.sentence)
        made[now.ball_id] = (*made.get(now.ball_id, ()), row)
    return made


def lane_words(shop: Shop, held: Held) -> str:
    """“Tonight's lane plays 2 ± 1 boards longer than it was said to.” Empty before the first shot there."""
    if held.found is None or not held.owned or held.outing not in held.found.where.outings:
        return ""
    lines = Lines.of(held.found, held.owned, shop.priors)
    zero = next((t for t in held.owned if t.ball.id == held.benchmark_id), held.owned[0])
    lane, at = np.zeros(lines.where.size), lines.where.outing(held.outing)
    lane[at] = lines.slope(zero, LANDING)[at]
    boards, sd = float(lane @ lines.mean) / BOARD_M, math.sqrt(max(float(lane @ lines.cov @ lane), 0.0)) / BOARD_M
    name, unknown = _which(shop, held), isinstance(held.lane.film, UnknownHouse)
    if words.amount(boards, sd) == "0":
        as_said = "like the middle of what it may be" if unknown else "as it was said to"
        return f"{name} plays {as_said}, ± {words.counted(max(sd, 0.5), sd)}."
    way = "longer" if boards < 0.0 else "shorter"
    one = words.amount(boards, sd) in ("½", "1")
    apart = f"{words.amount(boards, sd)} ± {words.doubt(sd)} board{'' if one else 's'}"
    than = "the middle of what it may be" if unknown else "it was said to"
    return f"{name} plays {apart} {way} than {than}: {zero.ball.name} ends that much {_end(boards)}."


def _end(boards: float) -> str:
    return "lighter" if boards < 0.0 else "higher"


def _which(shop: Shop, held: Held) -> str:
    if held.day != shop.today():
        return f"The lane of {days.weekday_and_day(held.day)}"
    return "Tonight’s lane" if shop.now().hour >= EVENING else "Today’s lane"


def findings(shop: Shop, held: Held, told: Sequence[Finding]) -> tuple[Finding, ...]:
    """Findings with outings in words instead of their keys, the heaviest first."""
    spoken_of = _outings(shop, held.found)
    made = []
    for one in told:
        text = one.sentence
        for key, said in spoken_of.items():
            text = text.replace(key, said)
        made.append(replace(one, sentence=text))
    weight = {"bad": 0, "warn": 1, "note": 2}
    return tuple(sorted(made, key=lambda f: (weight[f.weight.value], -(f.seq or 0))))


def _outings(shop: Shop, found: Posterior | None) -> dict[str, str]:
    """“41 ft house on Thu 19 Nov” for each outing's key."""
    if found is None:
        return {}
    lanes = shop.lanes()
    return {
        case.thrown[0].outing: f"{lanes[case.trial.lane_id].name} on {days.weekday_and_day(case.trial.on)}"
        for case in found.cases
        if case.trial.lane_id in lanes
    }

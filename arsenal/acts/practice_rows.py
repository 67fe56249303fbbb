"""Shots of one outing as rows: what was expected of each before it, what was seen, whether that lay outside."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date

from arsenal.acts import own_side
from arsenal.acts.practice_views import AsSeen, ShotKey, ShotRow
from arsenal.acts.shop import Shop
from arsenal.exchange import sight_words
from arsenal.order import words
from arsenal.practice.forecast import Forecast, forecasts
from arsenal.practice.posterior import Posterior
from arsenal.practice.taught import FIRST_READ, LANDING, ODD_SHOT
from arsenal.trade.entries import Compared, Entry, Shot, effective
from arsenal.trade.findings import Finding
from arsenal.trade.pads import label
from arsenal.trade.person import Person
from arsenal.trade.trial import SUPPORTS, Interval, Mark, Sighting, Word
from arsenal.trade.units import BOARD_M, FOOT_M

P90 = 1.2815515655446004
"""Standard deviations to the 90th percentile of a normal spread (standard tables): whiskers hold 80 %."""
SAID = {
    Word.LONG: "stayed out", Word.LIGHT: "", Word.FLUSH: "", Word.HIGH: "", Word.OVER: "crossed over",
    Word.ROLLED_OUT: "no hit", Word.HUNG: "turned, then stood up",
}  # fmt: skip


def keys(bowler: Person) -> tuple[ShotKey, ...]:
    """The keys a shot is logged by, in the order of how much it hooked; what a word supports in own boards."""
    return tuple(_key(bowler, word) for word in Word)


def _key(bowler: Person, word: Word) -> ShotKey:
    low, high = _own(bowler, SUPPORTS[word][Mark.LANDING])
    said = SAID[word]
    if not said and low is not None and high is not None:
        said = f"{words.halves(low)} to {words.halves(high)}"
    return ShotKey(word.value, said, low, high)


def sighting(bowler: Person, seen: AsSeen) -> Sighting:
    """What was seen, as it is kept. A word nobody knows is refused by ValueError: the keys know them all."""

    def at(board: float | None) -> float | None:
        return None if board is None else own_side.lateral_m(bowler, board)

    def along(ft: float | None) -> float | None:
        return None if ft is None else ft * FOOT_M

    said = tuple(Word(text.strip()) for text in seen.word.split(",") if text.strip())
    off = seen.off_target_boards
    return Sighting(
        at(seen.landing_board), along(seen.first_read_ft), along(seen.breakpoint_ft), at(seen.breakpoint_board),
        at(seen.arrows_board), None if off is None else off * BOARD_M, said, seen.pins_left, seen.by_sensor,
    )  # fmt: skip


def entries_of(shop: Shop, bowler_id: int, lane_id: int, day: date) -> tuple[Entry, ...]:
    """Practice shots and pairs logged by this bowler on that lane that day, in the order of the log."""
    found = []
    owned = {ball.id for ball in shop.balls(bowler_id)}
    usual = shop.person(bowler_id).usual_lane_id
    for ball_id in shop.practised():
        for entry in effective(shop.entries(ball_id)):
            said = entry.payload
            if entry.on != day or not isinstance(said, Shot | Compared):
                continue
            threw = said.bowler_id if isinstance(said, Shot) and said.bowler_id is not None else None
            ours = threw == bowler_id or (threw is None and ball_id in owned)
            if ours and (said.lane_id if said.lane_id is not None else usual) == lane_id:
                found.append(entry)
    return tuple(sorted(found, key=lambda e: e.seq))


def rows(
    shop: Shop, bowler: Person, told: Sequence[Entry], found: Posterior | None, findings: Sequence[Finding]
) -> tuple[ShotRow, ...]:  # fmt: skip
    """The rows of these entries, newest first."""
    out = {f.seq: f.sentence for f in findings if f.code.startswith("trial.") and f.code != "trial.time"}
    place = {case.trial.seq: i for i, case in enumerate(found.cases)} if found else {}
    wanted = [place[e.seq] for e in told if e.seq in place]
    expected = shop.remembered(
        ("forecasts", bowler.id, shop.revision, tuple(wanted)), lambda: forecasts(found, wanted) if found else {}
    )
    made, number = [], 0
    for entry in told:
        at = place.get(entry.seq)
        forecast = expected.get(at) if at is not None else None
        odd = found is not None and at is not None and bool(found.odd[at] > ODD_SHOT)
        if isinstance(entry.payload, Shot):
            number += 1
            finish = _finish(shop, entry, found, at)
            made.append(_shot(bowler, shop.ball(entry.ball_id).name, entry, number, forecast, odd, out, finish))
        else:
            made.append(_pair(shop, entry, forecast, odd, out))
    return tuple(reversed(made))


def _finish(shop: Shop, entry: Entry, found: Posterior | None, at: int | None) -> str:
    state = found.cases[at].thrown[0].state if found is not None and at is not None else shop.state(entry.ball_id)
    return label(state.finish)


def _own(bowler: Person, interval: Interval) -> tuple[float | None, float | None]:
    """An interval of laterals in own boards, the lower first; None where it is open."""
    ends = [None if math.isinf(m) else round(own_side.board(bowler, m), 6) for m in (interval.low, interval.high)]
    low, high = reversed(ends) if bowler.back_up else ends
    return low, high


def _shot(
    bowler: Person, name: str, entry: Entry, number: int, forecast: Forecast | None, odd: bool,
    out: Mapping[int | None, str], finish: str,
) -> ShotRow:  # fmt: skip
    shot = entry.payload
    assert isinstance(shot, Shot)  # noqa: S101 -- asked only of shots
    band = (shot.seen.intervals() or {}).get(Mark.LANDING)
    low, high = _own(bowler, band) if band else (None, None)
    board = own_side.board(bowler, shot.seen.landing_m) if shot.seen.landing_m is not None else None
    there = forecast is not None and math.isfinite(forecast.mean[LANDING])
    at = own_side.board(bowler, float(forecast.mean[LANDING])) if forecast is not None and there else None
    sd = float(forecast.sd[LANDING]) / BOARD_M if forecast is not None and there else 0.0
    low_at, high_at = (at - P90 * sd, at + P90 * sd) if at is not None else (None, None)
    return ShotRow(
        entry.seq, number, entry.ball_id, name, at, low_at, high_at, board, low, high, seen_words(bowler, shot.seen),
        _expected(at, sd), _outside(board, (low, high), (low_at, high_at)), odd, out.get(entry.seq, ""), finish,
        shot.wiped, _more(bowler, shot.seen, forecast), time=clock(shot.minute),
    )  # fmt: skip


def clock(minute: int | None) -> str:
    """“18:42”, empty where nobody noted it."""
    return "" if minute is None else sight_words.clock(minute)


def seen_words(bowler: Person, seen: Sighting) -> str:
    """“19½, rolled out”: what was seen at the pins."""
    said = []
    if seen.landing_m is not None:
        board = round(own_side.board(bowler, seen.landing_m), 2)
        said.append(words.halves(board) if board % 0.5 == 0.0 else f"{board:.1f}")
    said += [word.value for word in seen.words]
    return ", ".join(said) or "nothing at the pins"


def _expected(at: float | None, sd: float) -> str:
    return "" if at is None else f"expected {words.amount(at, sd)} ± {words.doubt(sd)}"


def _outside(
    board: float | None, band: tuple[float | None, float | None], whisker: tuple[float | None, float | None]
) -> bool:
    """A number beyond the whisker, or a word whose boards the whisker does not reach."""
    low, high = whisker
    if low is None or high is None:
        return False
    if board is not None:
        return not low <= board <= high
    below = band[1] is not None and band[1] < low
    return bool(below or (band[0] is not None and band[0] > high))


def _more(bowler: Person, seen: Sighting, forecast: Forecast | None) -> tuple[str, ...]:
    """What else was seen, beside what was expected of it."""
    rest = sight_words.seen(
        Sighting(
            None, seen.first_read_m, seen.breakpoint_m, seen.breakpoint_lateral_m, seen.arrows_m, seen.off_target_m,
            (), seen.pins_left, seen.by_sensor,
        ),
        back_up=bowler.back_up, hooks_to_left=bowler.hooks_to_left,
    )  # fmt: skip
    said = [] if rest == "nothing noted" else [rest]
    if forecast is not None and seen.first_read_m is not None and math.isfinite(forecast.mean[FIRST_READ]):
        read, sd = forecast.mean[FIRST_READ] / FOOT_M, forecast.sd[FIRST_READ] / FOOT_M
        said.append(f"expected to read at {read:.0f} ± {max(sd, 1.0):.0f} ft")
    return tuple(said)


def _pair(
    shop: Shop, entry: Entry, forecast: Forecast | None, odd: bool, out: Mapping[int | None, str]
) -> ShotRow:  # fmt: skip
    pair = entry.payload
    assert isinstance(pair, Compared)  # noqa: S101 -- asked only of pairs
    known = {ball.id: ball.name for ball in shop.balls()}
    other = known.get(pair.other_ball_id, "a ball that is not here")
    said, outside = "", False
    if forecast is not None and math.isfinite(forecast.mean[LANDING]):
        at, sd = float(forecast.mean[LANDING]) / BOARD_M, float(forecast.sd[LANDING]) / BOARD_M
        said, outside = f"expected {words.signed(at, sd)} ± {words.doubt(sd)}", abs(pair.boards - at) > P90 * sd
    way = "stronger" if pair.boards >= 0.0 else "weaker"
    seen = f"{words.halves(pair.boards)} ± {words.halves(pair.sd_boards)} {way} than {other}"
    if words.halves(pair.boards) == "0":
        seen = f"level with {other}"
    return ShotRow(
        entry.seq, 0, entry.ball_id, known[entry.ball_id], None, None, None, None, None, None, seen, said, outside, odd,
        out.get(entry.seq, ""), "", None, other=other,
    )  # fmt: skip

"""A practice as it stands: who throws on which line, where, how the ball is wiped, and the balls as they are now."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from arsenal.acts import checks, reading, taught, writing
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.ledger import CodecError, from_plain, to_plain
from arsenal.motion import bed
from arsenal.order import shot as shots
from arsenal.practice import from_log
from arsenal.practice.cases import Thrown
from arsenal.practice.posterior import Posterior
from arsenal.surface.state import ZERO
from arsenal.trade.entries import Wiped
from arsenal.trade.errors import KnownError
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person
from arsenal.trade.release import Line, Style

LONGEST_PAIR = 40
UNSAID: Any = object()


@dataclass(frozen=True, slots=True)
class Held:
    """What shots of this practice share, and what is believed after those that were logged."""

    bowler: Person
    style: Style
    lane: Lane
    line: Line
    pair: str
    wiping: Wiped | None
    day: date
    outing: str
    owned: tuple[Thrown, ...]
    """The strike balls in the bag as they are thrown here: wiped, where that is how this practice goes."""
    left: tuple[Thrown, ...]
    """The same as the last shot left them."""
    found: Posterior | None

    @property
    def benchmark_id(self) -> int | None:
        """The bowler's own, where it is in the bag."""
        wanted = self.bowler.benchmark_ball_id
        return wanted if any(t.ball.id == wanted for t in self.owned) else None

    @property
    def names(self) -> dict[int, str]:
        """Of the balls in the bag."""
        return {t.ball.id: t.ball.name for t in self.owned}

    @property
    def key(self) -> tuple[object, ...]:
        """Everything that what is shown depends on, apart from the log."""
        return (self.bowler.id, self.lane, self.line, self.outing, self.left, self.wiping)


def held(
    shop: Shop, bowler_id: int, lane_id: int | None = None, *, day: date | None = None,
    progress: taught.Progress | None = None, learn: bool = True,
) -> Held:  # fmt: skip
    """Raises NotFound, and KnownError where nobody has said how the bowler throws. Without `learn` nothing is believed
    yet: enough to log a shot by, and quick.
    """
    bowler = shop.person(bowler_id)
    lane = shop.lane(lane_id) if lane_id is not None else reading.lane_named(shop, None, bowler)
    shots.style_of(bowler)
    on, kept = day or shop.today(), _kept(shop, bowler_id)
    pair = kept.get("pair", "") if kept.get("day") == on.isoformat() else ""
    line = _line(shop, bowler, lane, kept)
    outing = from_log.outing(on, lane.id, bowler.id, pair)
    found = taught.posterior_of(shop, bowler_id, progress) if learn else None
    style = shots.style_of(taught.as_thrown(shop, bowler) if learn else bowler)
    left = tuple(
        Thrown(ball, state, lane, outing, style, line, bowler.hooks_to_left)
        for ball, state in shop.held(bowler_id, until=day)
        if not ball.spare
    )
    wiping = _wiping(kept)
    owned = tuple(replace(t, state=replace(t.state, film_m=ZERO)) for t in left) if wiping is Wiped.EACH else left
    return Held(bowler, style, lane, line, pair, wiping, on, outing, owned, left, found)


def set_session(
    shop: Shop, bowler_id: int, lane_id: int, *, pair: str = UNSAID, wiping: Wiped | None = UNSAID,
    line: Line | None = UNSAID, initiator: str = "desk",
) -> Changes:  # fmt: skip
    """What is left out stays. `pair` are free words for today; `line` None is the bowler's own line there again."""
    person, kept, said = shop.person(bowler_id), _kept(shop, bowler_id), []
    if pair is not UNSAID:
        words = " ".join(pair.split())
        if len(words) > LONGEST_PAIR:
            raise KnownError(f"“{words[:20]}…” is too long for a pair of lanes.", next_step="A number or two will do.")
        kept |= {"pair": words, "day": shop.today().isoformat()}
        said.append(f"practises at {words}" if words else "practises at no pair that was named")
    if wiping is not UNSAID:
        kept["wiping"] = wiping.value if wiping is not None else None
        said.append(f"wipes {wiping.value}" if wiping is not None else "wipes as it comes")
    if line is not UNSAID:
        if line is not None:
            checks.line(line)
        lines = dict(kept.get("lines") or {})
        lines[str(shop.lane(lane_id).id)] = to_plain(line) if line is not None else None
        kept["lines"] = {lane: at for lane, at in lines.items() if at is not None}
        said.append("throws another line in practice" if line is not None else "throws the own line in practice again")
    return writing.set_value(shop, _key(bowler_id), kept, f"{person.name} {' and '.join(said)}", initiator)


def _kept(shop: Shop, bowler_id: int) -> dict[str, Any]:
    found = shop.ledger.setting(_key(bowler_id), None)
    return dict(found) if isinstance(found, dict) else {}


def _key(bowler_id: int) -> str:
    return f"practice:{bowler_id}"


def _wiping(kept: dict[str, Any]) -> Wiped | None:
    try:
        return Wiped(kept["wiping"])
    except (KeyError, ValueError):
        return None if "wiping" in kept else Wiped.EACH


def _line(shop: Shop, bowler: Person, lane: Lane, kept: dict[str, Any]) -> Line:
    """The line said for practice, else the bowler's own there, else the reference ball's best."""
    said = kept.get("lines", {}).get(str(lane.id))
    if said is not None:
        with contextlib.suppress(CodecError):
            made: Line = from_plain(Line, said)
            return made
    return shop.remembered(
        ("line of", replace(bowler, name="", nickname=""), lane),
        lambda: shots.line_for(bowler, lane, bed(lane, bowler.hooks_to_left, shop.priors), shop.priors)[0],
    )

"""What the Practice room is given, in trade units and words. Boards count from the bowler's own gutter."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from arsenal.acts.views import RuleState
from arsenal.practice.asked_of import Question
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Wiped
from arsenal.trade.findings import Finding
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Recipe
from arsenal.trade.person import Person
from arsenal.trade.release import Line


@dataclass(frozen=True, slots=True)
class AsSeen:
    """What somebody saw of one shot, in the trade's units: as much or as little as there is."""

    word: str = ""
    """long, light, flush, high, over, rolled out, hung, or several of them with commas; empty for none."""
    landing_board: float | None = None
    first_read_ft: float | None = None
    breakpoint_ft: float | None = None
    breakpoint_board: float | None = None
    arrows_board: float | None = None
    off_target_boards: float | None = None
    """Missed the target at the arrows: positive toward the hook side, negative the other way, 0 for on target."""
    pins_left: tuple[int, ...] = ()
    by_sensor: bool = False

    @property
    def says_something(self) -> bool:
        """Whether anything at all was seen."""
        return self != AsSeen(by_sensor=self.by_sensor)


@dataclass(frozen=True, slots=True)
class ShotKey:
    """One of the keys a shot is logged by: its word, what it says, and the boards it stands for."""

    word: str
    said: str
    """“stayed out”, “17 to 18”."""
    low_board: float | None
    """None where it is open to that side."""
    high_board: float | None


@dataclass(frozen=True, slots=True)
class InHand:
    """The ball in hand. `shot` is the number its next shot will have in this outing, `own` which of its own that is."""

    ball: Ball
    state: SurfaceState
    finish: str
    """“1000 h”."""
    plays: str
    """“plays about 2100 ± 300”."""
    shot: int
    own: int
    counted: str
    """“shot 10, its 3rd”."""


@dataclass(frozen=True, slots=True)
class ShotRow:
    """One shot of this outing, or two balls thrown back to back (`other` is then the second; boards are None and only
    the words speak).
    """

    seq: int
    number: int
    """1 for the first of the outing; 0 for a pair, which is told of two shots already thrown."""
    ball_id: int
    name: str
    expected_board: float | None
    """As it was forecast from every shot entered before it; None where no path could be computed."""
    expected_low: float | None
    """10th percentile."""
    expected_high: float | None
    """90th percentile."""
    seen_board: float | None
    seen_low: float | None
    """Of a word: None where it is open to that side, or where there is no word about the pins."""
    seen_high: float | None
    seen: str
    """“19”, “high”, “19½, rolled out”, “3 ± 1½ stronger than Paper Moth”."""
    expected: str
    """“expected 19½ ± 1”; empty where there is no forecast."""
    outside: bool
    """What was seen lies outside the 80 % band of what was expected."""
    odd: bool
    """It fits nothing else and teaches little."""
    kept_out: str
    """Why nothing is learned from it, as a sentence; empty where something is."""
    finish: str
    wiped: bool | None
    more: tuple[str, ...] = ()
    """What else was seen: “read at 33 ft, expected 35 ± 2”, “left 10 pin”."""
    other: str = ""
    """Name of the second ball of a pair."""
    time: str = ""
    """“18:42”, where somebody noted it."""


@dataclass(frozen=True, slots=True)
class ResponseRow:
    """What one change of finish did to a ball's first read on medium oil, ft (negative is earlier): reckoned from its
    log alone, and after its shots.
    """

    before_ft: float
    before_sd_ft: float
    now_ft: float
    now_sd_ft: float
    shots: int
    sentence: str
    """“1000 by hand makes Rook read 2.1 ± 0.5 ft earlier on medium oil; 7 trials.”"""


@dataclass(frozen=True, slots=True)
class TaughtRow:
    """What the shots of one ball have taught. Boards it ends higher (+) or lower than its sheet and log alone say."""

    ball_id: int
    name: str
    shots: int
    sentence: str
    """“as its sheet says”, “2 weaker than its sheet”, “not thrown yet”."""
    before_sd: float
    """The grey band: 0 ± this."""
    now: float | None
    """None for a ball that was never thrown."""
    now_sd: float | None
    benchmark: bool
    in_hand: bool
    response: tuple[ResponseRow, ...] = ()
    warning: str = ""
    """“Rook reads 4 ft earlier than anything its log explains: check the log.”"""


@dataclass(frozen=True, slots=True)
class NextView:
    """One test worth making. `ball_ids` are one ball, or two thrown back to back on one line."""

    title: str
    """“Bramble Vow, then Paper Moth, same line”."""
    sentence: str
    """What it would bring, in plain words."""
    why: tuple[str, ...]
    """More, for who asks why: doubt before and after, work, what stands against it."""
    ball_ids: tuple[int, ...]
    wiped: bool
    recipe: Recipe | None
    """Surface work to be done first; it cannot be undone."""
    finish: str
    """“as it is”, “1000 h, 3 min”."""
    minutes: float
    before: float
    """Doubt of what was asked, in its own unit."""
    after: float

    @property
    def sands(self) -> bool:
        """Whether it leaves the ball another one than it was."""
        return self.recipe is not None


@dataclass(frozen=True, slots=True)
class QuestionChoice:
    """One question the next shot may be judged by. `words` as they stand in a menu."""

    question: Question
    words: str


@dataclass(frozen=True, slots=True)
class NextShots:
    """Tests worth making, best first; without any, `sentence` says why."""

    question: QuestionChoice
    choices: tuple[QuestionChoice, ...]
    shots: tuple[NextView, ...]
    sentence: str
    """“Nothing would teach much: …”, else empty."""

    @property
    def best(self) -> NextView | None:
        """The one most worth making."""
        return self.shots[0] if self.shots else None


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One line of a practice: so many shots with these balls at this finish, and why."""

    shots: int
    ball_ids: tuple[int, ...]
    names: str
    """“Bramble Vow, Paper Moth”."""
    finish: str
    """“as it is”, “1000 h, 3 min”."""
    why: str
    minutes: float
    recipe: Recipe | None
    wiped: bool
    done_shots: int = 0
    worked: bool = True
    """Whether the surface work it asks for is in the log; true where it asks for none."""
    current: bool = False
    """The line to throw now."""

    @property
    def done(self) -> bool:
        """Thrown, all of it."""
        return self.worked and self.done_shots >= self.shots


@dataclass(frozen=True, slots=True)
class PlanView:
    """The plan of a practice, with what has been thrown of it."""

    id: int
    """Of the kept plan; 0 for one nobody has kept."""
    title: str
    """“Plan: ten shots, unsanded first”."""
    lines: tuple[PlanLine, ...]
    sentence: str
    """What is left out or cannot be, and why; empty where nothing is."""
    minutes: float
    minutes_left: float
    left: str
    """“12 min left of the plan”, “pads allowed for 40 min more”."""
    changed: tuple[str, ...] = ()
    """“Changed since, because …”; empty where nothing moved."""
    begun: datetime | None = None


@dataclass(frozen=True, slots=True)
class PracticeSession:
    """Everything the Practice room shows but the next shot and the plan, which are asked for apart."""

    bowler: Person
    lane: Lane
    line: Line
    line_words: str
    """“22, over 15”."""
    pair: str
    """“pair 7 and 8”, as the bowler wrote it; may be empty."""
    wiping: Wiped | None
    day: date
    outing: str
    rule: RuleState
    keys: tuple[ShotKey, ...]
    in_hand: InHand | None
    """None where the bowler has no ball in the bag."""
    shots: tuple[ShotRow, ...]
    """Of this outing, newest first."""
    balls: tuple[TaughtRow, ...]
    outing_words: str
    """“Tonight's lane plays 2 ± 1 boards longer than it was said to.” Empty before the first shot."""
    findings: tuple[Finding, ...]
    """Odd outings, wrong models, shots kept out, most pressing first."""
    trials: int
    """Shots of all outings that something is learned from."""

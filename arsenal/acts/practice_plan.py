"""The next shot worth throwing, and the plan of a practice with what was thrown of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import pairwise
from typing import Any

from arsenal.acts import changed_since, recipes, rules_now, whatif, words, writing
from arsenal.acts.practice_held import Held, held
from arsenal.acts.practice_views import NextShots, NextView, PlanLine, PlanView, QuestionChoice
from arsenal.acts.shop import Shop
from arsenal.acts.taught import Progress
from arsenal.acts.views import Changes
from arsenal.ledger import CodecError, from_plain, to_plain
from arsenal.order.words import counted, names
from arsenal.practice import worth_words
from arsenal.practice.asked_of import Asks, Question
from arsenal.practice.candidates import Candidate, before_and_after, candidates_of, in_stock
from arsenal.practice.next_shot import Lines, WorthThrowing
from arsenal.practice.next_shot import next_shots as worth_throwing
from arsenal.practice.session_plan import Limits, Planned, SessionPlan, plan_practice
from arsenal.practice.taught import LANDING
from arsenal.trade.entries import Entry, Shot, SurfaceWork, Tool, effective
from arsenal.trade.errors import KnownError
from arsenal.trade.pads import Recipe, bare, label
from arsenal.trade.rules import Stage

KIND = "practice plan"
USUAL_SHOTS = 10
LISTED = 12
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
THE_ORDER = Question()


def next_shots(
    shop: Shop, bowler_id: int, lane_id: int | None = None, *, question: Question | None = None,
    progress: Progress | None = None,
) -> NextShots:  # fmt: skip
    """The tests most worth making, by the order's doubt or by one question. Raises NotFound, KnownError without a
    throw; a question that cannot be asked, or a bag of one ball, comes back as a sentence.
    """
    now, asked = held(shop, bowler_id, lane_id, progress=progress), question or THE_ORDER
    offered = choices(shop, now)
    chosen = next((c for c in offered if c.question == asked), QuestionChoice(asked, _words(asked, now)))
    try:
        worth = shop.remembered(("next shots", shop.revision, *now.key, asked, pads_allowed(shop, bowler_id)),
                                lambda: _worth(shop, now, asked))  # fmt: skip
    except KnownError as error:
        return NextShots(chosen, offered, (), str(error))
    benchmark = now.names.get(now.benchmark_id or 0, "")
    views = tuple(_view(one, worth, asked, benchmark, now.names) for one in worth[:LISTED])
    return NextShots(chosen, offered, views, "" if views else _nothing(asked))


def _worth(shop: Shop, now: Held, asked: Question) -> tuple[WorthThrowing, ...]:
    jumps = asked.asks is Asks.PAD
    tests = candidates_of(
        now.owned, recipes_in_reach(shop, now), shop.pads_by_id(), shop.priors, left=now.left, jumps=jumps
    )
    if jumps:
        tests = (*tests, *before_and_after(now.owned, tests))
    return worth_throwing(now.found, now.owned, now.benchmark_id, tests, shop.priors, question=asked)


def recipes_in_reach(shop: Shop, now: Held) -> tuple[Recipe, ...]:
    """Everything this bowler can put on a ball with pads in stock that still cut; nothing while pads are barred."""
    if not pads_allowed(shop, now.bowler.id):
        return ()
    every = whatif.every_recipe(shop, now.bowler.id, done=False)
    taken = {bare(r.steps): replace(r, steps=recipes.with_pads(shop, now.bowler.id, r.steps)) for r in reversed(every)}
    return tuple(r for r in reversed(taken.values()) if in_stock(r, shop.pads_by_id(), shop.priors))


def pads_allowed(shop: Shop, bowler_id: int) -> bool:
    """Whether a ball may be sanded now."""
    return rules_now.rule_state(shop, bowler_id).pads_allowed


def choices(shop: Shop, now: Held) -> tuple[QuestionChoice, ...]:
    """Questions in words: the order, this lane, each two neighbours, what each pad by hand does to each ball."""
    asked = [THE_ORDER, Question(Asks.LANE)]
    asked += [Question(Asks.TWO_BALLS, a, b) for a, b in pairwise(_by_landing(shop, now))]
    by_hand = [r for r in recipes_in_reach(shop, now) if r.one_pad and not r.id and r.steps[0].tool is Tool.HAND]
    tests = candidates_of(now.owned, by_hand, shop.pads_by_id(), shop.priors, pairs=False, jumps=True)
    asked += [Question(Asks.PAD, test.ball_id, recipe=test.recipe) for test in tests if test.sands]
    return tuple(QuestionChoice(one, _words(one, now)) for one in asked)


def _by_landing(shop: Shop, now: Held) -> list[int]:
    """The balls from the one that ends highest down: neighbours may be one ball."""
    if len(now.owned) < 2:
        return []
    lines = Lines.of(now.found, now.owned, shop.priors)
    return [t.ball.id for t in sorted(now.owned, key=lambda t: (-lines.at(t, LANDING), t.ball.id))]


def _words(asked: Question, now: Held) -> str:
    of, to = now.names.get(asked.ball_id or 0, "a ball"), now.names.get(asked.other_ball_id or 0, "another")
    match asked.asks:
        case Asks.LANE:
            return "What does this lane do?"
        case Asks.TWO_BALLS:
            return f"Are {of} and {to} one ball?"
        case Asks.PAD:
            done = label(asked.recipe.steps) if asked.recipe else "a pad"
            return f"What does {done} do to {of}?"
        case Asks.ORDER:
            return "Which ball is stronger?"


def _nothing(asked: Question) -> str:
    what = {Asks.ORDER: "The order", Asks.LANE: "The lane", Asks.TWO_BALLS: "How far they are apart"}
    known = what.get(asked.asks, "What the pad does")
    return f"{known} is as sure as one more shot can make it: no test would teach much."


def _view(
    one: WorthThrowing, every: Sequence[WorthThrowing], asked: Question, benchmark: str, called: dict[int, str]
) -> NextView:  # fmt: skip
    test = one.candidate
    return NextView(
        worth_words.title(test), worth_words.sentence(one, asked, benchmark, called), worth_words.why(one, every),
        test.ball_ids, test.wiped, test.recipe, worth_words.finish(test), test.minutes, one.before, one.after,
    )  # fmt: skip


# ---- the plan


@dataclass(frozen=True, slots=True)
class Kept:
    """A plan as it is kept: its lines as they were shown, and where the log stood."""

    bowler_id: int
    lane_id: int
    shots: int | None
    minutes: float | None
    question: Question
    lines: tuple[PlanLine, ...]
    sentence: str
    begun: datetime
    head_seq: int
    stamp: changed_since.MadeOf


def plan(
    shop: Shop, bowler_id: int, lane_id: int | None = None, *, shots: int | None = None, minutes: float | None = None,
    question: Question | None = None, progress: Progress | None = None,
) -> PlanView:  # fmt: skip
    """The plan for so many shots or minutes (ten shots where neither is said): the one kept today for just that, with
    what was thrown of it, else a fresh one (id 0). Raises OutOfRange, NotFound, KnownError.
    """
    now, asked = held(shop, bowler_id, lane_id, progress=progress), question or THE_ORDER
    if shots is None and minutes is None:
        shots = USUAL_SHOTS
    kept = kept_plan(shop, now)
    if kept is not None and (kept[1].shots, kept[1].minutes, kept[1].question) == (shots, minutes, asked):
        return _ticked(shop, now, *kept)
    made = _made(shop, now, shots, minutes, asked)
    lines = _marked([_line(line) for line in made.lines])
    return _shown(shop, now, 0, lines, made.sentence, ())


def keep_plan(
    shop: Shop, bowler_id: int, lane_id: int, *, shots: int | None = None, minutes: float | None = None,
    question: Question | None = None, initiator: str = "desk",
) -> Changes:  # fmt: skip
    """Begin a fresh plan; its lines are ticked as shots are logged. Raises as `plan` does, KnownError without lines."""
    now, asked = held(shop, bowler_id, lane_id), question or THE_ORDER
    if shots is None and minutes is None:
        shots = USUAL_SHOTS
    made = _made(shop, now, shots, minutes, asked)
    if not made.lines:
        raise KnownError(made.sentence, next_step="Ask for another length, or throw what you like.")
    kept = Kept(
        bowler_id, lane_id, shots, minutes, asked, tuple(_line(line) for line in made.lines), made.sentence, shop.now(),
        shop.ledger.head_seq, changed_since.made_of(shop, bowler_id, lane_id),
    )  # fmt: skip
    number = shop.ledger.keep_result(KIND, to_plain(kept))
    said = f"Began a practice of {counted(made.shots, 1.0, 'shot', 'shots')} with {now.bowler.name}"
    return writing.set_value(shop, _key(bowler_id, lane_id), {"id": number, **to_plain(kept)}, said, initiator)


def kept_plan(shop: Shop, now: Held) -> tuple[int, Kept] | None:
    """The plan begun today on this lane, with its number."""
    found: Any = shop.ledger.setting(_key(now.bowler.id, now.lane.id), None)
    try:
        number = int(found.pop("id"))
        kept: Kept = from_plain(Kept, found)
    except (AttributeError, CodecError, KeyError, TypeError, ValueError):
        return None
    return (number, kept) if kept.begun.astimezone(shop.now().tzinfo).date() == now.day else None


def _key(bowler_id: int, lane_id: int) -> str:
    return f"practice plan:{bowler_id}:{lane_id}"


def _made(shop: Shop, now: Held, shots: int | None, minutes: float | None, asked: Question) -> SessionPlan:
    limits = Limits(shots, minutes, ban_min(shop, now.bowler.id), pads_allowed(shop, now.bowler.id))

    def make() -> SessionPlan:
        return plan_practice(
            now.found, now.owned, now.benchmark_id, recipes_in_reach(shop, now), shop.pads_by_id(), shop.priors, limits,
            question=asked, left=now.left,
        )  # fmt: skip

    found: SessionPlan = shop.remembered(("plan", shop.revision, *now.key, limits, asked), make)
    return found


def ban_min(shop: Shop, bowler_id: int) -> float | None:
    """Whole minutes until the first scored ball; None where no competition lies ahead."""
    competition = rules_now.competition(shop, bowler_id)
    if competition is None or competition.stage(shop.now()) is not Stage.BEFORE:
        return None
    return float((competition.starts_at - shop.now()).total_seconds() // 60.0)


def _line(line: Planned) -> PlanLine:
    test = line.candidate
    recipe = replace(test.recipe, steps=bare(test.recipe.steps)) if test.recipe is not None else None
    called = names([t.ball.name for t in _throws(test)])
    return PlanLine(
        line.shots, test.ball_ids, called, worth_words.finish(test), line.why, line.minutes, recipe, test.wiped,
        worked=recipe is None,
    )  # fmt: skip


def _throws(test: Candidate) -> list[Any]:
    return list({t.ball.id: t for t in test.throws}.values())


def _marked(lines: Sequence[PlanLine]) -> tuple[PlanLine, ...]:
    """The first line that is not done is the one to throw now."""
    at = next((i for i, line in enumerate(lines) if not line.done), None)
    return tuple(replace(line, current=i == at) for i, line in enumerate(lines))


def _ticked(shop: Shop, now: Held, number: int, kept: Kept) -> PlanView:
    since = _since(shop, kept)
    lines, thrown = list(kept.lines), Counter[tuple[int, int]]()
    for entry in since:
        if isinstance(entry.payload, SurfaceWork):
            _tick_work(lines, entry)
        else:
            _tick_shot(lines, entry, thrown)
    changed = changed_since.sentences(shop, kept.stamp, but_for=frozenset(e.seq for e in since))
    return _shown(shop, now, number, _marked(lines), kept.sentence, changed, kept.begun)


def _since(shop: Shop, kept: Kept) -> list[Entry]:
    """Shots of this practice and surface work on its balls that were logged after the plan was begun."""
    found = []
    for ball_id in sorted({i for line in kept.lines for i in line.ball_ids}):
        for entry in effective(shop.entries(ball_id)):
            said = entry.payload
            ours = isinstance(said, Shot) and said.lane_id == kept.lane_id and said.bowler_id in (None, kept.bowler_id)
            if entry.seq > kept.head_seq and (ours or isinstance(said, SurfaceWork)):
                found.append(entry)
    return sorted(found, key=lambda e: e.seq)


def _tick_work(lines: list[PlanLine], entry: Entry) -> None:
    """The first work on this ball that waits is done, where the finish is the one that was planned."""
    assert isinstance(entry.payload, SurfaceWork)  # noqa: S101 -- asked only of work
    done = label(entry.payload.steps)
    for i, line in enumerate(lines):
        waits = line.recipe is not None and not line.worked and entry.ball_id in line.ball_ids
        if waits and line.recipe is not None and label(line.recipe.steps) == done:
            lines[i] = replace(line, worked=True)
            return


def _tick_shot(lines: list[PlanLine], entry: Entry, thrown: Counter[tuple[int, int]]) -> None:
    """A shot goes to the first line that still wants this ball as it is by now; of two balls each its half."""
    latest = max((i for i, line in enumerate(lines) if line.recipe and line.worked and entry.ball_id in line.ball_ids),
                 default=-1)  # fmt: skip
    for i, line in enumerate(lines):
        fits = entry.ball_id in line.ball_ids and line.worked and i >= latest
        if fits and thrown[i, entry.ball_id] < line.shots // len(line.ball_ids):
            thrown[i, entry.ball_id] += 1
            lines[i] = replace(line, done_shots=line.done_shots + 1)
            return


def _shown(
    shop: Shop, now: Held, number: int, lines: tuple[PlanLine, ...], sentence: str,
    changed: tuple[str, ...], begun: datetime | None = None,
) -> PlanView:  # fmt: skip
    whole = sum(line.minutes for line in lines)
    left = sum(_left(line) for line in lines)
    asked = sum(line.shots for line in lines)
    told = NUMBERS[asked] if asked < len(NUMBERS) else str(asked)
    unsanded = ", unsanded first" if any(line.recipe for line in lines) else ""
    title = f"Plan: {told} shot{'' if asked == 1 else 's'}{unsanded}" if lines else "Plan: nothing to throw"
    return PlanView(number, title, lines, sentence, whole, left, _clock(shop, now, left), changed, begun)


def _left(line: PlanLine) -> float:
    """Minutes a line still takes: its work where that waits, and its share of shots."""
    if line.done:
        return 0.0
    shots = line.shots - line.done_shots
    work = max(line.minutes - line.shots, 0.0)
    return shots + (0.0 if line.worked and line.recipe is not None else work)


def _clock(shop: Shop, now: Held, left: float) -> str:
    until = ban_min(shop, now.bowler.id)
    told = f"{words.count(round(left), 'min').removesuffix('s')} left of the plan" if left else ""
    if until is not None and until < 24 * 60:
        ban = f"first scored ball in {until:.0f} min"
        return f"{told} · {ban}" if told else ban
    return told


__all__ = ["Kept", "SessionPlan", "choices", "keep_plan", "kept_plan", "next_shots", "plan", "recipes_in_reach"]

"""What a test worth making would bring, in plain sentences."""

from __future__ import annotations

from collections.abc import Sequence

from arsenal.order import words
from arsenal.practice.asked_of import Asks, Question
from arsenal.practice.candidates import Candidate
from arsenal.practice.finishes import finish_words
from arsenal.practice.next_shot import WorthThrowing
from arsenal.trade.pads import label

MINUTES_SHOWN = 1.0


def title(test: Candidate) -> str:
    """“Bramble Vow, then Paper Moth, same line”; “Quarry Song at 1000 h”."""
    first = test.thrown.ball.name
    if test.recipe is not None:
        before = "as it is, then " if len(test.throws) > 1 else ""
        return f"{first} {before}at {label(test.recipe.steps)}"
    if len(test.ball_ids) > 1:
        return f"{first}, then {test.left.ball.name}, same line"
    return first if test.wiped else f"{first}, not wiped"


def finish(test: Candidate) -> str:
    """“as it is”, “as they are”, “1000 h, 3 min”."""
    if test.recipe is not None:
        return f"{label(test.recipe.steps)}, {words.halves(max(test.work_min, MINUTES_SHOWN))} min"
    if len(test.ball_ids) > 1:
        return "as they are"
    return "as it is" if test.wiped else "not wiped"


def sentence(one: WorthThrowing, question: Question, benchmark: str, names: dict[int, str]) -> str:
    """What is in doubt, what the test would bring it to, and at what price."""
    return f"{_stands(one, question, benchmark, names)} {_brings(one)} {_price(one.candidate)}"


def _stands(one: WorthThrowing, question: Question, benchmark: str, names: dict[int, str]) -> str:
    before, _ = _doubts(one)
    match question.asks:
        case Asks.TWO_BALLS:
            pair = f"{names[question.ball_id or 0]} and {names[question.other_ball_id or 0]}"
            then = f" with {label(one.candidate.recipe.steps)} on one of them" if one.candidate.recipe else ""
            return f"{pair} are {words.amount(one.at, one.now)} ± {before} boards apart{then}."
        case Asks.PAD:
            way = "earlier" if one.at < 0.0 else "later"
            done = finish_words(question.recipe.steps, 0.0) if question.recipe else "The work"
            name = names[question.ball_id or 0]
            return f"{done} should make {name} read {abs(one.at):.1f} ± {before} ft {way}."
        case Asks.LANE:
            return f"What this lane does to {benchmark or 'the set'} is ± {before} boards."
        case Asks.ORDER:
            against = f"against {benchmark}" if benchmark else "against each other"
            recipe, name = one.candidate.recipe, one.candidate.thrown.ball.name
            work = f" with {label(recipe.steps)} on {name}" if recipe else ""
            return f"The order{work} is in doubt by ± {before} boards a ball {against}."


def _brings(one: WorthThrowing) -> str:
    shots = len(one.candidate.throws)
    what = "One shot" if shots == 1 else "One shot before and one after" if one.candidate.sands else "One pair of shots"
    return f"{what} brings that to ± {_doubts(one)[1]}."


def _price(test: Candidate) -> str:
    if test.recipe is None:
        return "Nothing is sanded."
    return f"It takes {words.counted(max(test.work_min, 1.0), 1.0, 'minute', 'minutes')} of work, and cannot be undone."


def why(one: WorthThrowing, others: Sequence[WorthThrowing]) -> tuple[str, ...]:
    """More for who asks why these: what comes after it, what it costs."""
    said = []
    rest = [w for w in others if w.candidate != one.candidate and w.candidate.sands == one.candidate.sands]
    if rest:
        second = rest[0]
        said.append(f"Next best: {title(second.candidate)}, which brings it to ± {_doubts(second)[1]}.")
    if one.candidate.sands:
        if not any(not w.candidate.sands for w in others):
            said.append("No test without sanding would teach as much as is worth a shot.")
        if one.before > one.now:
            said.append(f"As the ball is now the doubt is ± {one.now:.2g}: the work itself adds some.")
    elif any(w.candidate.sands for w in others):
        said.append("What sands nothing comes first: no pad puts the finish back.")
    return tuple(said)


def _doubts(one: WorthThrowing) -> tuple[str, str]:
    """Before and after, with as many digits as tell them apart."""
    before, after = f"{one.before:.1f}", f"{one.after:.1f}"
    return (before, after) if before != after else (f"{one.before:.2f}", f"{one.after:.2f}")

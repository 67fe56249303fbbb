"""What bowlers say of a lane's stages, where the film model has it too; the whole comparison is resources/stages.md.

Every one of these is common practice, no source. What the model does not have, or not beyond its doubt, is in that page
and not here: which ball a stage wants comes from the film alone.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from arsenal.trade.priors import default_priors

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "scripts"))

import stage_report as report

KINDS = tuple(report.BY_NAME[name] for name in ("strong solid 500", "medium solid 2000", "pearl polished"))


@pytest.fixture(scope="module")
def long_oil() -> report.Seen:
    """Two right-handers for three games on 47 ft, 28 mL."""
    return report.look(report.LANES[3], default_priors(), KINDS, bowlers=2, games=3)


def saying(words: str) -> report.Saying:
    return next(s for s in report.SAYINGS if s.words.startswith(words))


@pytest.mark.parametrize(
    "words",
    [
        "On fresh oil a medium solid with surface",
        "On long, heavy, fresh oil a strong solid at 500",
        "Once the track dries the line of fresh oil",
        "Bowlers move in",
    ],
)
def test_the_film_says_what_bowlers_say(long_oil: report.Seen, words: str) -> None:
    assert report.verdict(saying(words).told(long_oil)) == "agrees"


def test_a_difference_within_its_doubt_is_not_called_agreement() -> None:
    assert report.verdict((2.0, 3.0)) == "within its doubt"
    assert report.verdict((-4.0, 3.0)) == "does not agree"
    assert report.verdict((4.0, 3.0)) == "agrees"
    assert report.verdict(None) == "no such stage"


def test_the_page_that_is_kept_says_how_many_agree_and_how_many_do_not() -> None:
    page = report.REPORT.read_text("utf-8")
    assert f"In all {len(report.SAYINGS) * len(report.LANES)} comparisons" in page
    assert "does not agree" in page

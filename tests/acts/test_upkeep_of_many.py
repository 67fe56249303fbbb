"""Upkeep of a whole shop: many bowlers in few batches, with the numbers each would have alone."""

from __future__ import annotations

from dataclasses import replace

import pytest
from made_shop import STYLE

from arsenal.acts import convergence, people, upkeep
from arsenal.acts.shop import Shop


@pytest.fixture
def many(shop: Shop) -> Shop:
    """Two who throw alike, one of them on the other side; and balls of both."""
    for person in shop.people():
        people.set_release(shop, person.id, STYLE)
    return shop


def test_bowlers_reckoned_together_lose_what_they_lose_alone(many: Shop) -> None:
    convergence.lost_of_many(many, many.people())
    together = {p.id: convergence.lost(many, p.id) for p in many.people()}
    many._small.clear()
    many._made.clear()
    assert {p.id: convergence.lost(many, p.id) for p in many.people()} == together
    assert together[1]


def test_bowlers_of_one_hand_and_throw_share_a_batch_and_keep_their_numbers(many: Shop) -> None:
    left = many.person(2)
    people.edit_bowler(many, replace(left, hand=many.person(1).hand))
    alone = {p.id: convergence.lost(many, p.id) for p in many.people()}
    many._small.clear()
    many._made.clear()
    convergence.lost_of_many(many, many.people())
    for person in many.people():
        own = convergence.lost(many, person.id)
        assert own.keys() == alone[person.id].keys()
        for ball_id, loss in own.items():
            assert loss.boards.mean == pytest.approx(alone[person.id][ball_id].boards.mean, abs=1e-9)
            assert loss.boards.sd == pytest.approx(alone[person.id][ball_id].boards.sd, abs=1e-9)
            for one, other in zip(loss.ahead, alone[person.id][ball_id].ahead, strict=True):
                assert one == pytest.approx(other, abs=1e-9)


def test_everybody_has_the_jobs_that_each_has_alone_and_progress_is_told(many: Shop) -> None:
    heard: list[float] = []
    everybody = upkeep.upkeep(many, progress=heard.append)
    each = [job for person in many.people() for job in upkeep.upkeep(many, person.id).jobs]
    assert sorted(everybody.jobs, key=repr) == sorted(each, key=repr)
    assert heard == sorted(heard)
    assert heard[-1] == pytest.approx(1.0)

"""Results kept in the file between starts."""

from __future__ import annotations

from pathlib import Path

import pytest
from made_shop import Clock, opened

from arsenal.acts.kept import digest
from arsenal.surface.state import Estimate

ONE = Estimate(0.1 + 0.2, 1e-300)


def test_a_result_is_found_again_to_the_last_digit_and_not_made_anew(blank: Path, tmp_path: Path) -> None:
    path = tmp_path / "kept.padbook"
    path.write_bytes(blank.read_bytes())
    with opened(path, Clock()) as shop:
        assert shop.kept.get("a", Estimate, lambda: ONE) == ONE
    with opened(path, Clock()) as shop:
        assert shop.kept.get("a", Estimate, lambda: pytest.fail("it was kept")) == ONE
        assert shop.kept.get("b", Estimate, lambda: Estimate(2.0)) == Estimate(2.0)


def test_a_result_of_another_shape_is_made_anew(blank: Path, tmp_path: Path) -> None:
    path = tmp_path / "kept.padbook"
    path.write_bytes(blank.read_bytes())
    with opened(path, Clock()) as shop:
        shop.ledger.keep_state("a", {"middle": 1.0})
        assert shop.kept.get("a", Estimate, lambda: ONE) == ONE


def test_a_hash_tells_every_part_apart() -> None:
    assert digest(1, "2") == digest(1, "2")
    assert len({digest(1, 2), digest(1, "2"), digest(12), digest("1\n2"), digest(2, 1)}) == 5

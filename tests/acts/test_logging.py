from __future__ import annotations

from arsenal.acts import logging
from arsenal.acts.shop import Shop


def test_a_rub_in_the_lap_is_one_line_and_counts_the_pads_use(shop: Shop) -> None:
    said = logging.read_line(shop, "rook 1000 h", bowler_id=1)
    assert not said.problem
    assert said.after.startswith("Would play about ")
    kept = logging.keep(shop, said.drafts)
    assert kept.sentence == "Sanded Rook Hollow, 1000 h"
    assert shop.pad(4).uses_hand == 1

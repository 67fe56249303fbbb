"""Findings: what is odd, told beside the ball instead of raised."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Weight(StrEnum):
    """How much a finding matters: something to know, something to see to, something broken or against a rule."""

    NOTE = "note"
    WARN = "warn"
    BAD = "bad"


@dataclass(frozen=True, slots=True)
class Finding:
    """One sentence about one ball, with the entry it comes from and the rule row it rests on, where there is one."""

    code: str
    sentence: str
    weight: Weight = Weight.NOTE
    seq: int | None = None
    rule_id: str | None = None

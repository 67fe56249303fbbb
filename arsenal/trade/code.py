"""The codes on our labels: what they name, which file they belong to, and two signs that tell a misread or changed one.

PB, a letter for the kind, four signs of the file, the number, two check signs by ISO/IEC 7064 MOD 1271-36 (over 0–9 and
A–Z), which finds every single wrong sign and every two that changed places.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from arsenal.trade.errors import KnownError

_SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_MODULUS, _RADIX = 1271, 36
MARK_LENGTH = 4
_FORM = re.compile(
    rf"PB(?P<kind>[BPT])(?P<mark>[0-9A-Z]{{{MARK_LENGTH}}})(?P<number>\d{{1,9}})(?P<check>[0-9A-Z]{{2}})", re.ASCII
)
PREFIX = "PB"
_KEYBOARDS = tuple(
    str.maketrans(typed, meant)
    for typed, meant in (
        ("YZyz", "ZYzy"),
        ("&é\"'(-è_çàAQZWaqzw?,", "1234567890QAWZqawzMm"),
        ("&é\"'(§è!çàAQZWaqzw?,", "1234567890QAWZqawzMm"),
        ("+ěščřžýáíéYZyz", "1234567890ZYzy"),
    )
)
"""What a scanner set to the American keyboard types on a German, French, Belgian and Czech one, and what it means."""


class Names(StrEnum):
    """What a code names, by its letter."""

    BALL = "B"
    PERSON = "P"
    TICKET = "T"


@dataclass(frozen=True, slots=True)
class Code:
    """What one label says: kind, the file's mark, the number there."""

    names: Names
    mark: str
    number: int

    @property
    def text(self) -> str:
        """As it is printed and scanned."""
        body = f"{PREFIX}{self.names.value}{self.mark}{self.number}"
        return body + check_signs(body)


class WrongCode(KnownError):
    """A code of ours that was misread or changed."""


def check_signs(body: str) -> str:
    """The two check signs of a text of 0–9 and A–Z (ISO/IEC 7064 MOD 1271-36). Raises ValueError for other signs."""
    total = 0
    for sign in body:
        total = (total + _SIGNS.index(sign)) * _RADIX % _MODULUS
    check = (_MODULUS + 1 - total * _RADIX % _MODULUS) % _MODULUS
    return _SIGNS[check // _RADIX] + _SIGNS[check % _RADIX]


def checks(text: str) -> bool:
    """Whether a text with its check signs at the end is as it was made."""
    total = 0
    for sign in text[:-1]:
        total = (total + _SIGNS.index(sign)) * _RADIX % _MODULUS
    return (total + _SIGNS.index(text[-1])) % _MODULUS == 1


def looks_ours(text: str) -> bool:
    """Whether a scanned text claims to be a code of ours."""
    return text.strip().upper().startswith(PREFIX) and text.strip().upper().isalnum() and text.isascii()


def read(text: str) -> Code | None:
    """What a scanned text says, also where the scanner is set to another keyboard than the machine; None where it is
    no code of ours. Raises WrongCode where it is ours and not as made. A single sign that is wrong in the way of one of
    those keyboards is read as it was meant.
    """
    clean = text.strip()
    for typed in (clean, *(clean.translate(keyboard) for keyboard in _KEYBOARDS)):
        found = _FORM.fullmatch(typed.upper())
        if found is not None and checks(typed.upper()):
            return Code(Names(found["kind"]), found["mark"], int(found["number"]))
    if _FORM.fullmatch(clean.upper()) is None:
        return None
    raise WrongCode(f"The code {clean.upper()} was misread or changed.", next_step="Scan it again, or type the name.")

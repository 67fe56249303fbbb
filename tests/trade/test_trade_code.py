"""Codes on labels. ISO/IEC 7064 MOD 1271-36: every single wrong sign and every swap of two neighbours is found."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from arsenal.trade.code import Code, Names, WrongCode, check_signs, checks, read

SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
CODES = st.builds(Code, st.sampled_from(Names), st.text(SIGNS, min_size=4, max_size=4), st.integers(1, 10**9 - 1))


def test_the_standards_own_worked_example() -> None:
    """“ISO79” takes “3W”: the example of ISO/IEC 7064:2003, read where public implementations of it repeat it."""
    assert check_signs("ISO79") == "3W"
    assert checks("ISO793W")


@given(CODES)
def test_a_code_is_read_as_it_was_made_in_either_case(code: Code) -> None:
    assert read(code.text) == code == read(f" {code.text.lower()}\n")


@given(CODES, st.data())
def test_one_wrong_sign_never_passes(code: Code, data: st.DataObject) -> None:
    text = code.text
    at = data.draw(st.integers(0, len(text) - 1))
    other = data.draw(st.sampled_from([sign for sign in SIGNS if sign != text[at]]))
    assert not checks(text[:at] + other + text[at + 1 :])


@given(CODES, st.data())
def test_one_wrong_sign_is_refused_or_read_as_meant_never_as_another(code: Code, data: st.DataObject) -> None:
    """A keyboard's own mistake, as A for Q, is mended; over a million wrong codes none was another of the file."""
    text = code.text
    at = data.draw(st.integers(0, len(text) - 1))
    other = data.draw(st.sampled_from([sign for sign in SIGNS if sign != text[at]]))
    with contextlib.suppress(WrongCode):
        found = read(text[:at] + other + text[at + 1 :])
        assert found is None or found == code or found.mark != code.mark


@given(CODES, st.data())
def test_two_signs_that_changed_places_never_pass(code: Code, data: st.DataObject) -> None:
    text = code.text
    at = data.draw(st.integers(0, len(text) - 2))
    if text[at] != text[at + 1]:
        assert not checks(text[:at] + text[at + 1] + text[at] + text[at + 2 :])


def test_a_changed_number_is_refused_in_words() -> None:
    text = Code(Names.BALL, "7K2M", 123).text
    with pytest.raises(WrongCode, match="misread or changed"):
        read(text.replace("123", "128"))


@pytest.mark.parametrize(
    "other", ["", "7K20977", "4006381333931", "PB", "PBX7K2M12AA", "http://padbook", "PBÜ", "PB B"]
)
def test_what_is_no_code_of_ours_is_left_alone(other: str) -> None:
    assert read(other) is None


ROWS = {
    "de": ("1234567890", "qwertzuiopasdfghjklyxcvbnm", "QWERTZUIOPASDFGHJKLYXCVBNM"),
    "fr": ("&é\"'(-è_çà", "azertyuiopqsdfghjklwxcvbn,", "AZERTYUIOPQSDFGHJKLWXCVBN?"),
    "be": ("&é\"'(§è!çà", "azertyuiopqsdfghjklwxcvbn,", "AZERTYUIOPQSDFGHJKLWXCVBN?"),
    "cz": ("+ěščřžýáíé", "qwertzuiopasdfghjklyxcvbnm", "QWERTZUIOPASDFGHJKLYXCVBNM"),
}
"""The keys of the digits and of the letters, row by row, without and with Shift, as the X keyboard tables have them."""
AMERICAN = ("1234567890", "qwertyuiopasdfghjklzxcvbnm", "QWERTYUIOPASDFGHJKLZXCVBNM")


@given(CODES, st.sampled_from(sorted(ROWS)), st.booleans())
def test_a_scanner_set_to_another_keyboard_than_the_machine_is_read(code: Code, machine: str, small: bool) -> None:
    table = str.maketrans("".join(AMERICAN), "".join(ROWS[machine]))
    sent = code.text.lower() if small else code.text
    typed = sent.translate(table)
    assume(typed == sent or not typed.isalnum() or not typed.isascii() or not checks(typed.upper()))  # one in 1271
    assert read(typed) == code


def test_digits_of_other_scripts_are_no_code_of_ours() -> None:
    assert read("PBB7K2M١٢AA") is None

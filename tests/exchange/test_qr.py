"""QR symbols as an independent decoder (zxing-cpp) reads them, and as ISO/IEC 18004 asks for them."""

from __future__ import annotations

import numpy as np
import pytest
import zxingcpp

from arsenal.exchange import qr
from arsenal.trade.code import Code, Names
from arsenal.trade.errors import KnownError

NUMBERS = (1, 42, 1243, 999_999_999)


def picture(modules: qr.Modules, scale: int = 4) -> np.ndarray:
    dark = np.kron(np.array(modules, dtype=np.uint8), np.ones((scale, scale), dtype=np.uint8))
    return (255 * (1 - dark)).astype(np.uint8)


@pytest.mark.parametrize("names", list(Names))
@pytest.mark.parametrize("number", NUMBERS)
def test_another_decoder_reads_every_code_back(names: Names, number: int) -> None:
    text = Code(names, "7K2M", number).text
    found = zxingcpp.read_barcodes(picture(qr.modules(text)))
    assert [each.text for each in found] == [text]
    assert found[0].format == zxingcpp.BarcodeFormat.QRCode


def test_the_quiet_zone_is_four_modules_and_the_symbol_the_smallest_there_is() -> None:
    """ISO/IEC 18004: a version 1 symbol has 21 modules a side, the quiet zone is 4 modules wide; from memory."""
    rows = np.array(qr.modules(Code(Names.BALL, "7K2M", 999_999_999).text))
    assert rows.shape == (29, 29)
    for edge in (rows[:4], rows[-4:], rows[:, :4], rows[:, -4:]):
        assert not edge.any()
    assert rows[4, 4:11].all()


def test_a_symbol_with_a_torn_corner_is_still_read() -> None:
    """Level M holds where about 15 % of the codewords are lost (ISO/IEC 18004, from memory); this takes out fewer."""
    text = Code(Names.TICKET, "7K2M", 1243).text
    shown = picture(qr.modules(text), 8)
    shown[23 * 8 : 25 * 8, 20 * 8 : 25 * 8] = 255
    assert [each.text for each in zxingcpp.read_barcodes(shown)] == [text]


@pytest.mark.parametrize("text", ["", "A" * 500, "é" * 201])
def test_what_is_no_code_is_refused_in_words(text: str) -> None:
    with pytest.raises(KnownError, match="signs"):
        qr.modules(text)

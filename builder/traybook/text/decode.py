"""Bytes of a file into text, whatever editor wrote them."""

from __future__ import annotations

from dataclasses import dataclass

_BOMS = (
    (b"\xef\xbb\xbf", "utf-8"),
    (b"\xff\xfe", "utf-16-le"),
    (b"\xfe\xff", "utf-16-be"),
)


@dataclass(frozen=True, slots=True)
class Decoded:
    """`text` without a byte-order mark; `odd` says what was strange; `binary` that it is no text.

    `coding` names how its characters were written, after a mark of `mark` bytes.
    """

    text: str
    odd: str = ""
    binary: bool = False
    coding: str = "utf-8"
    mark: int = 0


def decode(data: bytes) -> Decoded:
    """UTF-8, else UTF-16 with its mark, else the old Windows letters; zero bytes are taken out."""
    for mark, name in _BOMS:
        if data.startswith(mark):
            text = data[len(mark) :].decode(name, "replace")
            odd = "" if "\ufffd" not in text else "some characters can't be read"
            return Decoded(text, odd, coding=name, mark=len(mark))
    if _binary(data):
        return Decoded("", "this is no text", True)
    odd = ""
    if b"\0" in data:
        data, odd = data.replace(b"\0", b""), "zero bytes stood in it, as after a broken sync"
    try:
        return Decoded(data.decode("utf-8"), odd)
    except UnicodeDecodeError:
        return Decoded(
            data.decode("cp1252", "replace"),
            "it isn't UTF-8; old Windows letters are assumed",
            coding="cp1252",
        )


def _binary(data: bytes) -> bool:
    """More than a tenth control characters, zero bytes at the end apart, is no text."""
    body = data.rstrip(b"\0")
    if not body:
        return bool(data)
    control = sum(1 for b in body[:20000] if b < 32 and b not in b"\t\n\r\f")
    return control * 10 > len(body[:20000])

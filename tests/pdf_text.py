"""A small reader of a PDF's page: ToUnicode tables and strings (ISO 32000-1)."""

import re
import zlib


def _streams(pdf: bytes) -> dict[bytes, bytes]:
    found = {}
    pattern = rb"(\d+) 0 obj\n<<.*?>>\nstream\n(.*?)\nendstream"
    for match in re.finditer(pattern, pdf, re.DOTALL):
        try:
            found[match[1]] = zlib.decompress(match[2])
        except zlib.error:
            found[match[1]] = match[2]
    return found


def _letters(table: bytes) -> dict[int, str]:
    """Glyph number to text, from a ToUnicode table."""

    def text(digits: bytes) -> str:
        return bytes.fromhex(digits.decode()).decode("utf-16-be")

    found = {}
    for block in re.findall(rb"beginbfchar(.*?)endbfchar", table, re.DOTALL):
        for code, shown in re.findall(rb"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>", block):
            found[int(code, 16)] = text(shown)
    for block in re.findall(rb"beginbfrange(.*?)endbfrange", table, re.DOTALL):
        for low, high, shown in re.findall(
            rb"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>", block
        ):
            for step in range(int(high, 16) - int(low, 16) + 1):
                first = text(shown)
                found[int(low, 16) + step] = first[:-1] + chr(ord(first[-1]) + step)
    return found


def _unescaped(raw: bytes) -> bytes:
    plain = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}

    def one(match: re.Match[bytes]) -> bytes:
        told = match[1]
        if told[:1].isdigit():
            return bytes([int(told, 8)])
        return plain.get(told, told)

    return re.sub(rb"\\([0-7]{1,3}|.)", one, raw, flags=re.DOTALL)


ONE_DEEP = rb"\\.|[^\\()]"
TWO_DEEP = rb"(?:" + ONE_DEEP + rb"|\((?:" + ONE_DEEP + rb")*\))*"  # (a(b)c)
STRINGS = rb"/(\w+) [\d.]+ Tf|\((" + TWO_DEEP + rb")\)|<([0-9A-Fa-f]+)>"


def text_of(pdf: bytes) -> str:
    """All text of the page in its order, without spaces."""
    streams = _streams(pdf)
    fonts = {}
    for name, number in re.findall(rb"/(f\d+) (\d+) 0 R", pdf):
        object_ = re.search(rb"\n" + number + rb" 0 obj\n(.*?)\nendobj", pdf, re.DOTALL)
        assert object_ is not None
        table = re.search(rb"/ToUnicode (\d+) 0 R", object_[1])
        if table is not None:
            fonts[name] = _letters(streams[table[1]])
    page = re.search(rb"/Type/Page/.*?/Contents (\d+) 0 R", pdf, re.DOTALL)
    assert page is not None
    shown, letters = "", next(iter(fonts.values()))
    drawn = re.sub(rb"/\w+<<.*?>>\s*BDC", b"", streams[page[1]], flags=re.DOTALL)
    for font, literal, digits in re.findall(STRINGS, drawn, re.DOTALL):
        if font:
            letters = fonts.get(font, letters)
            continue
        raw = bytes.fromhex(digits.decode()) if digits else _unescaped(literal)
        codes = zip(raw[::2], raw[1::2], strict=False)
        shown += "".join(letters.get(a << 8 | b, "") for a, b in codes)
    return re.sub(r"[\s\u200b]", "", shown)

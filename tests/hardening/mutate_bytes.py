"""Damage to a file of any kind, byte by byte and line by line."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

TOKENS = (
    b"\x00", b"\xef\xbb\xbf", b"\xff\xfe", b"\xc3", b"\xed\xa0\x80", b"\r", b"\r\n", b"\t", b"\x0b",
    b"\x1b[2J", b"\xe2\x80\xae", b"\xe2\x80\xa8", b"\xc2\x85", b"\xc2\xa0", b"&a ", b"*a",
    b"<<: *a", b"!!python/object/apply:os.system ['true']", b"!!binary ", b"! ", b"? ",
    b"- - - - - - ", b"---\n", b"...\n", b"%YAML 9.9\n", b"|\n", b">-\n", b"[" * 60, b"{" * 60,
    b"{a: [" * 20, b'"', b"'", b"#", b": ", b"\\", b'"\\UFFFFFFFF"', b'"\\ud800"', b".inf",
    b".nan", b"~", b"null", b"true", b"1e400", b"-0", b"0x7fffffffffffffff", b"9" * 400, b"1_000",
    b"0o17", b"1:30", b"2001-01-01", b"@", b"`", b"=1+1", b"e" * 3000, b"1 mm", b"1 m^9",
    b"1e308 km", b"1e-320 mm", b"-1 in", b"1 1/3 in", b"..", b"../", b"/dev/zero", b"C:\\x",
    b"base.yaml", b"\xf0\x9f\x94\xa7", b"a\xcc\x81" * 50,
)  # fmt: skip
"""Text that trips readers of YAML, numbers, tables and names."""


def mutate_bytes(random: Random, raw: bytes, other: bytes) -> bytes:
    """A file with one to four kinds of damage; ``other`` lends parts."""
    for _ in range(random.choice((1, 1, 1, 2, 2, 4))):
        raw = random.choice(DAMAGE)(random, raw, other)
    return raw


def _span(random: Random, raw: bytes) -> tuple[int, int]:
    start = random.randrange(len(raw) + 1)
    longest = random.choice((1, 4, 40, 400, len(raw) + 1))
    return start, min(len(raw), start + random.randrange(1, longest + 1))


def _flip(random: Random, raw: bytes, other: bytes) -> bytes:
    out = bytearray(raw)
    for _ in range(random.choice((1, 1, 3, 20)) if out else 0):
        out[random.randrange(len(out))] ^= 1 << random.randrange(8)
    return bytes(out)


def _set(random: Random, raw: bytes, other: bytes) -> bytes:
    start, end = _span(random, raw)
    return raw[:start] + bytes([random.choice((0, 255, 32, 10, 128))]) * (end - start) + raw[end:]


def _drop(random: Random, raw: bytes, other: bytes) -> bytes:
    start, end = _span(random, raw)
    return raw[:start] + raw[end:]


def _again(random: Random, raw: bytes, other: bytes) -> bytes:
    start, end = _span(random, raw)
    return raw[:end] + raw[start:end] * random.choice((1, 2, 50)) + raw[end:]


def _insert(random: Random, raw: bytes, other: bytes) -> bytes:
    place = random.randrange(len(raw) + 1)
    return raw[:place] + random.choice(TOKENS) + raw[place:]


def _cut(random: Random, raw: bytes, other: bytes) -> bytes:
    return raw[: random.randrange(len(raw) + 1)]


def _graft(random: Random, raw: bytes, other: bytes) -> bytes:
    start, end = _span(random, other)
    place = random.randrange(len(raw) + 1)
    return raw[:place] + other[start:end] + raw[place:]


def _lines(random: Random, raw: bytes, other: bytes) -> bytes:
    """Lines taken out, doubled, exchanged, indented otherwise or lent by another file."""
    lines, lent = raw.split(b"\n"), other.split(b"\n")
    i, j = random.randrange(len(lines)), random.randrange(len(lines))
    deed = random.randrange(5)
    if deed == 0:
        lines[i], lines[j] = lines[j], lines[i]
    elif deed == 1:
        del lines[min(i, j) : max(i, j)][: random.choice((1, 2, 10))]
    elif deed == 2:
        lines[i:i] = lines[j : j + random.choice((1, 3, 10))] * random.choice((1, 1, 30))
    elif deed == 3:
        lines[i] = b" " * random.randrange(9) + lines[i].strip()
    else:
        k = random.randrange(len(lent))
        lines[i:i] = lent[k : k + random.choice((1, 3, 10))]
    return b"\n".join(lines)


DAMAGE: tuple[Callable[[Random, bytes, bytes], bytes], ...] = (
    _flip, _set, _drop, _again, _insert, _insert, _cut, _graft, _lines, _lines,
)  # fmt: skip

"""What can go wrong with the bytes of a file: damage, encodings, separators, quotes and line ends."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from random import Random


def flip_bytes(random: Random, data: bytes) -> bytes:
    changed = bytearray(data)
    for _ in range(random.choice((1, 1, 2, 8, 64))):
        if changed:
            changed[random.randrange(len(changed))] = random.randrange(256)
    return bytes(changed)


def odd_bytes(random: Random, data: bytes) -> bytes:
    at = random.choice((0, random.randrange(len(data) + 1), len(data)))
    odd = random.choice(
        (b"\0", b"\xff\xfe", b"\xef\xbb\xbf", b"\xc3", b"\x80", b"\x1a", b'"', b'""', b"\r", b"\n\n", b",", b"PK\x03\x04")
    )
    return data[:at] + odd * random.choice((1, 1, 3, 5000)) + data[at:]


def cut(random: Random, data: bytes) -> bytes:
    at = random.randrange(len(data) + 1)
    return random.choice((data[:at], data[at:], data[:at] + data[at + random.randrange(1, 200) :], b""))


def repeat(random: Random, data: bytes) -> bytes:
    at, end = sorted(random.randrange(len(data) + 1) for _ in range(2))
    return data[:end] + data[at:end] + data[end:]


def other_encoding(random: Random, data: bytes) -> bytes:
    codec = random.choice(
        ("utf-16", "utf-16-le", "utf-16-be", "utf-32", "utf-7", "cp037", "cp1252", "latin-1", "utf-8-sig", "shift_jis")
    )
    return data.decode("utf-8", "replace").replace("soap", "Öl µ").encode(codec, "replace")


def mixed_encodings(random: Random, data: bytes) -> bytes:
    at = random.randrange(len(data) + 1)
    text = data[at:].decode("utf-8", "replace").replace("e", "é")
    return data[:at] + text.encode(random.choice(("cp1252", "utf-16-le", "utf-8", "mac-roman")), "replace")


def _other_delimiter(random: Random, data: bytes) -> bytes:
    old, new = random.choice((b",", b";", b"\t")), random.choice((b",", b";", b"\t", b"|", b" ", b",,", b""))
    lines = data.split(b"\r\n")
    some = random.random() < 0.5
    changed = (line.replace(old, new) if not some or random.random() < 0.5 else line for line in lines)
    return random.choice((b"", b"", b"sep=;\r\n", b"sep=|\r\n", b'"sep=,"\n')) + b"\r\n".join(changed)


def _decimal_commas(random: Random, data: bytes) -> bytes:
    return re.sub(rb"(\d)\.(\d)", rb"\1,\2", data)


def _broken_quotes(random: Random, data: bytes) -> bytes:
    lines = data.split(b"\r\n")
    at = random.randrange(len(lines))
    lines[at] = random.choice(
        (b'"' + lines[at], lines[at] + b'"', lines[at].replace(b",", b'","', 1), lines[at].replace(b'"', b""))
    )
    return b"\r\n".join(lines)


def _other_line_ends(random: Random, data: bytes) -> bytes:
    ends = (b"\n", b"\r", b"\r\n", b"\n\r", b"\r\n\r\n", "\u2028".encode(), b"")
    end = random.choice(ends)
    return b"".join(line + (end if random.random() < 0.9 else random.choice(ends)) for line in data.split(b"\r\n"))


def _shuffled_lines(random: Random, data: bytes) -> bytes:
    lines = data.split(b"\r\n")
    random.shuffle(lines)
    return b"\r\n".join(lines)


FILE_CHANGES: Sequence[Callable[[Random, bytes], bytes]] = (
    flip_bytes, flip_bytes, odd_bytes, odd_bytes, cut, repeat, other_encoding, mixed_encodings, _other_delimiter,
    _decimal_commas, _broken_quotes, _broken_quotes, _other_line_ends, _shuffled_lines,
)  # fmt: skip

"""Ways in which files go wrong: cut, torn, doubled, re-encoded, edited by hand, spoiled."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

Mutation = Callable[[Random, bytes], bytes]

_ODD = (
    *(b"", b"-5", b"0", b"1e400", b"nan", b"Infinity", b"999999999999999999999", b"5,6", b"<1.1"),
    *(b"25:61", b"2026-02-30", b"31/31/2026", b"01/02/03", b"12/13/2026", b"0000-00-00"),
    *(b"\xef\xbb\xbf", b"\xff\xfe", b"\x00", b"\x1b[2J", b"\xc3(", b"\xe2\x80\xae", b'"', b"'"),
    *("٥٫٦".encode(), "½".encode(), "1\u00a0234".encode(), b"=1+1", b"LO", b"HI", b"mg/dL"),
    *(b"\r", b"\n", b"\r\n", b"\x85", b"\x0b", b",", b";", b"\t", b"|", b",,,,,,,,", b"9" * 5000),
)
_ENCODINGS = ("utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252", "cp037", "shift_jis", "utf-7")


def mutated(chance: Random, data: bytes) -> bytes:
    """A file with one to four things wrong with it."""
    for _ in range(chance.randint(1, 4)):
        data = chance.choice(_MUTATIONS)(chance, data)
    return data[:400_000]


def _flip_bits(chance: Random, data: bytes) -> bytes:
    spoiled = bytearray(data)
    for _ in range(chance.choice((1, 3, 40))):
        if spoiled:
            spoiled[chance.randrange(len(spoiled))] ^= 1 << chance.randrange(8)
    return bytes(spoiled)


def _cut(chance: Random, data: bytes) -> bytes:
    first, last = sorted((chance.randint(0, len(data)), chance.randint(0, len(data))))
    return chance.choice((data[:last], data[first:], data[:first] + data[last:]))


def _insert(chance: Random, data: bytes) -> bytes:
    at = chance.randint(0, len(data))
    return data[:at] + chance.choice(_ODD) + data[at:]


def _replace_field(chance: Random, data: bytes) -> bytes:
    lines = data.split(b"\n")
    place = chance.randrange(len(lines))
    sign = next((s for s in (b";", b"\t", b"|", b",") if s in lines[place]), b",")
    fields = lines[place].split(sign)
    fields[chance.randrange(len(fields))] = chance.choice(_ODD)
    lines[place] = sign.join(fields)
    return b"\n".join(lines)


def _shuffle_lines(chance: Random, data: bytes) -> bytes:
    lines = data.split(b"\n")
    first = chance.randrange(len(lines))
    some = lines[first : first + 20]
    chance.shuffle(some)
    return b"\n".join([*lines[:first], *some, *lines[first + 20 :]])


def _double_lines(chance: Random, data: bytes) -> bytes:
    lines = data.split(b"\n")
    place = chance.randrange(len(lines))
    return b"\n".join([*lines[:place], *lines[place : place + 1] * chance.choice((2, 3, 500)),
                       *lines[place + 1 :]])  # fmt: skip


def _drop_lines(chance: Random, data: bytes) -> bytes:
    lines = data.split(b"\n")
    return b"\n".join(line for line in lines if chance.random() > 0.3)


def _other_sign(chance: Random, data: bytes) -> bytes:
    signs = (b",", b";", b"\t", b"|", b" ", b":", b".", b"-", b"/")
    return data.replace(chance.choice(signs), chance.choice(signs))


def _other_ends(chance: Random, data: bytes) -> bytes:
    end = chance.choice((b"\r", b"\r\n", b"\n\n", b""))
    return data.replace(b"\r\n", b"\n").replace(b"\n", end)


def _encode(chance: Random, data: bytes) -> bytes:
    return data.decode("utf-8", "replace").encode(chance.choice(_ENCODINGS), "replace")


def _quote(chance: Random, data: bytes) -> bytes:
    lines = data.split(b"\n")
    for _ in range(chance.choice((1, 5))):
        place = chance.randrange(len(lines))
        at = chance.randint(0, len(lines[place]))
        lines[place] = lines[place][:at] + b'"' + lines[place][at:]
    return b"\n".join(lines)


def _other_unit(chance: Random, data: bytes) -> bytes:
    """Ten times or eighteen times some values, as of a unit that changed on the way."""
    lines = data.split(b"\n")
    start = chance.randrange(len(lines))
    for place in range(start, min(start + 30, len(lines))):
        for value in (b"5.", b"6.", b"7.", b"8."):
            lines[place] = lines[place].replace(value, value[:1] * 3)
    return b"\n".join(lines)


def _splice(chance: Random, data: bytes) -> bytes:
    return data + data[chance.randint(0, len(data)) :]


def _noise(chance: Random, data: bytes) -> bytes:
    at = chance.randint(0, len(data))
    return data[:at] + chance.randbytes(chance.choice((1, 100, 5000))) + data[at:]


def _widen(chance: Random, data: bytes) -> bytes:
    at = chance.randint(0, len(data))
    return data[:at] + chance.choice((b",", b"a", b'"', b"\n", b"1")) * 60_000 + data[at:]


_MUTATIONS: tuple[Mutation, ...] = (
    *(_flip_bits, _cut, _insert, _insert, _replace_field, _replace_field, _shuffle_lines),
    *(_double_lines, _drop_lines, _other_sign, _other_ends, _encode, _quote, _other_unit),
    *(_splice, _noise, _widen),
)

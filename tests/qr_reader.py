"""Reads a QR code of versions 1 to 6 and level M from its modules, as ISO/IEC 18004 describes it.

The placement of functions and data, the masks and the tables are from memory
(M). The remainders of every block are checked, so that a wrong table or a wrong
module shows.
"""

import numpy as np

#: Blocks, data codewords of a block and check codewords of a block, by version, for level M.
BLOCKS = {1: (1, 16, 10), 2: (1, 28, 16), 3: (1, 44, 26), 4: (2, 32, 18), 5: (2, 43, 24),
          6: (4, 27, 16)}  # fmt: skip

MASKS = (
    lambda i, j: (i + j) % 2,
    lambda i, j: i % 2,
    lambda i, j: j % 3,
    lambda i, j: (i + j) % 3,
    lambda i, j: (i // 2 + j // 3) % 2,
    lambda i, j: i * j % 2 + i * j % 3,
    lambda i, j: (i * j % 2 + i * j % 3) % 2,
    lambda i, j: ((i + j) % 2 + i * j % 3) % 2,
)


def modules_of(grey):
    """The modules of a picture that shows one code and nothing else; True is black."""
    dark = grey < 128
    rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
    dark = dark[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    finder = int(np.flatnonzero(~dark[1])[0])  # the side of a finder pattern: seven modules
    count = round(dark.shape[1] / (finder / 7))
    middles = ((np.arange(count) + 0.5) * dark.shape[1] / count).astype(int)
    return dark[np.ix_(middles, middles)]


def read(modules):
    """The text of a code."""
    size = len(modules)
    version = (size - 17) // 4
    assert version in BLOCKS
    form = [modules[8, j] for j in (0, 1, 2, 3, 4, 5, 7, 8)]
    value = int("".join(str(int(bit)) for bit in form[:5]), 2) ^ 0b10101
    assert value >> 3 == 0, "level M"
    bits = [bool(modules[i, j]) ^ (MASKS[value & 7](i, j) == 0) for i, j in places(size, version)]
    words = [int("".join(str(int(bit)) for bit in bits[n : n + 8]), 2)
             for n in range(0, len(bits) - 7, 8)]  # fmt: skip
    return text_of(data_of(words, version))


def places(size, version):
    """Modules that hold data, in their order: two columns at a time, up and down by turns."""
    kept = np.zeros((size, size), dtype=bool)
    kept[:9, :9] = kept[:9, -8:] = kept[-8:, :9] = True
    kept[6, :] = kept[:, 6] = True
    if version > 1:
        kept[size - 9 : size - 4, size - 9 : size - 4] = True
    upward = True
    for right in [*range(size - 1, 6, -2), *range(5, 0, -2)]:
        for i in range(size - 1, -1, -1) if upward else range(size):
            yield from ((i, j) for j in (right, right - 1) if not kept[i, j])
        upward = not upward


def data_of(words, version):
    """Data codewords in order, from blocks whose remainders are nothing."""
    blocks, data, check = BLOCKS[version]
    assert len(words) == blocks * (data + check)
    parts = [words[n::blocks] for n in range(blocks)]
    for part in parts:
        assert not any(remainders(part, check))
    return [word for part in parts for word in part[:data]]


def remainders(words, check):
    """The values of a block as a polynomial at the powers of 2 in GF(256) over 0x11D."""
    for power in range(check):
        value = 0
        for word in words:
            for _ in range(power):
                value = value << 1 ^ (0x11D if value & 0x80 else 0)
            value ^= word
        yield value


def text_of(words):
    """The text of one segment of bytes."""
    bits = "".join(f"{word:08b}" for word in words)
    assert bits[:4] == "0100", "bytes"
    count = int(bits[4:12], 2)
    return bytes(int(bits[12 + 8 * n : 20 + 8 * n], 2) for n in range(count)).decode()

"""Random numbers for the compiled loops; the tests compare them with a plain version."""

import numpy as np
from numba import njit


@njit(cache=True, nogil=True, inline="always")
def draw(random, n):
    """Random whole number below ``n`` (xorshift64*, Vigna 2016)."""
    s = random[0]
    s ^= s >> np.uint64(12)
    s ^= s << np.uint64(25)
    s ^= s >> np.uint64(27)
    random[0] = s
    return np.int64(((s * np.uint64(2685821657736338717)) >> np.uint64(33)) % np.uint64(n))

"""Random numbers by counting: each activity has its own, and none depends on the others.

Number `k` of a stream is a hash of the stream's key and `k` alone, so samples may be drawn in any
order, by any number of threads, and adding an activity changes no other's numbers. The hash is
splitmix64 [1]_, whose output passes the usual batteries of tests [2]_; its upper half is used.

References
----------
.. [1] Steele, Lea, Flood (2014), "Fast splittable pseudorandom number generators", OOPSLA
   (constants from memory; tested against its published first outputs).
.. [2] Salmon, Moraes, Dror, Shaw (2011), "Parallel random numbers: as easy as 1, 2, 3", SC11
   (from memory): why counting.
"""

from __future__ import annotations

import hashlib
from typing import Final

import numpy as np
import numpy.typing as npt

GOLDEN: Final = 0x9E3779B97F4A7C15
MIX_1: Final = 0xBF58476D1CE4E5B9
MIX_2: Final = 0x94D049BB133111EB


def key(seed: int, name: str) -> int:
    """Return the 64-bit key of a named stream.

    >>> key(2027, "A100") == key(2027, "A100"), key(2027, "A100") == key(2028, "A100")
    (True, False)
    """
    digest = hashlib.blake2b(f"{seed}:{name}".encode(), digest_size=8).digest()
    return int.from_bytes(digest, "little")


def numbers(key: int, first: int, last: int) -> npt.NDArray[np.uint64]:
    """Return the 64-bit numbers `first` to `last` (exclusive) of a stream.

    >>> [hex(n) for n in numbers(0, 0, 2).tolist()]
    ['0xe220a8397b1dcdaf', '0x6e789e6aa1b965f4']
    """
    count = np.arange(first + 1, last + 1, dtype=np.uint64)
    x = np.uint64(key) + count * np.uint64(GOLDEN)
    x = (x ^ (x >> np.uint64(30))) * np.uint64(MIX_1)
    x = (x ^ (x >> np.uint64(27))) * np.uint64(MIX_2)
    return x ^ (x >> np.uint64(31))

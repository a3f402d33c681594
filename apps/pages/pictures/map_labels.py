"""Where the numbers of a column go, so that none lies on another."""

from __future__ import annotations

from collections.abc import Sequence


def column_places(
    wished: Sequence[float], first: float, last: float, apart: float
) -> tuple[float, ...]:
    """Places in a column, each as near to the wished one as its neighbours allow.

    Parameters
    ----------
    wished : sequence of float, shape (n,)
        Where each would best be, in any order.
    first, last : float
        Ends of the column.
    apart : float
        Least distance of two; less where the column is too short for all of them.

    Returns
    -------
    tuple of float, shape (n,)
        In the order of `wished`.
    """
    count = len(wished)
    step = min(apart, (last - first) / max(1, count - 1))
    order = sorted(range(count), key=wished.__getitem__)
    found = [0.0] * count
    free = first
    for number in order:
        free = found[number] = max(wished[number], free)
        free += step
    # Those pushed past the end come back, and push those before them.
    free = last
    for number in reversed(order):
        free = found[number] = min(found[number], free)
        free -= step
    return tuple(found)

"""Which of many waiting things comes next: binary heaps for the compiled kernels, smallest key first.

The standard library's heap knows only lists of objects, which a compiled kernel cannot hold.

Two forms: ``push`` and ``pop`` order numbers of cells whose keys stand elsewhere; ``put`` and ``take`` carry key and
thing side by side, so that one thing may wait several times under different keys.

Source: J. W. J. Williams, algorithm 232, Communications of the ACM 7 (1964) (from memory).
"""

from numba import njit


@njit(nogil=True)
def push(heap, keys, n, cell):  # type: ignore[no-untyped-def]
    """Add ``cell`` to the ``n`` that wait in ``heap``, ordered by ``keys`` of the cells; returns the new count."""
    i = n
    heap[i] = cell
    while i > 0:
        up = (i - 1) // 2
        if keys[heap[up]] <= keys[heap[i]]:
            break
        heap[up], heap[i] = heap[i], heap[up]
        i = up
    return n + 1


@njit(nogil=True)
def pop(heap, keys, n):  # type: ignore[no-untyped-def]
    """Take the cell with the smallest key; returns it and the new count."""
    first = heap[0]
    n -= 1
    heap[0] = heap[n]
    i = 0
    while True:
        kid = 2 * i + 1
        if kid >= n:
            break
        if kid + 1 < n and keys[heap[kid + 1]] < keys[heap[kid]]:
            kid += 1
        if keys[heap[i]] <= keys[heap[kid]]:
            break
        heap[kid], heap[i] = heap[i], heap[kid]
        i = kid
    return first, n


@njit(nogil=True)
def put(keys, items, n, key, item):  # type: ignore[no-untyped-def]
    """Add ``item`` under ``key`` to the ``n`` that wait; returns the new count."""
    i = n
    while i > 0:
        up = (i - 1) >> 1
        if keys[up] <= key:
            break
        keys[i], items[i] = keys[up], items[up]
        i = up
    keys[i], items[i] = key, item
    return n + 1


@njit(nogil=True)
def take(keys, items, n):  # type: ignore[no-untyped-def]
    """Take the item with the smallest key; returns key, item and the new count."""
    key, item = keys[0], items[0]
    n -= 1
    if n > 0:
        last, thing = keys[n], items[n]
        i = 0
        while True:
            kid = 2 * i + 1
            if kid >= n:
                break
            if kid + 1 < n and keys[kid + 1] < keys[kid]:
                kid += 1
            if keys[kid] >= last:
                break
            keys[i], items[i] = keys[kid], items[kid]
            i = kid
        keys[i], items[i] = last, thing
    return key, item, n

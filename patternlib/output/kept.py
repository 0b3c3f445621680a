"""Keeping drawings of what has not changed: a board redraws many times, most of it the same."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from functools import wraps
from typing import TypeVar

Made = TypeVar("Made")


def keep_results(count: int) -> Callable[[Callable[..., Made]], Callable[..., Made]]:
    """Keep the last `count` results of a pure function.

    Its first argument does not change but cannot be hashed, or not quickly, so it is known by being the very
    same object, which is held as long as its result; the others are compared. What comes back must not be
    changed.

    >>> @keep_results(2)
    ... def count_of(things, *, times):
    ...     return [len(things) * times]
    >>> some = (1, 2, {})
    >>> count_of(some, times=2) is count_of(some, times=2), count_of((1, {}), times=2)
    (True, [4])
    """

    def keeping(make: Callable[..., Made]) -> Callable[..., Made]:
        store: OrderedDict[tuple, tuple[object, Made]] = OrderedDict()

        @wraps(make)
        def give(thing, /, *more, **named):
            key = (id(thing), more, tuple(named.items()))
            found = store.get(key)
            if found is None:
                found = store[key] = (thing, make(thing, *more, **named))
                while len(store) > count:
                    store.popitem(last=False)
            else:
                store.move_to_end(key)
            return found[1]

        give.forget = store.clear  # type: ignore[attr-defined]
        return give

    return keeping

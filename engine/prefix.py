"""A growing sequence of which every earlier state stays valid and costs nothing to keep."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Generic, TypeVar, overload

T = TypeVar("T")


class Prefix(Sequence[T], Generic[T]):
    """The first `length` items of a list that others may share and only ever append to."""

    __slots__ = ("_items", "_length")

    def __init__(self, items: Iterable[T] = ()) -> None:
        self._items = list(items)
        self._length = len(self._items)

    def plus(self, item: T) -> Prefix[T]:
        """This sequence and `item`; copies only where another branch was appended before."""
        grown: Prefix[T] = Prefix.__new__(Prefix)
        shared = self._items if len(self._items) == self._length else self._items[: self._length]
        shared.append(item)
        grown._items, grown._length = shared, self._length + 1
        return grown

    def placed(self, item: T, key: Callable[[T], float]) -> Prefix[T]:
        """With `item` after every item whose key is not larger; the keys being in order."""
        place = self._length
        while place and key(self._items[place - 1]) > key(item):
            place -= 1
        if place == self._length:
            return self.plus(item)
        return Prefix([*self._items[:place], item, *self._items[place : self._length]])

    def __len__(self) -> int:
        return self._length

    @overload
    def __getitem__(self, index: int) -> T: ...
    @overload
    def __getitem__(self, index: slice) -> list[T]: ...
    def __getitem__(self, index: int | slice) -> T | list[T]:
        if isinstance(index, slice):
            return [self._items[i] for i in range(*index.indices(self._length))]
        if not -self._length <= index < self._length:
            raise IndexError(index)
        return self._items[index if index >= 0 else self._length + index]

    def __iter__(self) -> Iterator[T]:
        for index in range(self._length):
            yield self._items[index]

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Prefix):
            if self._length != other._length:
                return False
            if self._items is other._items:
                return True
            same = list(self) == list(other)
            if same:
                # What is derived of a session is looked up among equal ones: found equal once,
                # they are not gone through again.
                self._items = other._items
            return same
        return isinstance(other, Sequence) and list(self) == list(other)

    def __hash__(self) -> int:
        return hash(self._length)

    def __repr__(self) -> str:
        return f"Prefix({list(self)!r})"

"""A test that was closed, and corrected after that: which revision it is, and what of the earlier
ones there is."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from engine.present.moments import day_and_time
from engine.session import Session


def revisions(session: Session, kept: Collection[int] | None) -> Iterator[str]:
    """That there are earlier revisions, and a line on each; nothing where there are none.

    `kept` are the numbers of records of those that the store still holds as they were closed; None
    where that cannot be told.
    """
    amended = session.closing.amended
    if not amended:
        return
    times = "once" if len(amended) == 1 else f"{len(amended)} times"
    yield f"Revision {len(amended) + 1}: this test was closed {times} before, and taken up again."
    for number, again in enumerate(amended, 1):
        at = session.records[again.seq - 1].at
        there = "" if kept is None else _THERE[again.seq - 1 in kept]
        yield (
            f"Revision {number} held {again.seq - 1} records{there}; taken up again "
            f"{day_and_time(at)} by record {again.seq}: {again.text}"
        )


_THERE = {
    True: ", and is kept",
    False: " (its own file is not here as it was closed; its records are)",
}

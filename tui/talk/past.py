"""Conversations about a test that is over: its paper, and taking it up again."""

from __future__ import annotations

from collections.abc import Callable, Generator
from typing import TYPE_CHECKING

from engine.trouble import Trouble
from tui.talk.asking import Ask, Pick

if TYPE_CHECKING:
    from tui.bench import Bench
    from tui.course import Course


def paper(bench: Bench, session: str) -> Generator[Ask, str, str]:
    """Where the certificate is to go; gives the line that says what was written."""
    path, refusal = f"{session}.pdf", ""
    while True:
        path = yield Ask("Certificate to file (.pdf or .txt)", None, path, refusal, prose=True)
        try:
            return bench.hand_out(session, path.strip())
        except Trouble as trouble:
            refusal = str(trouble)


def paper_told(
    bench: Bench, session: str, tell: Callable[[str], None]
) -> Generator[Ask, str, None]:
    """As `paper`, where the screen is told what was written."""
    tell((yield from paper(bench, session)))


def take_up(bench: Bench, session: str) -> Generator[Ask | Pick, str, Course]:
    """Asked twice, for the paper written before no longer tells all."""
    sure = yield Pick("Take up a closed test again? Its paper is kept as a revision",
                      (("y", "yes"), ("n", "no")))  # fmt: skip
    if sure != "y":
        raise Trouble("left as it is")
    reason, refusal = "", ""
    while True:
        reason = yield Ask("Why is it taken up again", None, reason, refusal, prose=True)
        try:
            return bench.amend(session, reason)
        except Trouble as trouble:
            refusal = str(trouble)

"""Everything that is handed out of a session: certificate, plot, readings, the session itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from store import journal, outgoing, sealed

if TYPE_CHECKING:
    from engine.certificate import Certificate, Plot
    from engine.session import Session
    from store.shelf import Shelf

# What draws and typesets is imported where it is used: the first frame and the lists wait for none
# of it.


class Papers:
    """Papers and data as bytes, and the way they are written.  Raises Fault."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf

    def pdf(self, certificate: Certificate, size: str | None = None) -> bytes:
        """Typeset; `size` is `letter` or `a4`, else as the units have it."""
        from store import paper

        chosen = paper.SIZES[size] if size else None
        return paper.pdf(certificate, chosen)

    def svg(self, plot: Plot) -> bytes:
        from store.plot import plot_svg

        return plot_svg(plot).encode()

    def csv(self, identity: str, session: Session) -> bytes:
        from store.sheet import readings_csv

        return readings_csv(identity, session)

    def json(self, identity: str) -> bytes:
        """The whole session as one document, as a closed session stands in the store."""
        data = self._shelf.document(identity)
        if data.partition(b"\n")[0].endswith(b'"records":['):
            return data
        return sealed.pack(identity, journal.apart(data, identity).lines)

    def write(self, path: str, data: bytes) -> None:
        outgoing.hand_out(path, data)

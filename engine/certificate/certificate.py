"""Sessions to certificate: one for each specimen, with everything that was done to it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from engine.certificate import course, demand, evidence, proof, result, rig, subject
from engine.certificate.log import plot, readings_table
from engine.certificate.tree import Certificate, Tested
from engine.certificate.words import plain
from engine.judging.verdict import verdict
from engine.present import GENERAL_CAUTIONS, ended_as, revisions
from engine.session import Session


@dataclass(frozen=True)
class Attested:
    """A session as it is kept: its identity, and the digest of all its records."""

    identity: str
    digest: str
    session: Session
    closed: bool = True
    elsewhere: bool = False
    """It was read from a file of another store: nothing here vouches for it."""
    revisions: Collection[int] = ()
    """How many records each earlier closing of it held, where that is kept as it was closed."""


def certificate(
    tests: Sequence[Attested], others: Sequence[Attested] = (), unread: Sequence[str] = ()
) -> Certificate:
    """The certificate of the `tests`, in the order in which they were begun.

    `others` are the further sessions on the same marks, and `unread` the identities of those that
    could not be read: they are listed among the attempts.
    """
    assert tests, "a certificate is of one session or more"
    ordered = sorted(tests, key=lambda a: a.session.records[0].at)
    sessions = [a.session for a in ordered]
    first = sessions[0]
    words, stated = demand.authority(first.plan.procedure)
    every = [(a.identity, a.session) for a in (*ordered, *others)]
    return Certificate(
        title="External hydrostatic joint test",
        practice=proof.PRACTICE if any(s.checking.practice for s in sessions) else "",
        open="" if all(a.closed for a in ordered) else proof.NOT_CLOSED,
        system=first.plan.units,
        number=" + ".join(f"{a.identity}.{a.session.seq}.{a.digest[:8]}" for a in ordered),
        identities=tuple(a.identity for a in ordered),
        product=plain(first.plan.joint.name, 120),
        authority=words,
        authority_stated=stated,
        subject=subject.subject(sessions),
        attempts=course.attempts(every, unread, subject.specimen(first)),
        tests=tuple(_tested(a) for a in ordered),
        statements=proof.statements(sessions, [a.identity for a in ordered if a.elsewhere]),
        proof=proof.proof([(a.identity, a.session.seq, a.digest) for a in ordered]),
        cautions=GENERAL_CAUTIONS,
        dated=max(s.records[-1].at for s in sessions),
    )


def _tested(attested: Attested) -> Tested:
    session = attested.session
    said = verdict(session)
    earlier = revisions(session, None if attested.elsewhere else attested.revisions)
    return Tested(
        identity=attested.identity,
        alignment=demand.alignment(session),
        outcome=said.outcome,
        word=ended_as(session, said.outcome),
        claim=result.claim(session, said.outcome),
        when=subject.when(session),
        glance=result.glance(session),
        reasons=result.reasons(session, said),
        beside=(*(plain(each, 280) for each in earlier), *result.beside(session, said)),
        doubts=rig.doubts(session),
        rig_doubts=rig.rig_doubts(session),
        decision=result.decision(session),
        demand=demand.demand(session),
        result=result.result(session),
        gauge=rig.gauge(session),
        rig=rig.rig(session),
        checks=course.checks(session),
        openings=evidence.openings(session),
        temperatures=evidence.temperatures(session),
        readings=readings_table(session),
        looks=evidence.looks(session),
        sightings=evidence.sightings(session),
        course=course.course(session),
        top_ups=course.top_ups(session),
        struck=course.struck(session),
        notes=course.notes(session),
        plot=plot(session),
        face=evidence.face(session),
        announced=result.announced(session, said),
        signatures=result.signatures(session),
        records=session.seq,
        digest=attested.digest,
    )

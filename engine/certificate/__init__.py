"""The certificate: what the paper says, worked out from sessions and nothing else."""

from engine.certificate.certificate import Attested, certificate
from engine.certificate.log import Logged, log, plot
from engine.certificate.tree import Certificate, Face, Plot, Row, Table, Tested

__all__ = ["Attested", "Certificate", "Face", "Logged", "Plot", "Row", "Table", "Tested",
           "certificate", "log", "plot"]  # fmt: skip

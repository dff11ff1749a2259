"""The command line: its verbs and what each takes."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import Any, Final, NoReturn

SAFE_ERRORS: Final = 2
"""Exit status of what could not be done."""

VERBS: dict[str, tuple[str, str]] = {
    "demo": ("demo", "a whole test on the practice joint, on the screen or printed as it goes"),
    "start": ("bench", "open a test from a plan file, on the screen"),
    "plan": ("plan", "what the plan works out, as tables or JSON"),
    "explain": ("explain", "what a log of readings earns, and what its fall can mean"),
    "sessions": ("sessions", "what is in the store"),
    "history": ("history", "where a product stands, its tests, and what is usual of them"),
    "show": ("show", "one session: its verdict, its reasons and its records"),
    "watch": ("bench", "follow a running session, read only"),
    "practice": ("bench", "a made-up test to learn on, on the screen, with something wrong or not"),
    "replay": ("bench", "go through a past session again, on the screen; or be asked about it"),
    "audit": ("audit", "is the record sound, does the verdict still follow from it"),
    "certificate": ("certificate", "the papers of a closed session, as PDF or as text"),
    "export": ("export", "readings as CSV, the session as JSON, the plot as SVG"),
    "import": ("take_in", "keep a closed session, a plan or a catalogue from elsewhere"),
}


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one line."""

    def error(self, message: str) -> NoReturn:
        from engine.plain import plain

        self.exit(SAFE_ERRORS, f"{self.prog}: {plain(message, 300)} (--help says more)\n")


def parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="holdwater",
        description="Conducts the external hydrostatic joint test, from plan to certificate. "
        "Without a verb: the bench screen.",
    )
    _common(parser, default=None)
    common = _Parser(add_help=False)
    _common(common, default=argparse.SUPPRESS)
    verbs = parser.add_subparsers(dest="verb", metavar="VERB")
    made = {name: verbs.add_parser(name, help=told, description=told, parents=[common])
            for name, (_, told) in VERBS.items()}  # fmt: skip
    made["demo"].add_argument("--no-screen", action="store_true", help="print it as it goes")
    _papers(made)
    for name in ("start", "plan"):
        made[name].add_argument("file", metavar="FILE", help="a plan file (TOML)")
    for name in ("show", "audit", "replay"):
        made[name].add_argument("session", metavar="SESSION",
                                help="identity, how it begins, or a file")  # fmt: skip
    made["start"].add_argument("--new", action="store_true",
                               help="even where a test of this plan goes on")  # fmt: skip
    made["audit"].add_argument("--paper", metavar="NUMBER:DIGEST",
                               help="does such a paper tell of it?")  # fmt: skip
    made["import"].add_argument("file", metavar="FILE", help="nothing in it is believed unproved")
    made["explain"].add_argument("readings", metavar="READINGS.csv",
                                 help="seconds,pressure_psi (or pressure_kpa); temperature_c and "
                                 "added_ml as well")  # fmt: skip
    made["explain"].add_argument("--plan", metavar="FILE", required=True, help="a plan file (TOML)")
    made["watch"].add_argument("session", metavar="SESSION", nargs="?", default="")
    made["practice"].add_argument("--fault", metavar="NAME", default="",
                                  help="what is wrong, like trapped_air; else drawn")  # fmt: skip
    made["practice"].add_argument("--seed", metavar="N", type=int,
                                  help="the same number, the same joint and fault")  # fmt: skip
    made["practice"].add_argument("--speed", metavar="N", type=float, default=1.0,
                                  help="how many times as fast time runs")  # fmt: skip
    made["replay"].add_argument("--questions", action="store_true",
                                help="stop before each decision and ask what to do")  # fmt: skip
    made["history"].add_argument("product", metavar="PRODUCT", help="its name, or words of it")
    for name in ("plan", "explain", "sessions", "history", "show", "audit"):
        made[name].add_argument("--json", action="store_true", help="print JSON")
    return parser


def _papers(made: Mapping[str, argparse.ArgumentParser]) -> None:
    for name in ("certificate", "export"):
        made[name].add_argument("session", metavar="SESSION", help="identity, or how it begins")
    made["certificate"].add_argument("-o", "--output", metavar="FILE", help="FILE.pdf or FILE.txt")
    made["certificate"].add_argument("--size", choices=("letter", "a4"),
                                     help="else as the units have it")  # fmt: skip
    form = made["export"].add_mutually_exclusive_group()
    form.add_argument("--csv", action="store_true", help="the readings (the default)")
    form.add_argument("--json", action="store_true", help="the whole session, as one document")
    form.add_argument("--svg", action="store_true", help="the plot of the last hold")
    form.add_argument("--remarks", action="store_true",
                      help="what was said beside it, and answered, as JSON")  # fmt: skip
    made["export"].add_argument("-o", "--output", metavar="FILE", help="else it is printed")


def _common(parser: argparse.ArgumentParser, default: Any) -> None:
    parser.add_argument("--store", metavar="FOLDER", default=default,
                        help="where sessions are kept (else HOLDWATER_STORE)")  # fmt: skip
    parser.add_argument("--by", metavar="NAME", default=default,
                        help="who writes the records (else HOLDWATER_BY)")  # fmt: skip
    parser.add_argument("--ascii", action="store_true", default=default or False,
                        help="draw with plain characters only")  # fmt: skip

"""The command line: its verbs and what each takes."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Mapping
from functools import partial
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


EXAMPLES: Final[dict[str, tuple[str, ...]]] = {
    "": (
        "holdwater demo --no-screen",
        "holdwater plan joint.toml",
        'holdwater start joint.toml --by "Your Name"',
        "holdwater practice --fault trapped_air --speed 10",
        "holdwater certificate 2026-05-01-1 -o paper.pdf",
    ),
    "start": ('holdwater start joint.toml --by "Your Name"',),
    "plan": ("holdwater plan joint.toml", "holdwater plan joint.toml --json"),
    "explain": ("holdwater explain readings.csv --plan joint.toml",),
    "history": ('holdwater history "54 in"',),
    "show": ("holdwater show 2026-05-01-1", "holdwater show kept.json --json"),
    "practice": ("holdwater practice", "holdwater practice --fault late_primary_leak --seed 7"),
    "replay": ("holdwater replay 2026-05-01-1 --questions",),
    "audit": ("holdwater audit 2026-05-01-1 --paper 88:0123456789abcdef",),
    "certificate": (
        "holdwater certificate 2026-05-01-1 -o paper.pdf",
        "holdwater certificate 2026-05-01-1 -o paper.txt",
    ),
    "export": (
        "holdwater export 2026-05-01-1 > readings.csv",
        "holdwater export 2026-05-01-1 --svg -o plot.svg",
    ),
    "import": ("holdwater import kept.json", "holdwater import joint.toml"),
}
"""What --help ends with; of the program itself under no name."""


class _Formatter(argparse.HelpFormatter):
    """Lines that are written as lines stay lines."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        return text if "\n" in text else super()._fill_text(text, width, indent)


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one line."""

    at_the_end: Callable[[], str] | None = None
    """What its help ends with, made when it is asked for."""

    def format_help(self) -> str:
        self.formatter_class = _Formatter
        if self.at_the_end is not None:
            self.epilog = self.at_the_end()
        return super().format_help()

    def error(self, message: str) -> NoReturn:
        from engine.plain import plain

        self.exit(SAFE_ERRORS, f"{self.prog}: {plain(message, 300)} (--help says more)\n")


def parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="holdwater",
        description="Conducts the external hydrostatic joint test, from plan to certificate. "
        "Without a verb: the bench screen.",
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="print which version it is")
    _common(parser, default=None)
    common = _Parser(add_help=False)
    _common(common, default=argparse.SUPPRESS)
    verbs = parser.add_subparsers(dest="verb", metavar="VERB")
    made = {name: verbs.add_parser(name, help=told, description=told, parents=[common])
            for name, (_, told) in VERBS.items()}  # fmt: skip
    for name, one in {"": parser, **made}.items():
        one.at_the_end = partial(_last_words, name)
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
                                  help="what is wrong, of those below; else drawn")  # fmt: skip
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


class _Version(argparse.Action):
    """Prints the version that is installed, and is done."""

    def __call__(self, parser: argparse.ArgumentParser, *_: Any) -> NoReturn:
        from importlib.metadata import PackageNotFoundError, version

        try:
            found = version("holdwater")
        except PackageNotFoundError:
            found = "(run from its source, not installed)"
        sys.stdout.write(f"holdwater {found}\n")
        parser.exit()


def _last_words(verb: str) -> str:
    """Examples; of practice the faults as well, which are only then looked up."""
    said = ["examples:", *(f"  {example}" for example in EXAMPLES.get(verb, ()))]
    if len(said) == 1:
        said = []
    if verb == "practice":
        from textwrap import wrap

        from engine.practice import FAULTS

        said += ["", "faults:"]
        for name, wrong in FAULTS.items():
            told = wrap(wrong, 58, break_long_words=False)
            said.append(f"  {name:<18} {told[0]}")
            said += [f"  {'':<18} {line}" for line in told[1:]]
    return "\n".join([*said, ""])


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

"""Factors that a quantity library would give as well, for what must load without one."""

from __future__ import annotations

from typing import Final

KPA_PER_PSI: Final = 6.894757293168
"""By definition: a pound-force on a square inch, in kPa.  Source: NIST SP 811, appendix B."""

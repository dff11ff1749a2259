"""The plan: everything that can be worked out of a test before there is water."""

from engine.plan.model import Plan, Remark
from engine.plan.working import work_out

__all__ = ["Plan", "Remark", "work_out"]

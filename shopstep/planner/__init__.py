"""The only place that chains the rooms of the middle floor: PlanRequest → Plan, and revise."""

from shopstep.planner.chain import Moments, make_plan, revise
from shopstep.planner.doors import (
    ask_measurements,
    build_id,
    build_schema,
    can_be_id,
    check_build,
    describe_build,
    fit_builds,
    parent_of,
    plan_alike,
    sort_settings_by_build,
    supplies,
)
from shopstep.planner.proving import prove_build
from shopstep.planner.refusing import MOST_UNITS
from shopstep.planner.retiming import retime
from shopstep.planner.varying import vary_plan
from shopstep.sequence.explaining import explain_chain

__all__ = [
    "MOST_UNITS",
    "Moments",
    "ask_measurements",
    "build_id",
    "build_schema",
    "can_be_id",
    "check_build",
    "describe_build",
    "explain_chain",
    "fit_builds",
    "make_plan",
    "parent_of",
    "plan_alike",
    "prove_build",
    "retime",
    "revise",
    "sort_settings_by_build",
    "supplies",
    "vary_plan",
]

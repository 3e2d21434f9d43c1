"""Builds held against each other: every size that two of them share, against its rule.

Two interfaces meet where a rule of one build names the interface of the other, and where their
roles face each other: what has the other above it meets what has the other below it.
"""

from __future__ import annotations

from itertools import permutations

from shopstep.design.nearest import did_you_mean
from shopstep.model.difference import format_difference, format_difference_range
from shopstep.model.interface import Interface, Mate, Meeting, Side
from shopstep.model.plan import Finding, Level, Where
from shopstep.units import format_length
from shopstep.words import say

FACING = {
    "above": "below",
    "below": "above",
    "inside": "around",
    "around": "inside",
    "beside": "beside",
}


def meet_sides(
    sides: tuple[Side, ...], display: str
) -> tuple[tuple[Meeting, ...], tuple[Finding, ...]]:
    """Every pair of builds by every rule of both: what was compared, and what is wrong."""
    meetings: list[Meeting] = []
    findings: list[Finding] = []
    for asking, other in permutations(sides, 2):
        for mate in asking.mates:
            mine, theirs = asking.interface(mate.mine), other.interface(mate.theirs)
            if mine is not None and theirs is not None:
                found, wrong = _meet(asking, other, mate, mine, theirs)
                meetings += found
                findings += wrong
    findings += [_broken(meeting, display) for meeting in meetings if not meeting.ok]
    findings += _lonely(sides, meetings)
    return tuple(meetings), tuple(findings)


def _meet(
    asking: Side, other: Side, mate: Mate, mine: Interface, theirs: Interface
) -> tuple[list[Meeting], list[Finding]]:
    if FACING[mine.role] != theirs.role:
        return [], [_not_facing(asking, other, mate, mine, theirs)]
    own, given = dict(mine.sizes), dict(theirs.sizes)
    wrong = [
        _no_size(other, mate, each.size, theirs) for each in mate.compare if each.size not in given
    ]
    return [
        Meeting(
            mate=mate.name,
            size=each.size,
            asking=asking.build,
            other=other.build,
            mine=own[each.size],
            theirs=given[each.size],
            least=each.least,
            most=each.most,
            level=mate.level,
            text=mate.text,
            source=mate.source,
            where=mate.where,
        )
        for each in mate.compare
        if each.size in given
    ], wrong


def _not_facing(
    asking: Side, other: Side, mate: Mate, mine: Interface, theirs: Interface
) -> Finding:
    return Finding(
        _level(mate.level),
        f"mate:{mate.name}",
        say(
            "'{mine_name}' of {build} has the other build {role} it, and"
            " '{theirs_name}' of {build_2} has it {role_2}.",
            mine_name=mine.name,
            build=asking.build,
            role=mine.role,
            theirs_name=theirs.name,
            build_2=other.build,
            role_2=theirs.role,
        ),
        mate.where,
        say(
            "Give '{theirs_name}' the role '{facing}', or name another interface.",
            theirs_name=theirs.name,
            facing=FACING[mine.role],
        ),
    )


def _no_size(other: Side, mate: Mate, size: str, theirs: Interface) -> Finding:
    known = did_you_mean(size, [name for name, _ in theirs.sizes])
    return Finding(
        _level(mate.level),
        f"mate:{mate.name}",
        say(
            "'{theirs_name}' of {build} gives no size '{size}', so nobody knows whether it"
            " fits{known}",
            theirs_name=theirs.name,
            build=other.build,
            size=size,
            known=known,
        ),
        theirs.where,
        say("Add '{size}' to its sizes.", size=size),
    )


def _broken(meeting: Meeting, display: str) -> Finding:
    mine, theirs = (format_length(size, display) for size in (meeting.mine, meeting.theirs))
    found = format_difference(meeting.difference, display)
    return Finding(
        _level(meeting.level),
        f"mate:{meeting.mate}",
        say(
            "{meeting} The {size} is {theirs} in {other} and {mine} in"
            " {asking}: {found}; right is"
            " {difference_range}.",
            meeting=meeting.text,
            size=meeting.size,
            theirs=theirs,
            other=meeting.other,
            mine=mine,
            asking=meeting.asking,
            found=found,
            difference_range=format_difference_range(meeting.least, meeting.most, display),
        ),
        meeting.where,
        say(
            "Make both for the same measurements, or change the sizes behind"
            " '{size}' (source of the range: {source}).",
            size=meeting.size,
            source=meeting.source,
        ),
    )


def _level(level: str) -> Level:
    return Level.STOP if level == "must" else Level.WARN


def _lonely(sides: tuple[Side, ...], meetings: list[Meeting]) -> list[Finding]:
    """A warning for every build that nothing was compared with."""
    met = {build for meeting in meetings for build in (meeting.asking, meeting.other)}
    asked = sorted({mate.theirs for side in sides for mate in side.mates})
    known = f": {', '.join(asked)}" if asked else ""
    return [
        Finding(
            Level.WARN,
            "meets_nothing",
            say("{build} has nothing to compare with the other builds.", build=side.build),
            Where(),
            say("Name an interface in it that a mate of the others asks for{known}.", known=known),
        )
        for side in sides
        if side.build not in met
    ]

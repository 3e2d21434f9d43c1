"""Where builds meet: what each offers, what it asks of the others, and what came out."""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.plan import Finding, Where
from shopstep.units import Length


@dataclass(frozen=True, slots=True)
class Interface:
    """A place where another build meets this one, under a name that all of them share."""

    name: str
    role: str
    """Where the other build is, seen from this one: above, below, inside, around, beside."""
    text: str
    sizes: tuple[tuple[str, Length], ...]
    where: Where


@dataclass(frozen=True, slots=True)
class Comparison:
    """The range for the other build's size less this one's; at least one end is given."""

    size: str
    least: Length | None
    most: Length | None


@dataclass(frozen=True, slots=True)
class Mate:
    """A rule for every build that offers an interface named ``theirs``."""

    name: str
    mine: str
    theirs: str
    level: str
    """``must`` or ``should``."""
    text: str
    source: str
    compare: tuple[Comparison, ...]
    where: Where


@dataclass(frozen=True, slots=True)
class Side:
    """One build as the others meet it."""

    build: str
    """Its id; with a number behind where the same build is there twice."""
    interfaces: tuple[Interface, ...]
    mates: tuple[Mate, ...]

    def interface(self, name: str) -> Interface | None:
        """One of its interfaces, or None."""
        return next((each for each in self.interfaces if each.name == name), None)


@dataclass(frozen=True, slots=True)
class Meeting:
    """One size of two builds that meet, held against the rule of one of them."""

    mate: str
    size: str
    asking: str
    """The build whose rule it is."""
    other: str
    mine: Length
    theirs: Length
    least: Length | None
    most: Length | None
    level: str
    text: str
    source: str
    where: Where

    @property
    def difference(self) -> Length:
        """The other build's size less that of the build whose rule it is."""
        return self.theirs - self.mine

    @property
    def ok(self) -> bool:
        """Whether the difference lies in its range."""
        above = self.least is None or self.difference >= self.least
        return above and (self.most is None or self.difference <= self.most)


@dataclass(frozen=True, slots=True)
class Shift:
    """What one measurement does to the meetings, when all builds that ask for it follow."""

    measurement: str
    by: Length
    builds: tuple[str, ...]
    """The builds that ask for it."""
    changed: tuple[Meeting, ...]
    """The meetings whose difference is another one then, as they come out then."""


@dataclass(frozen=True, slots=True)
class FitReport:
    """Whether builds go together: every size that was compared, and what stands in the way."""

    builds: tuple[str, ...]
    display: str
    measured: tuple[tuple[str, Length], ...]
    """The measurements that the builds were worked out for."""
    meetings: tuple[Meeting, ...]
    shifts: tuple[Shift, ...]
    findings: tuple[Finding, ...]

"""How much a fit moves when one of the sizes in its expression does.

A shift in one name leaves all other names as they are: a part is cut to its planned size, whatever
its neighbour came out as. So the expression alone is worked out again, never the whole design.
"""

from __future__ import annotations

from shopstep.design.dimensions import Dimensions
from shopstep.design.expression import (
    Expression,
    ExpressionError,
    Value,
    kind_of,
    parse_expression,
)
from shopstep.design.values import Values
from shopstep.design.yaml_source import Path
from shopstep.model.lever import Lever
from shopstep.model.plan import BuildFileError
from shopstep.units import Length
from shopstep.words import say

SHIFT = Length(720_720)
"""About 0.7 mm; divisible by every number to 16, so halves and thirds come out exact."""


def find_levers(values: Values, dimensions: Dimensions, text: str, path: Path) -> tuple[Lever, ...]:
    """The lengths that an expression names, each with its ratio; those without effect left out.

    BuildFileError where the expression cannot be worked out beside its planned sizes.
    """
    expression = parse_expression(text)
    levers: list[Lever] = []
    for name in sorted(expression.names(), key=lambda each: (text.find(each), each)):
        value = values.lookup(name)
        if not isinstance(value, Length):
            continue
        ratio = _ratio(values, expression, name, value, path)
        if ratio:
            levers.append(_lever(dimensions, name, value, ratio))
    return tuple(levers)


def _lever(dimensions: Dimensions, name: str, value: Length, ratio: float) -> Lever:
    stands_for = dimensions.find(name)
    return Lever(
        name=name,
        ratio=ratio,
        origin=stands_for.origin,
        across_grain=stands_for.across_grain,
        material=stands_for.material,
        kind=stands_for.kind,
        title=stands_for.title,
        value=value,
        held=dimensions.held.get(name),
    )


def _ratio(values: Values, expression: Expression, name: str, value: Length, path: Path) -> float:
    """Slope to the side where it is steeper: at a bend (min, max) that is the safe one."""

    def worked_out(shifted: Length) -> Length:
        def lookup(asked: str) -> Value:
            return shifted if asked == name else values.lookup(asked)

        try:
            result = expression.value(lookup)
        except ExpressionError as problem:
            raise BuildFileError(str(problem), values.source.where(path, str(path[1]))) from None
        if not isinstance(result, Length):
            raise BuildFileError(
                say(
                    "'{expression}' must stay a length, and becomes {kind_of}",
                    expression=expression.text,
                    kind_of=kind_of(result),
                ),
                values.source.where(path, str(path[1])),
            )
        return result

    here = worked_out(value)
    above = (worked_out(value + SHIFT) - here).ratio(SHIFT)
    below = (here - worked_out(value - SHIFT)).ratio(SHIFT)
    return float(max(above, below, key=abs))

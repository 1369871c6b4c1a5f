"""When a lamp's or a box's readings, drifting with use, reach a floor."""

from math import inf, sqrt

from benchassist.physics.regression import StraightLine


def line_at_floor_h(line: StraightLine, *, start_h: float, floor: float) -> float:
    """Return the hours at which the fitted line falls to a floor.

    ``start_h`` where it is there already, infinite where it never falls to it.
    """
    if line.at(start_h) <= floor:
        return start_h
    if line.slope >= 0.0:
        return inf
    return line.mean_x + (floor - line.mean_y) / line.slope


def bound_at_floor_h(
    line: StraightLine, *, start_h: float, floor: float, new_weight: float = 1.0
) -> float:
    """Return the hours at which a new reading's lower 95 % bound meets a floor.

    Closed form: a quadratic in the hours has a root where a bound meets the floor, and
    of those after the start the first is the lower bound's, which is above the floor
    there. ``start_h`` where the bound is below already, infinite where it never is.
    """
    bound = line.at(start_h)
    bound -= line.prediction_half_width(start_h, new_weight=new_weight)
    if bound <= floor:
        return start_h
    scale = (line.student_t * line.residual_sd) ** 2
    above = line.mean_y - floor
    roots = _real_roots(
        line.slope**2 - scale / line.spread,
        2.0 * line.slope * above,
        above**2 - scale * (1.0 / new_weight + 1.0 / line.total_weight),
    )
    hours = (line.mean_x + root for root in roots)
    return min((each for each in hours if each >= start_h), default=inf)


def _real_roots(square: float, middle: float, constant: float) -> list[float]:
    if square == 0.0:
        return [] if middle == 0.0 else [-constant / middle]
    # Above the floor at the start it is below nothing by rounding alone.
    root = sqrt(max(0.0, middle**2 - 4.0 * square * constant))
    # Adding terms of one sign keeps the digits that subtracting them would lose.
    pivot = -0.5 * (middle + (root if middle >= 0.0 else -root))
    return [pivot / square] + ([constant / pivot] if pivot else [])

"""Split a box's count into a first and a submerged half, in runs the box can do.

Whole numbers only: flashes of a flash box, seconds of a steady one.
"""

from math import gcd

from benchassist.value import value

# [counts] of the programs' common divisor; beyond it a plan takes too long to find.
MOST_UNITS = 100_000


@value
class Halves:
    """The runs of both halves, and by how much they exceed the total.

    ``first`` is empty where two halves would need a larger excess than one: the
    whole count is then owed to the submerged half.
    """

    first: tuple[int, ...]
    second: tuple[int, ...]
    excess: int

    @property
    def presses(self) -> int:
        """How many times the box is started."""
        return len(self.first) + len(self.second)


def split(
    total: int,
    *,
    step: int = 1,
    max_run: int | None = None,
    programs: tuple[int, ...] = (),
) -> Halves:
    """Split the count owed to one side into two halves.

    In this order: least excess over the total, most equal halves, fewest presses,
    the smaller half first, because the submerged half is the one that must be
    complete.

    Parameters
    ----------
    total
        Count that the recipe owes the side.
    step
        The box can be set to multiples of this; not used where it has programs.
    max_run
        Highest count of one run, None where the box has no limit.
    programs
        The fixed counts of a box that cannot be set freely.

    Returns
    -------
    Halves
        Runs in the order in which they are started.

    Raises
    ------
    ValueError
        If a count is not positive, no run fits under ``max_run``, or the programs
        are too fine for the total.
    """
    if total < 1:
        raise ValueError("The total must be at least 1.")
    box = _Box.of(total, step=step, max_run=max_run, programs=programs)
    whole = box.least_at_or_above(total)
    first = next(
        half
        for half in range(whole // 2 // box.unit * box.unit, -1, -box.unit)
        if box.can_give(half) and box.can_give(whole - half)
    )
    return Halves(
        first=box.runs(first),
        second=box.runs(whole - first),
        excess=whole - total,
    )


def remainder(
    plan: int,
    confirmed_low: int,
    *,
    step: int = 1,
    max_run: int | None = None,
    programs: tuple[int, ...] = (),
) -> tuple[int, ...]:
    """Return the runs still owed to one half after a partial, wrong or aborted run.

    Parameters
    ----------
    plan
        Count planned for this half.
    confirmed_low
        Sum of the low bounds of what this half is known to have had.
    step, max_run, programs
        What the box can be set to, as for `split`.

    Returns
    -------
    tuple of int
        Runs with the least excess and, of those, the fewest; empty where nothing
        is owed.

    Raises
    ------
    ValueError
        As `split`, and if ``confirmed_low`` is negative.
    """
    if confirmed_low < 0:
        raise ValueError("A confirmed count cannot be negative.")
    owed = plan - confirmed_low
    box = _Box.of(max(owed, 1), step=step, max_run=max_run, programs=programs)
    return box.runs(box.least_at_or_above(owed)) if owed > 0 else ()


@value
class _Box:
    """The counts a box can give: by steps up to a longest run, or by programs."""

    unit: int
    longest: int | None
    programs: tuple[int, ...] = ()
    fewest: tuple[int | None, ...] = ()  # presses for 0, 1, 2, ... units

    @classmethod
    def of(
        cls, total: int, *, step: int, max_run: int | None, programs: tuple[int, ...]
    ) -> "_Box":
        if max_run is not None and max_run < 1:
            raise ValueError("The longest run must be at least 1.")
        if programs:
            return cls._with_programs(total, max_run, programs)
        if step < 1:
            raise ValueError("The step must be at least 1.")
        longest = None if max_run is None else max_run // step * step
        if longest == 0:
            message = f"A step of {step} does not fit under the longest run, {max_run}."
            raise ValueError(message)
        return cls(unit=step, longest=longest)

    @classmethod
    def _with_programs(
        cls, total: int, max_run: int | None, programs: tuple[int, ...]
    ) -> "_Box":
        if min(programs) < 1:
            raise ValueError("A program must count at least 1.")
        usable = tuple(sorted({p for p in programs if max_run is None or p <= max_run}))
        if not usable:
            message = f"No program fits under the longest run, {max_run}."
            raise ValueError(message)
        unit = gcd(*usable)
        units = (total + usable[0]) // unit + 1
        if units > MOST_UNITS:
            message = (
                f"The programs differ by as little as {unit}, too fine to plan "
                f"{total} with; leave out the smallest program."
            )
            raise ValueError(message)
        fewest: list[int | None] = [0]
        for count in range(unit, units * unit, unit):
            before = [fewest[(count - p) // unit] for p in usable if p <= count]
            known = [presses for presses in before if presses is not None]
            fewest.append(min(known) + 1 if known else None)
        return cls(unit=unit, longest=None, programs=usable, fewest=tuple(fewest))

    def can_give(self, count: int) -> bool:
        return not self.programs or self.fewest[count // self.unit] is not None

    def least_at_or_above(self, count: int) -> int:
        whole = -(-count // self.unit) * self.unit
        while not self.can_give(whole):
            whole += self.unit
        return whole

    def runs(self, count: int) -> tuple[int, ...]:
        if not self.programs:
            longest = self.longest or count or 1
            full, rest = divmod(count, longest)
            return (longest,) * full + ((rest,) if rest else ())
        runs: list[int] = []
        while count:
            left = self.fewest[count // self.unit]
            run = next(
                p
                for p in reversed(self.programs)
                if p <= count
                and (before := self.fewest[(count - p) // self.unit]) is not None
                and before + 1 == left
            )
            runs.append(run)
            count -= run
        return tuple(runs)

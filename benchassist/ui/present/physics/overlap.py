"""A light over a layer: where the one shines and the other absorbs, on one plot."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from benchassist.domain.library import Curve
from benchassist.physics.light_check import Absorber, overlap
from benchassist.ui.present.physics.plot import Line, Plot, thinned

SHOWN_NM = (340.0, 540.0)


def overlap_plot(
    light: Curve, layer: Sequence[Absorber], *, absorbs: str, shines: str
) -> Plot:
    """Return both curves, each scaled to 1, and what they share; labels as given."""
    found = overlap(light, list(layer))
    shown = (found.nm >= SHOWN_NM[0]) & (found.nm <= SHOWN_NM[1])
    nm = tuple(map(float, found.nm[shown]))

    def line(label: str, values: object, **look: object) -> Line:
        x, y = thinned(nm, tuple(map(float, np.asarray(values)[shown])))
        return Line(label, x, y, **look)  # type: ignore[arg-type]

    return Plot(
        "nm",
        "relative",
        SHOWN_NM,
        (0.0, 1.05),
        lines=(
            line("both", found.shaded, ink="attention", shade=True),
            line(absorbs, found.layer, stroke="dashed", ink="measured"),
            line(shines, found.lamp),
        ),
        y_axis=False,
    )

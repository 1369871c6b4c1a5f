"""The coat model written down as it reads and given to ``solve_ivp``.

An independent second solution and the floor of the speed comparison: one state
vector of initiator, radicals, conversion and oxygen, cells of one width, light summed
over the whole grid, implicit BDF with the Jacobian that scipy finds by differences.
One initiator; nothing here is shared with the program but the input.
"""

import numpy as np
from scipy.integrate import solve_ivp

GAS_FILM = {"air": 1.0, "purge": 0.0, "inert": None}
PHOTON_MOLE_J_M = 0.1196265656  # N_A h c, exact SI constants


class Column:
    """Coats laid on one another on cells of one width, and the film over them."""

    def __init__(self, resin, grid_nm, width_um, *, rtol, atol):
        self.resin, self.grid_nm, self.width_um = resin, grid_nm, width_um
        (self.initiator,) = resin.initiators
        self.rtol, self.atol = rtol, atol
        self.mol_l = self.radicals = self.conversion = self.oxygen = np.empty(0)
        self.film, self.film_oxygen, self.film_widths = None, np.empty(0), np.empty(0)
        self.calls = 0

    def lay(self, thickness_um):
        cells = round(thickness_um / self.width_um)
        ones = np.ones(cells)
        self.mol_l = np.concatenate((self.initiator.mol_l * ones, self.mol_l))
        self.radicals = np.concatenate((0.0 * ones, self.radicals))
        self.conversion = np.concatenate((0.0 * ones, self.conversion))
        saturated = self.resin.oxygen_saturation_mol_l * ones
        self.oxygen = np.concatenate((saturated, self.oxygen))
        self.film = None

    def cover(self, film, widths_um):
        """Pour a film, unless the same is there already; None takes it off."""
        if film is None:
            self.film, self.film_oxygen, self.film_widths = (
                None,
                np.empty(0),
                np.empty(0),
            )
        elif self.film != film:
            self.film, self.film_widths = film, widths_um
            self.film_oxygen = np.full(widths_um.size, film.oxygen_saturation_mol_l)

    def expose(self, seconds, gas, irradiance=None):
        resin, cells, above = self.resin, self.mol_l.size, self.film_oxygen.size
        initiator, grid = self.initiator, self.grid_nm
        photons = None
        if irradiance is not None:
            weights = np.gradient(grid)
            weights[[0, -1]] *= 0.5
            photons = irradiance * grid * 1e-12 / PHOTON_MOLE_J_M * weights
        widths = np.concatenate((self.film_widths, np.full(cells, self.width_um)))
        diffusivity = np.full(widths.size, resin.oxygen_diffusivity_m2_s * 1e12)
        saturation = np.full(widths.size, resin.oxygen_saturation_mol_l)
        if self.film is not None:
            diffusivity[:above] = self.film.oxygen_diffusivity_m2_s * 1e12
            saturation[:above] = self.film.oxygen_saturation_mol_l
        half = widths / (2.0 * diffusivity * saturation)
        outside = GAS_FILM[gas]

        def slope(_, state):
            self.calls += 1
            mol_l, radicals, conversion = state[: 3 * cells].reshape(3, cells)
            oxygen = state[3 * cells :]
            taken = np.zeros(cells)
            if photons is not None:
                decadic = np.outer(mol_l, initiator.absorptivity_l_mol_cm)
                decadic += np.outer(initiator.mol_l - mol_l, initiator.product_l_mol_cm)
                decadic += resin.static_per_cm
                depth = np.log(10.0) * decadic * self.width_um * 1e-4
                through = np.exp(-np.cumsum(depth, axis=0))
                into = np.vstack((np.ones(grid.size), through[:-1]))
                own = np.outer(mol_l, initiator.absorptivity_l_mol_cm)
                share = np.divide(own, decadic, out=0.0 * own, where=decadic > 0.0)
                taken = (share * (into - through)) @ photons
                taken *= 1e3 / (self.width_um * 1e-4)
            made = 2.0 * initiator.quantum_yield * initiator.efficiency * taken
            activity = oxygen / saturation
            flux = np.zeros(widths.size + 1)
            flux[1:-1] = (activity[:-1] - activity[1:]) / (half[:-1] + half[1:])
            if outside is not None:
                flux[0] = (outside - activity[0]) / half[0]
            scavenged = resin.ko2_l_mol_s * oxygen[above:] * radicals
            gain = (flux[:-1] - flux[1:]) / widths
            gain[above:] -= scavenged
            return np.concatenate(
                (
                    -initiator.quantum_yield * taken,
                    made - 2.0 * resin.rates.kt_l_mol_s * radicals**2 - scavenged,
                    resin.rates.kp_l_mol_s * radicals * (1.0 - conversion),
                    gain,
                )
            )

        start = (
            self.mol_l,
            self.radicals,
            self.conversion,
            self.film_oxygen,
            self.oxygen,
        )
        scale = (initiator.mol_l, 1e-4, 1.0, 1e-3)
        sizes = (cells, cells, cells, widths.size)
        solution = solve_ivp(
            slope,
            (0.0, seconds),
            np.concatenate(start),
            method="BDF",
            rtol=self.rtol,
            atol=self.atol * np.repeat(scale, sizes),
        )
        assert solution.success, solution.message
        end = solution.y[:, -1]
        self.mol_l, self.radicals, self.conversion = end[: 3 * cells].reshape(3, cells)
        self.film_oxygen = end[3 * cells : 3 * cells + above]
        self.oxygen = end[3 * cells + above :]

    def soft_um(self, threshold=0.2):
        centres = (np.arange(self.conversion.size) + 0.5) * self.width_um
        if self.conversion[0] >= threshold:
            return 0.0
        first = int(np.argmax(self.conversion >= threshold))
        if self.conversion[first] < threshold:
            return self.conversion.size * self.width_um
        pair = slice(first - 1, first + 1)
        return float(np.interp(threshold, self.conversion[pair], centres[pair]))

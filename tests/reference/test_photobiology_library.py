"""The actinic weighting against an independent library, guv-calcs (MIT).

Collected only where that library is installed: it asks for newer packages than the
lowest that this program promises.
"""

import json
import warnings
from io import StringIO

import numpy as np
import pytest

from benchassist.calculators import library
from benchassist.calculators.run import main
from benchassist.physics import eyes, spectra

with warnings.catch_warnings():
    # WORKAROUND guv-calcs 0.10.0 sets an option that pandas 3 has retired; drop this
    # when `python -W error -c "import guv_calcs"` passes.
    warnings.simplefilter("ignore")
    from guv_calcs import safety
    from guv_calcs.lamp.spectrum import Spectrum

ICNIRP = safety.PhotStandard.ICNIRP
GRID_NM = eyes.hazard_grid()


def gaussian(centre_nm, fwhm_nm, mw_cm2=1000.0):
    return spectra.gaussian_lines([spectra.Line(mw_cm2, centre_nm, fwhm_nm)], GRID_NM)


def ask(**question):
    out, err = StringIO(), StringIO()
    assert main(["eyes"], StringIO(json.dumps(question)), out, err) == 0, err.getvalue()
    return json.loads(out.getvalue())


def lamp(centre_nm, fwhm_nm):
    return {"lines": [[1000.0, centre_nm, fwhm_nm]]}


def test_actinic_weights_agree_with_a_library():
    """Outside evidence: guv-calcs 0.10, column for skin, wherever both have a value."""
    table = library.weight_curve("actinic")
    theirs = safety.get_weights("skin", ICNIRP)
    common = [nm for nm in table.nm if nm in theirs]
    ours = eyes.actinic_weight(table, np.array(common))

    assert len(common) >= 50
    assert ours == pytest.approx([theirs[nm] for nm in common], rel=1e-6)


@pytest.mark.parametrize(("wavelength_nm", "mj_cm2"), [(270, 3.0), (365, 27272.7)])
def test_monochromatic_limit(wavelength_nm, mj_cm2):
    """Outside evidence: guv-calcs 0.10, limit for skin; 30 J/m2 over the weight."""
    table = library.weight_curve("actinic")
    weight = eyes.actinic_weight(table, np.array([float(wavelength_nm)]))[0]
    ours = eyes.ACTINIC_J_M2 / weight / 10

    assert ours == pytest.approx(mj_cm2, rel=1e-4)
    assert ours == pytest.approx(safety.get_skin_tlv(wavelength_nm, ICNIRP), rel=1e-4)


def test_a_finger_at_the_tip():
    """Outside evidence: guv-calcs 0.10, spectrum cut at 400 nm, where its weights
    would otherwise go on."""
    answer = ask(light=lamp(385, 15), tip_mm=10, distance_mm=0, exposed="skin")
    below = GRID_NM <= 400
    spectrum = Spectrum(GRID_NM[below], gaussian(385, 15)[below])
    share = np.trapezoid(gaussian(385, 15)[below], GRID_NM[below]) / 1000
    theirs = safety.get_seconds_to_tlv(spectrum, 1e6 * share, ICNIRP, "skin")

    assert answer["binding"] == "actinic-ultraviolet"
    assert answer["permissible_s"] == pytest.approx(55.3, rel=0.01)
    assert answer["permissible_s"] == pytest.approx(theirs, rel=0.01)

"""Valid questions to every calculator, and a way to ask them as from a shell."""

import json
from io import StringIO

import pytest

from benchassist.calculators.run import main

BLUE = {"lines": [[1000.0, 460.0, 25.0]]}
UV = {"nm": [370.0, 385.0, 400.0], "mw_cm2_nm": [0.0, 2.0, 0.0]}
BAND = {"gaussians": [[500.0, 379.0, 14.5]]}

QUESTIONS = {
    "efficacy": {
        "light": {"id": "violet-blue", "total_mw_cm2": 1200.0},
        "reference": UV,
        "absorber": {"id": "bapo"},
        "reference_s": 10.0,
        "grid": {"low_nm": 300.0, "high_nm": 600.0, "step_nm": 0.5},
    },
    "absorbed": {
        "light": BLUE,
        "absorber": {"nm": [440.0, 470.0, 500.0], "l_mol_cm": [0.0, 46.0, 0.0]},
        "mol_l": 0.03,
        "quantum_yield": 0.07,
        "efficiency": 0.6,
    },
    "pairing": {
        "light": UV,
        "spectrum": "declared",
        "layers": [
            {
                "name": "coat",
                "initiators": [
                    {"absorber": {"id": "tpo"}, "mol_l": 0.03, "quantum_yield": 0.6},
                    {"absorber": BAND, "mol_l": 0.01},
                ],
                "thickness_um": 25.0,
                "initiator_known": "design class",
                "coupon": {"held_s": 8.0, "top_s": 20.0},
                "design_nm": 385.0,
                "required_effective_j_cm2": 1.0,
            },
            {
                "name": "stain",
                "label": {
                    "bands": [{"low_nm": 385.0, "high_nm": 405.0}],
                    "hand_tack": {
                        "document": "EX-IFU-9",
                        "revision": "2",
                        "hand_s": 20.0,
                        "band": {"low_nm": 380.0, "high_nm": 410.0},
                        "hand_mw_cm2": 800.0,
                        "set_s": 15.0,
                    },
                },
            },
        ],
        "label": {
            "bands": [{"low_nm": 385.0, "high_nm": 405.0}],
            "label_mw_cm2": 1000.0,
        },
        "planned_s": 10.0,
        "required_effective_j_cm2": 4.2,
        "design_nm": 385.0,
        "marginal_factor": 2.5,
        "reading_age_days": 3.0,
        "reading_age_limit_days": 7.0,
        "vessel": {"nm": [300.0, 600.0], "transmittance": [0.9, 0.95]},
    },
    "coat": {
        "resin": {"initiators": [{"absorber": {"id": "bapo"}, "mol_l": 0.03}]},
        "coats_um": [25.0],
        "segments": [
            {"light": UV, "s": 10.0, "top": "air"},
            {"new_coat_um": 20.0},
            {"light": "dark", "s": 5.0, "top": "film", "film": {"thickness_um": 1e3}},
        ],
        "threshold": 0.2,
        "resolution": "preview",
    },
    "tack-window": {
        "light": UV,
        "resin": {"initiators": [{"absorber": BAND, "mol_l": 0.03}]},
        "coats_um": [8.0],
        "pause_s": 30.0,
        "later": [{"light": UV, "s": 60.0, "top": "inert"}],
        "threshold": 0.2,
        "skin_limit_um": 1.0,
        "draws": 0,
        "grid": {"low_nm": 360.0, "high_nm": 410.0, "step_nm": 5.0},
    },
    "rates": {
        "light": {"lines": [[10.0, 365.0, 2.0]]},
        "resin": {
            "initiators": [
                {
                    "absorber": {"nm": [340.0, 390.0], "l_mol_cm": [4.195, 4.195]},
                    "mol_l": 0.054557,
                    "quantum_yield": 0.6,
                    "efficiency": 1.0,
                }
            ],
            "double_bonds_mol_l": 4.84,
            "oxygen_saturation_mol_l": 1.3e-5,
        },
        "thickness_um": 10.0,
        "measured": [
            {"light_on_s": 60.0, "time_s": 10.0, "conversion": 0.475},
            {"light_on_s": 3.0, "time_s": 3.0, "conversion": 0.35},
            {"light_on_s": 60.0, "time_s": 60.0, "conversion": 0.65},
        ],
        "grid": {"low_nm": 355.0, "high_nm": 375.0, "step_nm": 0.5},
    },
    "depth": {"exposure_mj_cm2": 30.0, "ec_mj_cm2": 8.0, "dp_um": 175.0},
    "depth measured": {
        "measured": [[10.0, 60.0], [20.0, 125.0], [40.0, 186.0], [5.0, 0.0]],
        "exposure_mj_cm2": 30.0,
    },
    "spots": {
        "shape": "arch",
        "arc_mm": 118.0,
        "radius_mm": 23.0,
        "band_mm": 8.0,
        "beam": {
            "useful_mm": 8.0,
            "profile": "gaussian",
            "irradiance_mw_cm2": 1000.0,
            "distance_mm": 2.0,
            "source_mm": 13.0,
            "tilt_deg": 10.0,
        },
        "overlap": 0.25,
        "faces": 3,
        "wet_limit_s": 120.0,
        "brush_s": 15.0,
        "spot_s": 10.0,
        "move_s": 3.0,
    },
    "spots crown": {
        "shape": "crown",
        "length_mm": 10.0,
        "width_mm": 8.0,
        "height_mm": 7.0,
        "beam": {"useful_mm": 8.0},
    },
    "halves": {
        "total": 4300,
        "sides": 2,
        "step": 500,
        "max_run": 2500,
        "programs": [],
    },
    "vessel": {
        "indices": [1.0, 1.47, 1.4746, 1.51],
        "internal_transmittance": [0.96, 0.99],
        "count": {"total": 2200, "step": 100},
        "heights": {
            "vessel_mm": 60.0,
            "floor_mm": 3.0,
            "part_mm": 20.0,
            "chamber_mm": 80.0,
            "vessel_area_cm2": 80.0,
            "part_cm3": 12.0,
            "hold_down_cm3": 0.3,
        },
    },
    "float": {
        "volume_cm3": 12.0,
        "density": 1.19,
        "trapped_air_cm3": 0.0,
        "glycerine": {"wt_percent": 100.0, "celsius": 20.0},
    },
    "bubble": {
        "diameter_mm": 0.3,
        "depth_mm": 30.0,
        "glycerine": {"wt_percent": 95.0, "celsius": 23.0},
    },
    "wash-film": {
        "viscosity_pa_s": 2.38e-3,
        "speed_m_s": 0.01,
        "tension_n_m": 0.02126,
        "density": 786.7,
    },
    "wash-bath": {
        "volumes_ml": [1000.0, 800.0],
        "resin_in_g": 1.32,
        "resin_in_ml": 1.2,
        "drag_out_ml": 0.24,
        "limit_wt_percent": 5.0,
        "solvent_g_cm3": 0.785,
        "resin_g_cm3": 1.1,
        "parts": 5,
        "parts_done": 3,
    },
    "drying": {
        "area_cm2": 80.0,
        "film_um": 30.0,
        "chamber_l": 5.0,
        "solvent": "isopropanol",
    },
    "purge": {"chamber_l": 10.0, "flow_l_min": 5.0, "target_percent": 1.0},
    "drift": {
        "hours": [0.0, 100.0, 200.0, 300.0],
        "reading": [1000.0, 985.0, 975.0, 960.0],
        "weight": [1.0, 1.0, 2.0, 1.0],
        "at_h": 500.0,
        "floor": 800.0,
        "from_h": 300.0,
        "new_weight": 1.0,
    },
    "eyes": {
        "light": {"lines": [[1000.0, 385.0, 15.0]]},
        "tip_mm": 10.0,
        "distance_mm": 300.0,
        "exposed": "eye",
        "view": "reflected",
        "reflectance": 0.5,
        "filter_curve": {"nm": [380.0, 500.0], "transmittance": [0.001, 0.01]},
    },
    "day-ahead": {
        "parts": [
            {
                "code": "EX-1",
                "steps": [
                    {
                        "name": "bath",
                        "mode": "place",
                        "place": "bath",
                        "minutes": 0.3,
                        "alone_minutes": 2.0,
                        "most_minutes": 5.0,
                        "ends_minutes": 0.3,
                    },
                    {"name": "fit", "minutes": 30.0, "minutes_80": 40.0},
                    {"name": "coat", "mode": "coat", "patches": [2.0, 1.5]},
                    {
                        "name": "box",
                        "mode": "place",
                        "place": "box",
                        "tacked": True,
                        "minutes": 1.0,
                        "alone_minutes": 5.0,
                        "ends_minutes": 1.0,
                        "load": "C",
                        "vessel": "GV",
                    },
                ],
                "due_minutes": 90.0,
                "basket": "B",
            },
            {
                "code": "EX-2",
                "steps": [{"name": "dry", "mode": "alone", "alone_minutes": 5.0}],
                "due_minutes": 40.0,
                "wish": "back",
                "arrives_minutes": 10.0,
            },
        ],
        "calls_per_h": 7.0,
        "call_s": 58.0,
        "reserve_minutes": 10.0,
        "seed": "EX",
    },
    "forecast-ready": {
        "steps": [
            {"name": "wash", "minutes": 5.0},
            {"name": "cure", "minutes": 9.5},
        ],
        "due": "2031-03-04T14:05:00+01:00",
        "now": "2031-03-04T13:20:00+01:00",
    },
}


@pytest.fixture
def shell():
    """Return a function that runs ``calc``: exit code, output, error output."""

    def run(*argv, text=""):
        out, err = StringIO(), StringIO()
        code = main(argv, StringIO(text), out, err)
        return code, out.getvalue(), err.getvalue()

    return run


@pytest.fixture
def ask(shell):
    """Return a function that asks a calculator and returns its answer."""

    def asked(name, question=None, **changes):
        base = QUESTIONS[name] if question is None else question
        code, out, err = shell(name.split()[0], text=json.dumps({**base, **changes}))
        assert code == 0, err
        return json.loads(out)

    return asked


@pytest.fixture
def refused(shell):
    """Return a function that asks in vain and returns field and message."""

    def asked(name, question=None, **changes):
        base = QUESTIONS[name] if question is None else question
        code, out, err = shell(name.split()[0], text=json.dumps({**base, **changes}))
        assert (code, out) == (2, "")
        error = json.loads(err)["error"]
        return error["field"], error["message"]

    return asked


@pytest.fixture
def questions():
    """Return a valid question for every calculator of this suite."""
    return QUESTIONS

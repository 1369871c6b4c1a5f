"""What each field of a library file means, in one line, for its JSON Schema.

A field that says it beside its own limits (``Field(description=…)``) needs no line.
Most names mean one thing wherever they stand; else the line names the entry too.
"""

from __future__ import annotations

MEANS: dict[str, str] = {
    # --- the file itself
    "format": "The form of this file; a program that does not know it reads nothing.",
    "materials": "Print resins, coat resins and stains.",
    "lots": "Bottles by the lot on their label, mixes among them.",
    "lamps": "Handheld lamps.",
    "boxes": "Curing boxes.",
    "vessels": "Vessels for the half that is cured under glycerine.",
    "recipes": "What is done with a material and a kind of part, by revision.",
    "readings": "What your own meter read of each lamp last.",
    "fills": "What is in each vessel now.",
    "meters": "Meters of your own.",
    "coupons": "Coupon tests that were done here.",
    "limits": "Limits that differ from those the program begins with.",
    # --- everywhere
    "code": "Your own code for it: no spaces, commas or equals signs.",
    "title": "What it is called on the screen.",
    "document": "The paper that its numbers are from.",
    "material": "Code of its material.",
    "lamp": "Code of the lamp.",
    "box": "Code of the box.",
    "vessel": "Code of the vessel.",
    "lot": "Code of the lot.",
    "spectrum": "Its light, measured or from its papers.",
    "lines": "Its light as lines from its papers, instead of a spectrum.",
    "counts": "What it can be set to.",
    # --- curves
    "nm": "Wavelengths in nm, rising.",
    "source": "Where the curve is from.",
    "confidence": "How the curve is known.",
    "csv": "A file beside this one that holds the curve.",
    "l_mol_cm": "Decadic molar absorptivity in L/mol/cm, one for each wavelength.",
    "mw_cm2_nm": "Spectral irradiance in mW/cm²/nm, one for each wavelength.",
    "transmittance": "Share of the light let through, one for each wavelength.",
    "WallEntry.material": "What the wall is of, one of the shipped optical constants.",
    "thickness_mm": "Thickness of the wall in mm.",
    # --- materials and lots
    "role": "What it is used as.",
    "knowledge": "Whether its initiators are known, or only what it is made for.",
    "design_nm": "Wavelength in nm that it is made for; exposures are counted at it.",
    "initiators": "What in it takes up the light.",
    "hand_tack": "What its instruction gives a hand lamp.",
    "seconds": "Seconds of light on each spot.",
    "HandTackEntry.mw_cm2": "Irradiance in mW/cm² those seconds are for; 0: not said.",
    "id": "One of the initiators that the program ships.",
    "name": "What the initiator is called.",
    "absorptivity": "Its own curve, instead of an id.",
    "mol_l": "How much of it is in the resin, in mol/L.",
    "expires": "Last day of use as printed on the bottle.",
    "parents": "The lots a mix was made of; their fractions add up to 1.",
    "fraction": "Share of the mix, between 0 and 1.",
    "LotEntry.material": "Code of the material in the bottle.",
    # --- equipment
    "baseline_reading": "What your own meter read when it was new; 0: no meter.",
    "reading": "What your own meter read, in its own unit.",
    "flashes_per_s": "Flashes a second; left out, the box shines steadily.",
    "chamber_height_mm": "Inner height of the chamber in mm.",
    "start_allowance_s": "Seconds from the start key to the first light.",
    "warm_s": "Seconds for which what comes out is treated as hot.",
    "useful_mm": "Width in mm that it lights evenly; 0: as the limit beam_mm has it.",
    "tip_mm": "Width of its tip in mm; 0: as the limit tip_mm has it.",
    "source_mm": "How far behind its tip its light seems to come from, in mm; 0: as a "
    "limit has it.",
    "life": "Counts that its lamp lasts by its papers; 0: they do not say.",
    "what": "What it reads.",
    "calibrated": "Day on which it was calibrated.",
    "until": "Last day on which that calibration holds.",
    "step": "Counts are set in multiples of this.",
    "max_run": "Most that one run can be set to; 0: no maximum.",
    "programs": "Fixed counts, where it has no free setting.",
    "height_mm": "Outer height in mm.",
    "wall": "What the wall lets through.",
    "part_immersions": "How often a part has been put in since it was filled.",
    "FillEntry.lot": "Lot of the glycerine.",
    # --- recipes
    "RecipeEntry.revision": "Its number; a changed recipe has a higher one.",
    "revision": "The revision of that document.",
    "item_class": "The kind of part: crown, splint and so on.",
    "ifu_revision": "Revision of the instruction for use that it follows.",
    "status": "Whether it is as the instruction says, and if not, by whose record.",
    "record_no": "Number of the record behind it, where it departs from that.",
    "washes": "The baths, in their order.",
    "min_s": "Shortest stay in seconds.",
    "max_s": "Longest stay in seconds.",
    "solvent_max_s": "Longest stay in all baths together, in seconds.",
    "dry_before_box_s": "Least seconds of drying before the box.",
    "dry_before_coat_s": "Least seconds of drying before a brush.",
    "sides": "The two sides that are cured one by one; none: one side.",
    "total_per_side": "What one side is owed by the whole post-cure.",
    "unit": "What is counted: flashes, or seconds of steady light.",
    "RecipeEntry.counts": "What the box is to be set to, where the instruction says.",
    "coat_material": "Code of the material of the coats.",
    "stain_materials": "Codes of the stains.",
    "coats": "How many coats.",
    "stain_passes": "How many passes of stain.",
    "faces": "The faces that are coated, each with its spots.",
    "spots": "Tack spots on this face.",
    "planned_tack_s": "Seconds of the lamp on each spot; 0 where nothing is coated.",
    "brush_s": "Seconds of brushing in a patch.",
    "move_s": "Seconds from spot to spot.",
    "wet_limit_s": "Longest a coat may be wet, in seconds.",
    "refine": "True: it is refined after the supports are off.",
    "abrade": "True: it is abraded before the coat.",
    "degas_s": "Seconds of rest under glycerine before the second half.",
    "purge_s": "Seconds of nitrogen before the second half.",
    "rinse_s": "Seconds of rinsing after the second half.",
    "dry_after_rinse_s": "Seconds of drying after the rinse.",
    "checks": "What is looked at before it is released.",
    # --- coupons and limits
    "count": "What the box was set to in the second half.",
    "planned_s": "Seconds of the lamp that were planned.",
    "held_s": "Shortest time in seconds at which three of three thin coats set.",
    "top_s": "Longest time whose double three of three skins finished after.",
    "tip": "The tip that was on the lamp.",
    "celsius": "Temperature of the room in °C.",
    "coat_um": "Thickness of the coats in µm.",
    "day": "The day of the test; left out, the day of filing.",
    "LimitEntry.code": "Code of the limit, as `benchassist gates` names it.",
    "value": "The limit, in its own unit.",
    "reason": "Why it is so here.",
}


def described(schema: dict[str, object], entry: str) -> None:
    """Give every field of one model of a JSON Schema its line, where it has none."""
    fields = schema.get("properties")
    if not isinstance(fields, dict):
        return
    for name, field in fields.items():
        told = MEANS.get(f"{entry}.{name}", MEANS.get(name))
        if told and "description" not in field:
            field["description"] = told

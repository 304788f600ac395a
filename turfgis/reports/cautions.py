"""
Cautions in our own words, and which sheet carries which.

They are general. The label, the machine's manual, local rules and licensed practice come before anything written here.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from turfgis.estimates.order import Order

CAUTIONS: dict[str, str] = {
    "not_a_permit": (
        "These are measured and reckoned figures for planning. They permit nothing: labels, machine manuals, local "
        "rules, licences and a look at the ground come first."
    ),
    "drawn_edges": (
        "Areas follow the edges as they were drawn. Walk the edges again where they have moved, and have them "
        "surveyed where a contract or a boundary hangs on them."
    ),
    "sand_dust": (
        "Dry sand gives off fine dust, and the crystalline silica in it harms the lungs for good. Keep it damp where "
        "the work allows, stay upwind, wear the mask your risk assessment names, keep within the national limit."
    ),
    "sand_match": (
        "Sand that does not match the ground below it can do lasting harm. Have the lot tested and compare the sheet "
        "with your own profile before it is tipped."
    ),
    "heavy_loads": (
        "Full lorries and spreaders are heavy. Check tracks, bridges, drains, tanks and soft or wet ground, and the "
        "plate of the machine, before anything drives there."
    ),
    "handling": (
        "Bags, shovels and barrows: let machines lift where they can, share the lifts out, and keep to your own "
        "handling assessment."
    ),
    "buried_services": (
        "Tines and anchors strike what lies below: find and mark pipes, cables, heads and drains first. Nothing here "
        "shows where they are."
    ),
    "seed_label": (
        "Purity and germination are those of the label on the lot: read it again when the bags arrive. Handle dressed "
        "or coated seed as its label says, and keep it from birds, pets and water."
    ),
    "fertiliser_label": (
        "This is arithmetic, not advice on what to use. The label, a soil analysis and the rules of the place decide "
        "how much, how often, in which months and how near to water; keep the records they ask for."
    ),
    "fertiliser_spill": (
        "Calibrate the spreader before each round, and sweep up what lands on paths, drains and banks."
    ),
    "liquid_label": (
        "This is arithmetic, not advice on what to use. The label, the safety data sheet, licensed practice and the "
        "rules of the place decide whether, how much, in what water and how near to water; keep people off as they say."
    ),
    "spray_certified": (
        "For certified users only. The product's label and national rules decide whether, where, how much, how often, "
        "in which weather and how near to water: where a figure here and the label disagree, the label is right. "
        "Nothing here advises on a product or a dose."
    ),
    "spray_mixing": (
        "Put products in as their labels say and in their order. Mix, fill and wash away from water, wells and drains, "
        "with somebody beside the tank; wear what the label asks for. Never tip out what is left: spray it out, "
        "thinned, where the label allows, and keep people off as long as it says."
    ),
    "spray_strips": (
        "Strips to keep off are measured from drawn edges, which may have moved or be drawn in or out: mark them on "
        "the ground, and shut the boom in good time."
    ),
    "spray_calibrated": (
        "Litres and tanks hold only for a calibrated sprayer: catch all nozzles before the round, with clean water."
    ),
    "turf_fresh": (
        "Cut turf heats up and dies on the pallet: order what can be laid within a day or two, and have water ready."
    ),
    "long_grass": (
        "Ground that is let grow is not free of work: cutting and collecting it once a year, and weeding it, are in "
        "these sums only where a job says so. What others saved differs nearly a hundredfold: go by your own hours."
    ),
    "mowing_guess": (
        "Minutes are a first guess. In one manager's records mowers reached only about 10 % (tees) to 40 % (fairways) "
        "of width times speed over their meter hours: put your own meter readings in before you plan people by them."
    ),
    "slope_ground": (
        "Look at the ground before a machine goes there: wet grass, leaves, holes, ruts, soft edges and roots are not "
        "in these figures, and a tyre, a load, a full box or a turn on the slope can take away what the slope leaves."
    ),
    "slope_limits": (
        "The limits are those that were entered. The manual and plate of the machine and the local rules decide, also "
        "which way to travel, how seat belt and frame are used, and who may drive; keep well away from edges with a "
        "drop."
    ),
    "slope_cells": (
        "Under the limit means that no cell of the heights is steeper: what is smaller than a cell, or has changed "
        "since they were surveyed, is not seen. Unknown means that nobody has shown it to be under."
    ),
    "board_guess": (
        "Minutes are reckoned from areas and edges, not measured: watch the first days with a clock. Whoever sets "
        "people to work answers for training, certificates, supervision, young people, breaks, weather and working "
        "alone; being on this board is no permission to use a machine."
    ),
    "exposure": (
        "Vibration and noise are sums of the values that the club has entered, over the minutes of this board. Values "
        "of a manual are often lower than those on the ground; other work and life at home are not counted. The "
        "employer's own assessment, measurements and health checks decide; lower exposure is always the aim."
    ),
    "place_person": (
        "A list replaces no inspection. Trees, hanging or fallen limbs and other hazards are for a competent person to "
        "judge; keep people away until then, and never work on them alone or from a ladder with a saw."
    ),
    "place_treatment": (
        "What a disease, pest or weed is, and whether anything may be done about it, is for certified people to "
        "say: the label, local rules and licensed practice decide. Nothing here advises on what to use."
    ),
    "place_ground": (
        "Wet or damaged ground gives way: look before a machine goes there. Open drains and pits are for trained "
        "people; mark them, and keep others off."
    ),
    "water_licence": (
        "Licence conditions and the word of a regulator override any plan, and drought orders can change them "
        "overnight. Only limits that the club entered are looked at; nothing here is one, and keeping them permits "
        "nothing. Read the meter and keep the records they ask for."
    ),
    "water_ground": (
        "Needs are reckoned from the weather, the coefficient and the root depth entered. Look at the turf and feel "
        "the ground before you water: shade, slope, wind, heads out of order and dry patches are not in these figures."
    ),
    "head_model": (
        "Throw, arc and flow are as entered, in still air: wind, pressure, worn nozzles, heads that lean or do not "
        "turn are not in these figures. Set out cans on the patches that matter before you change a head or a run time."
    ),
    "night_watch": (
        "Walk the first night of a plan, and look at pump, pressure, tank and wet ground: people and machines may be "
        "out there in the dark. Water that is not fit to touch or breathe has rules of its own on when and where it "
        "may fall."
    ),
    "machine_limits": (
        "Where a machine may go is said by its manual and plate. Slopes, wet grass, edges and water are not in these "
        "figures; look at each hole, and let only trained people drive."
    ),
}

# What is on every sheet of a kind; the order is that of print.
SHEETS: dict[str, tuple[str, ...]] = {
    "areas": ("drawn_edges", "not_a_permit"),
    "sand": ("sand_dust", "sand_match", "heavy_loads", "handling", "buried_services", "not_a_permit"),
    "seed": ("seed_label", "handling", "not_a_permit"),
    "fertiliser": ("fertiliser_label", "fertiliser_spill", "handling", "not_a_permit"),
    "liquid": ("liquid_label", "handling", "not_a_permit"),
    "turf": ("turf_fresh", "handling", "not_a_permit"),
    "spray": ("spray_certified", "spray_mixing", "spray_strips", "spray_calibrated"),
    "calibration": ("spray_certified", "spray_mixing"),
    "sand delivery": ("sand_match", "sand_dust", "heavy_loads"),
    "seed delivery": ("seed_label",),
    "fertiliser delivery": ("fertiliser_label",),
    "liquid delivery": ("liquid_label",),
    "turf delivery": ("turf_fresh",),
    "programme": ("machine_limits", "buried_services", "not_a_permit"),
    "let grow": ("long_grass", "not_a_permit"),
    "drops": ("sand_dust", "heavy_loads", "machine_limits"),
    "mowing": ("mowing_guess", "machine_limits"),
    "slope": ("slope_ground", "slope_limits", "slope_cells", "not_a_permit"),
    "hours": ("mowing_guess",),
    "board": ("board_guess", "machine_limits"),
    "exposure": ("exposure",),
    "tree": ("place_person",),
    "hazard": ("place_person",),
    "pest": ("place_treatment",),
    "disease": ("place_treatment",),
    "weed": ("place_treatment",),
    "wet spot": ("place_ground",),
    "drain": ("place_ground",),
    "damaged turf": ("place_ground",),
    "water": ("water_licence", "water_ground", "not_a_permit"),
    "heads": ("head_model", "not_a_permit"),
    "night": ("water_licence", "night_watch", "water_ground", "head_model", "not_a_permit"),
    "map": ("not_a_permit", "buried_services", "machine_limits"),
}


def sheet_cautions(*sheets: str, more: Iterable[str] = ()) -> list[str]:
    """
    The cautions of one or several kinds of sheet, each once.

    Parameters
    ----------
    sheets
        Keys of :data:`SHEETS`.
    more
        Cautions of the course or the order, printed first.

    Examples
    --------
    >>> [text.split(".")[0] for text in sheet_cautions("mowing")][0]
    'Minutes are a first guess'
    """
    named = [CAUTIONS[key] for sheet in sheets for key in SHEETS[sheet]]
    return list(dict.fromkeys([*more, *named]))


def place_cautions(rows: Iterable[Mapping[str, Any]]) -> list[str]:
    """What belongs beside places, by their kinds; those of trees and hazards first."""
    kinds = {row["kind"] for row in rows}
    return sheet_cautions(*(kind for kind in SHEETS if kind in kinds)) if kinds else []


def order_cautions(order: Order) -> list[str]:
    """What belongs on this order: its own cautions, then those of its kind."""
    return sheet_cautions(order.kind if order.kind in SHEETS else "areas", more=order.cautions)

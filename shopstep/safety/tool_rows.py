"""Cautions for every tool but the table saw. Imports the row shape, ``shopstep.model`` and units.

Sentences are short because they are read in large type from two steps away.
"""

from __future__ import annotations

from shopstep.model.step import Caution
from shopstep.safety.row import Below, SafetyRow
from shopstep.units import Length
from shopstep.words import to_say

_GOVERNS = "the tool's manual governs"
_SPINNING = to_say(
    "Switch off, wait until it stands still. Press a cloth on the wound, call for help."
)
_NAILED = to_say("Air off. Do not pull the brad out. Cover the wound, see a doctor now.")
_CUT = to_say("Press a clean cloth on the cut, hold it high. A deep cut: see a doctor now.")
_SHORT = Below("shortest", Length.inches(12))
_SAW_GOVERNS = "the saw's manual governs"
_PLANER_GOVERNS = "the planer's manual governs"
_NIOSH = "DHHS (NIOSH) 2011-202, as quoted; where brads turn is common practice"


def _row(
    tool: str,
    caution: Caution,
    below: Below | None = None,
    stands_for: tuple[str, ...] = (),
    kinds: tuple[str, ...] = (),
) -> SafetyRow:
    return SafetyRow(tool, kinds, below, stands_for, caution)


TOOL_ROWS = (
    _row("drill_press", Caution(
        "drill_press", "WARNING",
        "The bit can grab the work and spin it; cloth winds in.",
        "Clamp the work. Glasses on. No gloves, loose sleeves or hair near it. Chuck key out.",
        "Not on the work, the clamp holds it; nothing of you within 6 in of the bit.",
        _SPINNING, f"OSHA 3157 (1999), from memory; 6 in common practice; {_GOVERNS}", True,
    )),
    _row("drill_press", Caution(
        "drill_press_small", "WARNING",
        "The bit grabs a small piece out of the hand and spins it.",
        "Under 12 in: vice or clamp it to the table. Glasses on. No gloves, loose sleeves or hair.",
        "Never hold a piece this small; nothing of you within 6 in of the bit.",
        _SPINNING, f"OSHA 3157 (1999), from memory; 12 in common practice; {_GOVERNS}", True,
    ), _SHORT, ("drill_press",)),
    _row("planer", Caution(
        "planer", "WARNING",
        "The rollers pull a hand in; the knives throw wood back.",
        "Never short pieces. No nails, grit or loose knots. Stand beside the board, not behind it. "
        "No gloves.",
        "Flat on the board's end and off before the table; never reach in, pull only from behind.",
        "Switch off, wait until it stands. Cloth on the wound, hold it high, call for help.",
        f"29 CFR 1910.213(n) for feed rolls, from memory; common practice; {_PLANER_GOVERNS}",
        True,
    )),
    _row("planer", Caution(
        "planer_jam", "WARNING",
        "A board that sticks is let go all at once.",
        "It stops: switch off, unplug, wait, lower the table, draw it out. Depth by the manual, "
        "never more.",
        "Not on the board while it is stuck, nowhere near the knives until the plug is out.",
        "Hit: sit down, switch off, call for help. Do not pull anything out of a wound.",
        f"common practice, no source; {_PLANER_GOVERNS}", True,
    )),
    _row("planer", Caution(
        "planer_noise_dust", "CAUTION",
        "A planer is the loudest of all; chips fly, dust harms lungs.",
        "Ear protection and glasses on, chips drawn off or a mask. You will hear no alarm.",
        "Out of its glove; sleeves and hair tied back.",
        "Ringing ears, tight chest: stop for today. See a doctor if it stays.",
        "29 CFR 1910.95 App. A; NIOSH Pocket Guide (wood dust); gloves OSHA 3157, from memory",
        False,
    )),
    _row("router", Caution(
        "router", "WARNING",
        "The bit cuts deep and pulls the router out of the hands.",
        "Clamp the work. Feed against the bit's turning, deeper each pass. Glasses, ears, "
        "dust mask. No gloves.",
        "Both hands on the router until the bit stands; nothing under the work.",
        _SPINNING, f"OSHA 3157 (1999) for gloves, from memory; common practice; {_GOVERNS}", True,
    )),
    _row("hand_saw", Caution(
        "hand_saw_board", "WARNING",
        "A circular saw kicks back when the cut closes on its blade.",
        "Hold the work up close to the cut, the offcut free to drop. Lower guard works, cord "
        "clear. Glasses, ears.",
        "Circular saw: both on its handles. Hand saw: thumb high, slow first strokes.",
        _CUT, f"29 CFR 1926.304(d) for the guard, from memory; common practice; {_SAW_GOVERNS}",
        True,
    ), kinds=("rough_cut", "straightedge", "")),
    _row("hand_saw", Caution(
        "hand_saw_hook", "CAUTION",
        "A saw that jumps cuts the hand beside it.",
        "Bench hook or vice holds the work. Slow first strokes on the waste side, thumb high.",
        "Beside the saw's line on the hook, never in front of the teeth.",
        _CUT, f"common practice, no source; {_SAW_GOVERNS}", False,
    ), kinds=("crosscut_hand", "hand_cut")),
    _row("drill_driver", Caution(
        "drill_driver", "WARNING",
        "The bit slips, or comes through into the hand behind.",
        "Clamp the work. Glasses on. No loose gloves or sleeves. Low speed and clutch for screws.",
        "Never behind or under the hole: on the bench or the clamp, 6 in from the bit.",
        _SPINNING, f"common practice, no source; {_GOVERNS}", True,
    )),
    _row("brad_nailer", Caution(
        "brad_nailer", "WARNING",
        "A brad can turn in the grain and come out of the side.",
        "Full sequential trigger. Glasses Z87+. Air (or battery) off before clearing a jam.",
        "At least 12 in from the point; never left or right of the nailer, where brads turn out.",
        _NAILED, f"{_NIOSH}; {_GOVERNS}", True,
    )),
    _row("brad_nailer", Caution(
        "brad_nailer_medium", "WARNING",
        "A brad can turn in the grain and come out of the side.",
        "Clamp the part. Full sequential trigger. Glasses Z87+. Air off before clearing a jam.",
        "Under 24 in: off the part, or 12 in from the point and not left or right of the nailer.",
        _NAILED, f"{_NIOSH}; {_GOVERNS}", True,
    ), Below("shortest", Length.inches(24)), ("brad_nailer",)),
    _row("brad_nailer", Caution(
        "brad_nailer_short", "WARNING",
        "A brad can turn in the grain and come out of the side.",
        "Clamp or cleat it. Full sequential trigger. Glasses Z87+. Air off before clearing a jam.",
        "No place on this part is 12 in from the point: keep the other hand off it altogether.",
        _NAILED, f"{_NIOSH}; {_GOVERNS}", True,
    ), _SHORT, ("brad_nailer", "brad_nailer_medium")),
    _row("staple_gun", Caution(
        "staple_gun", "WARNING",
        "A staple can glance off into an eye or a finger.",
        "Glasses on. Nose flat on the wood. Lock or unload it before clearing a jam.",
        "Hold the cloth with a scrap of wood; no finger within 6 in of the nose, 12 if powered.",
        "Do not pull a deep staple out. Cover it, see a doctor. Eye: do not rub.",
        f"12 in after DHHS (NIOSH) 2011-202, as quoted; 6 in common practice; {_GOVERNS}", True,
    )),
    _row("hand_plane", Caution(
        "hand_plane", "CAUTION",
        "The iron cuts whatever lies before it.",
        "Vice or bench stop holds the work. Lay the plane on its side when you put it down.",
        "Both hands on the plane, behind the edge.",
        _CUT, f"common practice, no source; {_GOVERNS}", False,
    )),
    _row("chisel", Caution(
        "chisel", "CAUTION",
        "A chisel that slips cuts the hand before it.",
        "Clamp the work. Cut away from you, thin shavings, sharp edge.",
        "Both hands behind the edge, never one before it.",
        _CUT, f"common practice, no source; {_GOVERNS}", False,
    )),
    _row("knife", Caution(
        "knife", "CAUTION",
        "A knife that slips cuts the hand that holds the work.",
        "Cut away from you along a straight edge, in several light strokes. Close it after use.",
        "Behind the blade, out of its line.",
        _CUT, f"common practice, no source; {_GOVERNS}", False,
    )),
    _row("snips", Caution(
        "snips", "CAUTION",
        "Cut wire ends pierce skin and fly into eyes.",
        "Gloves and glasses. Hold the cloth so it cannot spring. Clip or cover every cut edge.",
        "In a glove, behind the cut, away from where the blades close.",
        "Wash and cover the cut. Wire in the eye: do not rub, see a doctor.",
        f"common practice, no source; {_GOVERNS}", False,
    )),
    _row("snips", Caution(
        "snips_metal", "CAUTION",
        "Cut sheet metal is as sharp as a knife.",
        "Cut-resistant gloves, off again at any machine; glasses. "
        "The waste curls: keep clear. File the edges.",
        "In a glove, on the sheet's middle, never along a fresh edge.",
        _CUT, f"common practice, no source; {_GOVERNS}", False,
    ), kinds=("snip",), stands_for=("snips",)),
    _row("brush", Caution(
        "brush_vapour", "CAUTION",
        "Vapour in a closed shop makes you ill.",
        "Open a window, keep air moving, no flame. Oil paint: dry its rags flat, outdoors.",
        "",
        "Dizzy: out into fresh air. Eyes: rinse long with water, see a doctor.",
        "common practice, no source; the label governs", False,
    )),
    _row("brush", Caution(
        "brush_oily_rags", "WARNING",
        "Oily rags heat up by themselves and set fire to the shop.",
        "Spread rags flat outdoors to dry, or sink them in water in a lidded metal can.",
        "",
        "Fire: get out, shut the door behind you, call the fire service.",
        "29 CFR 1926.252(e), as quoted; drying flat: fire services' advice, as quoted", True,
    ), kinds=("oil", "")),
    _row("glue", Caution(
        "glue_skin", "CAUTION",
        "Wet glue stings eyes and skin.",
        "Keep it off bare skin; gloves and moving air for epoxy, polyurethane and resorcinol.",
        "",
        "Skin: soap and water at once. Eyes: rinse long with water, see a doctor.",
        "common practice, no source; the label governs", False,
    )),
    _row("glue", Caution(
        "glue_squeezed_out", "NOTICE",
        "Dried glue on the wood keeps paint off and chips edges.",
        "Wipe it off wet with a damp cloth, or scrape it off once it is like rubber.",
        "", "Scrape it off before painting; do not plane over hard glue.",
        "common practice, no source", False,
    )),
)  # fmt: skip

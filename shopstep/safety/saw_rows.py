"""Cautions for the table saw. Imports this room's row shape, ``shopstep.model`` and units.

Sentences are short because they are read in large type from two steps away.
"""

from __future__ import annotations

from shopstep.model.step import Caution
from shopstep.safety.row import Below, SafetyRow
from shopstep.units import Length
from shopstep.words import to_say

_GOVERNS = "the saw's manual governs"
_CUT = to_say("Switch the saw off. Press a clean cloth on the wound, hold it high, call for help.")
_HIT = to_say("Switch the saw off. Sit down, do not pull anything out of a wound, call for help.")
_CHANNELS = ("groove", "rabbet")
_ON_GAUGE = ("rabbet_end", "dado", "fingers")
"""Cuts that do not go through, past the blade on the mitre gauge."""
_SHORT = Below("shortest", Length.inches(12))


def _row(
    kinds: tuple[str, ...],
    caution: Caution,
    below: Below | None = None,
    stands_for: tuple[str, ...] = (),
) -> SafetyRow:
    return SafetyRow("table_saw", kinds, below, stands_for, caution)


SAW_ROWS = (
    _row(("",), Caution(
        "saw_any", "WARNING",
        "The blade can cut fingers off and throw the work back.",
        "Guard and riving knife on. Stand beside the blade's line. Push the work right past it.",
        "Both hands at least 6 in from the blade; a push stick does the rest.",
        _CUT, f"29 CFR 1910.213(c), from memory, and common practice; {_GOVERNS}", True,
    )),
    _row(("edge", "rip", "sheet_cut"), Caution(
        "saw_rip", "WARNING",
        "The blade can cut fingers off and throw the board back.",
        "Guard and riving knife on. Stand beside the blade's line. Push the board right past it.",
        "Feeding hand by the fence, the other on your side of the blade, never beside it.",
        _CUT, f"29 CFR 1910.213(c), from memory, and common practice; {_GOVERNS}", True,
    )),
    _row(("edge", "rip", "sheet_cut"), Caution(
        "saw_rip_narrow", "WARNING",
        "The blade can cut fingers off and throw the board back.",
        "Guard and riving knife on. Stand beside the blade's line. Push the board right past it.",
        "Less than 6 in to the fence: push stick there, the other hand on your side of the blade.",
        _CUT, f"29 CFR 1910.213(s), from memory; 6 in is common practice; {_GOVERNS}", True,
    ), Below("narrowest", Length.inches(6)), ("saw_rip",)),
    _row(("rip_thin",), Caution(
        "saw_rip_thin", "WARNING",
        "A thin stick can be caught, broken and thrown back.",
        "Guard and riving knife on. A push block with a heel carries the stick right past.",
        "Only the push block passes the blade; both hands stay 6 in away.",
        _HIT, f"29 CFR 1910.213(s), from memory, and common practice; {_GOVERNS}", True,
    )),
    _row(("slice",), Caution(
        "saw_slice", "WARNING",
        "A slice this thin is pulled in beside the blade and thrown.",
        "It falls outside, never between blade and fence. Guard and riving knife on. Leave it "
        "until the blade stands.",
        "Push block with a heel on the wide piece; both hands 6 in from the blade.",
        _HIT, f"common practice, no source; {_GOVERNS}", True,
    )),
    _row(("bevel_rip",), Caution(
        "saw_bevel", "WARNING",
        "Wood trapped under a leaning blade is thrown back.",
        "Fence on the side that the blade leans away from. Guard and riving knife on.",
        "Push block past the blade; hands 6 in away, body out of line with the offcut.",
        _CUT, f"common practice, no source; {_GOVERNS}", True,
    )),
    _row(("slice", "rip", "rip_thin", "bevel_rip"), Caution(
        "saw_short", "WARNING",
        "A piece this short can tip into the blade and be thrown.",
        "Under 12 in: rip it while it is still part of a long board, cut it to length afterwards.",
        "No hand and no push stick holds a piece this short against a fence.",
        _HIT, f"12 in as least length is common practice, no source; {_GOVERNS}", True,
    ), _SHORT),
    _row(_CHANNELS, Caution(
        "saw_groove", "WARNING",
        "The bare blade cuts deep and can throw the work back.",
        "Featherboard on the table, pressing to the fence before the blade. Never lower work on "
        "to a turning blade.",
        "Push block on top; never a hand over or behind the blade. No backing out: saw off, wait, "
        "lift.",
        _CUT, f"Cal. Code Regs. tit. 8 §4296(a); the rest common practice; {_GOVERNS}", True,
    )),
    _row(_CHANNELS, Caution(
        "saw_groove_short", "WARNING",
        "The bare blade cuts deep; a short piece tips into it.",
        "Under 12 in: groove the long board first, cut to length after. Featherboard before the "
        "blade, or a jig.",
        "Push block on top; never a hand over or behind the blade. No backing out: saw off, wait, "
        "lift.",
        _CUT, f"Cal. Code Regs. tit. 8 §4296(a); 12 in common practice; {_GOVERNS}", True,
    ), _SHORT, ("saw_groove",)),
    _row(("notch",), Caution(
        "saw_notch", "WARNING",
        "The bare blade catches a part that rocks or lifts.",
        "Clamp the part to the mitre gauge, end at a stop block. Take several shallow passes.",
        "Both hands on the gauge, none over, beside or behind the blade.",
        _CUT, f"Cal. Code Regs. tit. 8 §4296(a); passes common practice; {_GOVERNS}", True,
    )),
    _row(_ON_GAUGE, Caution(
        "saw_gauge_channel", "WARNING",
        "The bare dado set catches a part that rocks or creeps.",
        "Clamp part and backer to the gauge. Set no wider than the saw's manual allows. Right past "
        "it, saw off, lift.",
        "Both hands on the gauge or jig, none over, beside or behind the set.",
        _CUT, f"Cal. Code Regs. tit. 8 §4296(a); the rest common practice; {_GOVERNS}", True,
    )),
    _row((*_CHANNELS, *_ON_GAUGE, "notch"), Caution(
        "saw_guard_off", "WARNING",
        "A saw left unguarded cuts somebody at the next job.",
        "Unplug, then take guard and riving knife off. Refit both as soon as these cuts are done.",
        "Off the saw table until the plug is out and the blade stands still.",
        _CUT, f"29 CFR 1910.213(c)(2), from memory; {_GOVERNS}", True,
    )),
    _row(("crosscut",), Caution(
        "saw_crosscut", "WARNING",
        "An offcut caught between blade and fence is thrown at you.",
        "Guard and riving knife on. Never fence and gauge together; stop block short of the blade.",
        "Both hands on the gauge side, 6 in away. Leave the offcut until the blade stands still.",
        _CUT, f"common practice, no source; {_GOVERNS}", True,
    )),
    _row(("crosscut",), Caution(
        "saw_crosscut_short", "WARNING",
        "A short piece turns into the blade and is thrown at you.",
        "Under 12 in: clamp it to the gauge, no fence; stop block short of the blade. "
        "Guard, riving knife on.",
        "The clamp holds the piece; both hands on the gauge, at least 6 in from the blade.",
        _CUT, f"12 in as least length is common practice, no source; {_GOVERNS}", True,
    ), _SHORT, ("saw_crosscut",)),
    _row(("mitre",), Caution(
        "saw_mitre", "WARNING",
        "Work at an angle creeps along the gauge and jams the blade.",
        "Clamp it to the gauge, no fence; the offcut lies free. Guard and riving knife on.",
        "The clamp holds the piece; both hands on the gauge, at least 6 in from the blade.",
        _CUT, f"common practice, no source; {_GOVERNS}", True,
    )),
    _row((), Caution(
        "saw_noise_dust", "CAUTION",
        "Noise dulls hearing for good; fine dust harms the lungs.",
        "Ear protection, glasses, dust extraction or a mask. You will hear no alarm.",
        "Out of its glove: gloves, sleeves and hair can be drawn into the blade.",
        "Ringing ears, tight chest: stop for today. See a doctor if it stays.",
        "29 CFR 1910.95 App. A; NIOSH Pocket Guide (wood dust); gloves OSHA 3157, from memory",
        False,
    )),
)  # fmt: skip

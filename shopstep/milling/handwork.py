"""What is sawn and pared by hand because the part is too short for the table saw.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from dataclasses import replace

from shopstep.milling.drafts import HAND_SAW, Draft
from shopstep.model.feature import Bevel, Dado, Feature, Fingers, Groove, Notch, Rabbet
from shopstep.model.operation import Setting


def cut_by_hand(feature: Feature, draft: Draft) -> Draft:
    """The same feature by hand: the sizes to pencil take the place of machine settings."""
    return replace(
        draft,
        kind="hand_cut",
        tool=HAND_SAW,
        name=f"{feature.kind}/{draft.name}",
        settings=_sizes(feature),
        note="",
    )


def _sizes(feature: Feature) -> tuple[Setting, ...]:
    if isinstance(feature, Bevel):
        return Setting("back", feature.back), Setting("down", feature.drop)
    if isinstance(feature, Notch):
        return Setting("width", feature.width), Setting("height", feature.height)
    if isinstance(feature, Groove):
        return (
            Setting("from edge", feature.offset),
            Setting("width", feature.width),
            Setting("depth", feature.depth),
        )
    if isinstance(feature, Rabbet):
        return Setting("width", feature.width), Setting("depth", feature.depth)
    if isinstance(feature, Dado):
        return (
            Setting("from end", feature.offset),
            Setting("width", feature.width),
            Setting("depth", feature.depth),
        )
    if isinstance(feature, Fingers):
        return Setting("finger", feature.pitch), Setting("depth", feature.depth)
    return ()

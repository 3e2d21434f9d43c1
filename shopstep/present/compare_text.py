"""A comparison of two designs as lines for people and as JSON values for programs.

``comparison_document``, version 1 (a *length* is ``{nm, text}`` as in ``document``; ``old`` or
``new`` is null where the thing is not there)::

    version       1
    old, new      {id, title, revision}
    units         how many copies, in both
    display       "in" or "mm"
    same          true where nothing is added, gone or changed
    measurements  [{name, old: length, new: length}]    only those that differ
    parts         [{name, title, hand, change, old, new}]
                  change: "added", "gone", "changed"
      old, new    {material, count, length, width, thickness, features: [name]}
    setups        {old, new, changes: [{change, text}]}     old, new: how many
    steps         [{id, title, change, old, new}]           old, new: {text, minutes}
    buy           [{item, change, old, new}]                old, new: {quantity, unit, text}
    evenings      {old, new}                                how many
    hands_on_s    {old, new}                                seconds of work
    weak_fits     {old: [fit], new: [fit]}    fit: {name, level, value: length, ok, advice}

Imports ``model`` and the words of this room.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from shopstep.model.operation import Setup
from shopstep.model.part import Part
from shopstep.model.plan import Fit, Plan
from shopstep.model.step import StepKind
from shopstep.model.stock import BuyLine
from shopstep.present.columns import fold_item, title_section
from shopstep.present.compare import Change, Comparison, Load
from shopstep.present.document_values import length_entry, optional_length
from shopstep.present.facts import value_text
from shopstep.units import Length, format_length, format_span
from shopstep.words import say

VERSION = 1
T = TypeVar("T")


def comparison_lines(found: Comparison, width: int = 78) -> list[str]:
    """The comparison in lines of at most ``width`` characters."""
    heading = say(
        "From {build} to {build_2}", build=_build_words(found.old), build_2=_build_words(found.new)
    )
    if found.is_same:
        return fold_item(say("{heading}: nothing changes.", heading=heading), width, "")
    sections = (
        (say("Measurements"), [_measured_words(name, c, found) for name, c in found.measured]),
        (say("Parts (length × width × thickness)"), [_part_words(c, found) for c in found.parts]),
        (say("Machine setups"), [_setup_line(c, found) for c in found.setups]),
        (say("Steps"), [_step_words(c) for c in found.steps]),
        (say("Buy"), [_buy_words(c) for c in found.buy]),
        (say("In all"), _load_words(*found.loads)),
        (say("Weak fits"), _weak_words(found)),
    )
    lines = fold_item(heading, width, "")
    for title, texts in sections:
        lines += title_section(title, [x for text in texts for x in fold_item(text, width)], width)
    return lines


def differing_lines(found: Comparison, width: int = 78) -> list[str]:
    """Measurements and parts that differ, one each, where the build is the same."""
    if not found.measured and not found.parts:
        return [say("Every part is the same.")]
    texts = [_measured_words(name, change, found) for name, change in found.measured]
    lines = title_section(
        say("Measurements"), [x for t in texts for x in fold_item(t, width)], width
    )
    parts = [_part_words(change, found) for change in found.parts] or [
        say("Every part is the same.")
    ]
    title = say("Parts (length × width × thickness)")
    return lines + title_section(title, [x for t in parts for x in fold_item(t, width)], width)


def _build_words(plan: Plan) -> str:
    return say(
        "{build_title} (build {build_id}, revision {revision})",
        build_title=plan.build_title,
        build_id=plan.build_id,
        revision=plan.revision,
    )


def _measured_words(name: str, change: Change[Length], found: Comparison) -> str:
    shown = [
        say("not asked for") if size is None else format_length(size, found.new.display)
        for size in (change.old, change.new)
    ]
    return f"{name}: {shown[0]} → {shown[1]}"


def _part_words(change: Change[Part], found: Comparison) -> str:
    part = change.new or change.old
    assert part is not None
    if change.old is None or change.new is None:
        return f"{change.word}: {part.count_unit} × {part.label}, {_sizes(part, found)}"
    notes = [
        note
        for note, differs in (
            (
                say(
                    "{count_unit} → {count_unit_2} pieces",
                    count_unit=change.old.count_unit,
                    count_unit_2=change.new.count_unit,
                ),
                change.old.count_unit != change.new.count_unit,
            ),
            (
                say(
                    "of {material} in place of {material_2}",
                    material=change.new.material,
                    material_2=change.old.material,
                ),
                change.old.material != change.new.material,
            ),
            (
                say("cut in another way: {recut}", recut=_recut(change.old, change.new)),
                bool(_recut(change.old, change.new)),
            ),
        )
        if differs
    ]
    sizes = [_sizes(change.old, found), _sizes(change.new, found)]
    said = sizes[0] if sizes[0] == sizes[1] else f"{sizes[0]} → {sizes[1]}"
    if sizes[0] == sizes[1] and _lengths(change.old) != _lengths(change.new):
        notes.insert(0, say("by less than is shown"))
    return "; ".join(
        [say("changed: {part_label}, {said}", part_label=part.label, said=said), *notes]
    )


def _recut(old: Part, new: Part) -> str:
    """Names of the features that are not the same in both."""
    differing = [f for f in old.features if f not in new.features]
    differing += [f for f in new.features if f not in old.features]
    return ", ".join(dict.fromkeys(feature.name.replace("_", " ") for feature in differing))


def _sizes(part: Part, found: Comparison) -> str:
    return " × ".join(format_length(size, found.new.display) for size in _lengths(part))


def _lengths(part: Part) -> tuple[Length, Length, Length]:
    return part.length, part.width, part.thickness


def _setup_line(change: Change[Setup], found: Comparison) -> str:
    return f"{change.word}: {_setup_words(change, found.new.display)}"


def _setup_words(change: Change[Setup], display: str) -> str:
    setup = change.new or change.old
    assert setup is not None
    work = f"{say(setup.tool.replace('_', ' '))}, {say(setup.kind.replace('_', ' '))}"
    settings = ", ".join(f"{s.name} {value_text(s.value, display)}" for s in setup.settings)
    return f"{work}: {settings}" if settings else work


def _step_words(change: Change[StepKind]) -> str:
    kind = change.new or change.old
    assert kind is not None
    minutes = [
        None if each is None else format_span(each.duration_s) for each in (change.old, change.new)
    ]
    if None in minutes or minutes[0] == minutes[1]:
        return f"{change.word}: {kind.title}, {minutes[1] or minutes[0]}"
    return f"{change.word}: {kind.title}, {minutes[0]} → {minutes[1]}"


def _buy_words(change: Change[BuyLine]) -> str:
    if change.old is not None and change.new is not None:
        return say("changed: {old} → {new}", old=change.old.text, new=change.new.text)
    line = change.new or change.old
    assert line is not None
    return f"{change.word}: {line.text}"


def _load_words(old: Load, new: Load) -> list[str]:
    rows = (
        ("setups", str(old.setups), str(new.setups)),
        ("evenings", str(old.evenings), str(new.evenings)),
        ("hands-on", format_span(old.hands_on_s), format_span(new.hands_on_s)),
        (say("weak fits"), str(len(old.weak)), str(len(new.weak))),
    )
    return [
        f"{name}: {a} → {b}" if a != b else say("{name}: {a}, as before", name=name, a=a)
        for name, a, b in rows
    ]


def _weak_words(found: Comparison) -> list[str]:
    old, new = ({fit.name: fit for fit in load.weak} for load in found.loads)
    display = found.new.display
    lines = [
        f"{say('weak before too') if name in old else say('weak now')}: {_fit_words(fit, display)}"
        for name, fit in new.items()
    ]
    return lines + [
        say("no longer weak: {fit}", fit=_fit_words(fit, display))
        for n, fit in old.items()
        if n not in new
    ]


def _fit_words(fit: Fit, display: str) -> str:
    value = format_length(fit.value, display)
    return f"{fit.name.replace('_', ' ')} {value}{'' if fit.ok else say(', broken')}"


def comparison_document(found: Comparison) -> dict[str, object]:
    """The comparison as JSON values, in the shape that the module's docstring gives."""
    display = found.new.display
    old, new = found.loads
    return {
        "version": VERSION,
        "old": _build_entry(found.old),
        "new": _build_entry(found.new),
        "units": found.new.units,
        "display": display,
        "same": found.is_same,
        "measurements": [
            {
                "name": name,
                "old": optional_length(change.old, display),
                "new": optional_length(change.new, display),
            }
            for name, change in found.measured
        ],
        "parts": [_part_entry(change, display) for change in found.parts],
        "setups": {
            "old": old.setups,
            "new": new.setups,
            "changes": [
                {"change": change.word, "text": _setup_words(change, display)}
                for change in found.setups
            ],
        },
        "steps": [_step_entry(change) for change in found.steps],
        "buy": [_buy_entry(change) for change in found.buy],
        "evenings": {"old": old.evenings, "new": new.evenings},
        "hands_on_s": {"old": old.hands_on_s, "new": new.hands_on_s},
        "weak_fits": {
            "old": [_weak_entry(fit, display) for fit in old.weak],
            "new": [_weak_entry(fit, display) for fit in new.weak],
        },
    }


def _build_entry(plan: Plan) -> dict[str, object]:
    return {"id": plan.build_id, "title": plan.build_title, "revision": plan.revision}


def _both(change: Change[T], entry: Callable[[T], dict[str, object]]) -> dict[str, object]:
    return {
        "old": None if change.old is None else entry(change.old),
        "new": None if change.new is None else entry(change.new),
    }


def _part_entry(change: Change[Part], display: str) -> dict[str, object]:
    def entry(part: Part) -> dict[str, object]:
        return {
            "material": part.material,
            "count": part.count_unit,
            "length": length_entry(part.length, display),
            "width": length_entry(part.width, display),
            "thickness": length_entry(part.thickness, display),
            "features": [feature.name for feature in part.features],
        }

    part = change.new or change.old
    assert part is not None
    head: dict[str, object] = {
        "name": part.name,
        "title": part.title,
        "hand": part.hand.value if part.hand else None,
        "change": change.word,
    }
    return head | _both(change, entry)


def _step_entry(change: Change[StepKind]) -> dict[str, object]:
    kind = change.new or change.old
    assert kind is not None
    head: dict[str, object] = {"id": kind.id, "title": kind.title, "change": change.word}
    return head | _both(change, lambda k: {"text": k.text, "minutes": k.duration_s / 60})


def _buy_entry(change: Change[BuyLine]) -> dict[str, object]:
    line = change.new or change.old
    assert line is not None
    head: dict[str, object] = {"item": line.item, "change": change.word}
    return head | _both(change, lambda b: {"quantity": b.quantity, "unit": b.unit, "text": b.text})


def _weak_entry(fit: Fit, display: str) -> dict[str, object]:
    return {
        "name": fit.name,
        "level": fit.level,
        "value": length_entry(fit.value, display),
        "ok": fit.ok,
        "advice": fit.advice,
    }

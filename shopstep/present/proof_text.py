"""A proof as text and as a document. Imports ``model``."""

from __future__ import annotations

from collections.abc import Callable

from shopstep.model.plan import Level, Where
from shopstep.model.proof import Amount, Contact, Proof
from shopstep.units import Length, format_length
from shopstep.words import figure, say, say_count

VERSION = 1
_MM2 = {"in": 645.16, "mm": 100.0}
_AREA = {"in": "in²", "mm": "cm²"}


def _no_place(_: Where) -> str:
    return ""


def proof_lines(proof: Proof, place: Callable[[Where], str] = _no_place) -> tuple[str, ...]:
    """What was looked at, what it came to, and what is wrong; the verdict comes last.

    ``place``: how file and line of a finding are told before it.
    """
    display = proof.display
    lines = [
        say(
            "{pieces} pieces, {pairs} pairs held against each other.",
            pieces=proof.pieces,
            pairs=proof.pairs,
        )
    ]
    if proof.contacts:
        lines += ["", say("Joints, with the area on which faces meet:")]
        lines += [f"  {_contact_text(contact, display)}" for contact in proof.contacts]
    if proof.ways:
        lines += ["", say("Order, each with a free straight way in:")]
        lines += [
            f"  {way.step}: {way.what}"
            + (say(", from {comes_from}", comes_from=way.comes_from) if way.comes_from else "")
            for way in proof.ways
        ]
    else:
        lines += ["", say("Order: not looked at, for no step says what it adds.")]
    if proof.amounts:
        lines += ["", say("For one unit:")]
        lines += [f"  {_amount_text(amount, display)}" for amount in proof.amounts]
    if proof.bare:
        lines += ["", say("Glue stays off, for something slides or comes off there:")]
        lines += [
            say(
                "  {stays}, for the {loose}: {area}",
                stays=each.stays,
                loose=each.loose,
                area=_area_text(each.area_mm2, display),
            )
            for each in proof.bare
        ]
    lines += _driven_lines(proof)
    return (*lines, "", *verdict_lines(proof, place))


def _driven_lines(proof: Proof) -> list[str]:
    """Fasteners of one unit: where they hold least; then what was not looked at."""
    if not proof.driven:
        return []
    lines = ["", say("Fasteners of one unit, with the least way in the wood that holds them:")]
    for one in proof.driven:
        if not one.placed:
            lines.append(
                say(
                    "  {step}: {count} × {one_title}: not looked at, for the build"
                    " does not say where they go in",
                    step=one.step,
                    count=one.count,
                    one_title=one.title,
                )
            )
            continue
        least = format_length(Length(round(one.hold_mm * 1e6)), proof.display, 32)
        guess = say("; their places are a guess") if one.is_guessed else ""
        lines.append(f"  {one.step}: {one.count} × {one.title}, {least}{guess}")
    light = sum(one.light for one in proof.driven)
    if light:
        all_placed = sum(one.placed for one in proof.driven)
        lines.append(
            say(
                "  {light} of {all_placed} have less wood than NDS asks (from memory) of joints "
                "that carry by them alone: here glue holds, or little has to be held.",
                light=light,
                all_placed=all_placed,
            )
        )
    return lines


def verdict_lines(proof: Proof, place: Callable[[Where], str] = _no_place) -> tuple[str, ...]:
    """Every finding, then one line that says whether the design is proved."""
    found = [f"{one.level}: {place(one.where)}{one.sentence}" for one in proof.findings]
    stops = sum(finding.level is Level.STOP for finding in proof.findings)
    if stops:
        return (
            *found,
            say_count("Not proved: {n} finding.", "Not proved: {n} findings.", stops),
        )
    held = say(", fasteners stay inside") if any(one.placed for one in proof.driven) else ""
    order = say(", the order can be done") if proof.ways else say("; the order was not looked at")
    meets = say(", every joint meets") if proof.contacts else ""
    proved = say(
        "Proved: nothing collides{meets}{order}{held}", meets=meets, order=order, held=held
    )
    warned = sum(finding.level is Level.WARN for finding in proof.findings)
    if warned:
        count = (
            say("the warning above")
            if warned == 1
            else say("the {warned} warnings above", warned=warned)
        )
        return (*found, say("{proved}; all but what {count} names.", proved=proved, count=count))
    return (*found, f"{proved}.")


def _contact_text(contact: Contact, display: str) -> str:
    glue = f", {contact.glue}" if contact.glue else say(", no glue")
    area = _area_text(contact.area_mm2, display)
    return say(
        "{joint}: {member} to {into}, {area}{glue}",
        joint=contact.joint,
        member=contact.member,
        into=contact.into,
        area=area,
        glue=glue,
    )


def _area_text(area_mm2: float, display: str) -> str:
    return f"{figure(area_mm2 / _MM2[display], '.1f')} {_AREA[display]}"


def _amount_text(amount: Amount, display: str) -> str:
    if amount.kind == "glue":
        return say(
            "{supply}: about {grams} g, {litres} mL, on {area} ({source})",
            supply=amount.supply,
            grams=figure(amount.grams, ".0f"),
            litres=figure(amount.litres * 1000, ".0f"),
            area=_area_text(amount.area_mm2, display),
            source=amount.source,
        )
    return say(
        "{supply}: about {litres} L for {coats} coats on "
        "{area}, all that is seen from the six sides "
        "({source})",
        supply=amount.supply,
        litres=figure(amount.litres, ".2f"),
        coats=amount.coats,
        area=_area_text(amount.area_mm2, display),
        source=amount.source,
    )


def proof_document(proof: Proof) -> dict[str, object]:
    """The proof for programs: version 1; areas in square millimetres, amounts for one unit."""
    return {
        "version": VERSION,
        "proved": not any(f.level is Level.STOP for f in proof.findings),
        "pieces": proof.pieces,
        "pairs": proof.pairs,
        "outside_mm2": round(proof.outside_mm2, 1),
        "joints": [
            {
                "name": contact.joint,
                "member": contact.member,
                "into": contact.into,
                "area_mm2": round(contact.area_mm2, 1),
                "glue": contact.glue,
            }
            for contact in proof.contacts
        ],
        "ways": [
            {"step": way.step, "what": way.what, "from": way.comes_from or None}
            for way in proof.ways
        ],
        "glue_free": [
            {"loose": each.loose, "of": each.stays, "area_mm2": round(each.area_mm2, 1)}
            for each in proof.bare
        ],
        "fasteners": [
            {
                "step": one.step,
                "title": one.title,
                "count": one.count,
                "placed": one.placed,
                "guessed": one.is_guessed,
                "light": one.light,
                "least_hold_mm": round(one.hold_mm, 2),
            }
            for one in proof.driven
        ],
        "amounts": [
            {
                "supply": amount.supply,
                "kind": amount.kind,
                "area_mm2": round(amount.area_mm2, 1),
                "coats": amount.coats,
                "grams": round(amount.grams, 1) if amount.kind == "glue" else None,
                "litres": round(amount.litres, 4),
                "source": amount.source,
            }
            for amount in proof.amounts
        ],
        "findings": [
            {
                "level": finding.level.value,
                "rule": finding.rule,
                "text": finding.text,
                "remedy": finding.remedy,
                "name": finding.where.name,
                "line": finding.where.line,
            }
            for finding in proof.findings
        ],
    }

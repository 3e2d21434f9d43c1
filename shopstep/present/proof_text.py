"""A proof as text and as a document. Imports ``model``."""

from __future__ import annotations

from shopstep.model.plan import Level
from shopstep.model.proof import Amount, Contact, Proof
from shopstep.units import Length, format_length

VERSION = 1
_MM2 = {"in": 645.16, "mm": 100.0}
_AREA = {"in": "in²", "mm": "cm²"}


def proof_lines(proof: Proof) -> tuple[str, ...]:
    """What was looked at, what it came to, and what is wrong; the verdict comes last."""
    display = proof.display
    lines = [f"{proof.pieces} pieces, {proof.pairs} pairs held against each other."]
    if proof.contacts:
        lines += ["", "Joints, with the area on which faces meet:"]
        lines += [f"  {_contact_text(contact, display)}" for contact in proof.contacts]
    if proof.ways:
        lines += ["", "Order, each with a free straight way in:"]
        lines += [
            f"  {way.step}: {way.what}" + (f", from {way.comes_from}" if way.comes_from else "")
            for way in proof.ways
        ]
    else:
        lines += ["", "Order: not looked at, for no step says what it adds."]
    if proof.amounts:
        lines += ["", "For one unit:"]
        lines += [f"  {_amount_text(amount, display)}" for amount in proof.amounts]
    if proof.bare:
        lines += ["", "Glue stays off, for something slides or comes off there:"]
        lines += [
            f"  {each.stays}, for the {each.loose}: {_area_text(each.area_mm2, display)}"
            for each in proof.bare
        ]
    lines += _driven_lines(proof)
    return (*lines, "", *verdict_lines(proof))


def _driven_lines(proof: Proof) -> list[str]:
    """Fasteners of one unit: where they hold least; then what was not looked at."""
    if not proof.driven:
        return []
    lines = ["", "Fasteners of one unit, with the least way in the wood that holds them:"]
    for one in proof.driven:
        if not one.placed:
            lines.append(f"  {one.step}: {one.count} × {one.title}: not looked at, for the build"
                         " does not say where they go in")  # fmt: skip
            continue
        least = format_length(Length(round(one.hold_mm * 1e6)), proof.display, 32)
        guess = "; their places are a guess" if one.is_guessed else ""
        lines.append(f"  {one.step}: {one.count} × {one.title}, {least}{guess}")
    light = sum(one.light for one in proof.driven)
    if light:
        all_placed = sum(one.placed for one in proof.driven)
        lines.append(
            f"  {light} of {all_placed} have less wood than NDS asks (from memory) of joints that"
            " carry by them alone: here glue holds, or little has to be held."
        )
    return lines


def verdict_lines(proof: Proof) -> tuple[str, ...]:
    """Every finding, then one line that says whether the design is proved."""
    found = [f"{finding.level}: {finding.sentence}" for finding in proof.findings]
    stops = sum(finding.level is Level.STOP for finding in proof.findings)
    if stops:
        return (*found, f"Not proved: {stops} finding{'s' if stops != 1 else ''}.")
    held = ", fasteners stay inside" if any(one.placed for one in proof.driven) else ""
    order = ", the order can be done" if proof.ways else "; the order was not looked at"
    meets = ", every joint meets" if proof.contacts else ""
    proved = f"Proved: nothing collides{meets}{order}{held}"
    warned = sum(finding.level is Level.WARN for finding in proof.findings)
    if warned:
        count = "the warning above" if warned == 1 else f"the {warned} warnings above"
        return (*found, f"{proved}; all but what {count} names.")
    return (*found, f"{proved}.")


def _contact_text(contact: Contact, display: str) -> str:
    glue = f", {contact.glue}" if contact.glue else ", no glue"
    area = _area_text(contact.area_mm2, display)
    return f"{contact.joint}: {contact.member} to {contact.into}, {area}{glue}"


def _area_text(area_mm2: float, display: str) -> str:
    return f"{area_mm2 / _MM2[display]:.1f} {_AREA[display]}"


def _amount_text(amount: Amount, display: str) -> str:
    if amount.kind == "glue":
        return (
            f"{amount.supply}: about {amount.grams:.0f} g, {amount.litres * 1000:.0f} mL, on "
            f"{_area_text(amount.area_mm2, display)} ({amount.source})"
        )
    return (
        f"{amount.supply}: about {amount.litres:.2f} L for {amount.coats} coats on "
        f"{_area_text(amount.area_mm2, display)}, all that is seen from the six sides "
        f"({amount.source})"
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

"""What opens over the bench, and what is done with what was chosen there.

Imports the pages, the actions and the hand.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Protocol, cast

from shopstep.model.step import Step
from shopstep.present.card import CardMode
from shopstep.present.choices import (
    PAGES,
    clamp_rows,
    label_rows,
    offers,
    spoilable,
    stay_rows,
    with_all,
)
from shopstep.present.deviations import is_closing_late
from shopstep.present.lines import card_lines
from shopstep.present.summary import Summary, summary_of
from shopstep.session.around import glue_up, seconds_of
from shopstep.tui.actions import (
    ACTION_BY_ID,
    ACTIONS,
    LEAD_NUMBER,
    LOCAL,
    NEXT_PAGE,
    NUMBERED_ONE,
    OTHER_PAGE,
    Action,
)
from shopstep.tui.lines import fold
from shopstep.tui.screens.list_page import ListPage
from shopstep.tui.screens.measure_pad import SAVE, MeasurePad
from shopstep.tui.screens.page import BACK, Page
from shopstep.tui.screens.summary_page import SummaryPage
from shopstep.tui.screens.text_page import TextPage
from shopstep.tui.summary_sheet import TITLE

if TYPE_CHECKING:
    from shopstep.tui.screens.bench_screen import BenchScreen

UNFOLDED = 10_000
"""Wider than any line of a card, so that the page can fold it by its own rules."""
NO_REASON = "No reason was written for this step."
MOVES = (
    ("0 to 9", "The action with that number; 1 is what leads on."),
    ("Enter, Space, PageDown", "The button with the arrowheads."),
    ("PageUp, Tab, arrows", "Move the arrowheads."),
    ("? or F1", "This page."),
    ("q", "Leave. All is on disk; the same card comes next time."),
)


class Wearing(Protocol):
    """An app whose colours can be changed."""

    def wear_next(self) -> None:
        """Put on the next theme."""
        ...


class Openings:
    """Opens pages for a bench screen."""

    def __init__(self, bench: BenchScreen) -> None:
        self._bench = bench
        self._hand = bench.hand

    def open(self, name: str) -> None:
        """Open a page by its name."""
        {
            "why": self._open_why,
            "more": self._open_more,
            "measure": self._open_measure,
            "help": self._open_help,
            "read": self._open_whole_text,
            "notice": self._open_notice,
            "summary": self._open_summary,
        }[name]()

    def _push(self, page: Page) -> None:
        page.draw_clock = self._bench.show_countdown
        self._bench.app.push_screen(page, self._take_up)

    def _open_why(self) -> None:
        why = self._hand.card.why or NO_REASON
        self._push(TextPage(self._hand, "Why", lambda width: fold(why, width), why))

    def _open_help(self) -> None:
        pairs = [(_keys_of(action), f"{action.label}. {action.help}") for action in ACTIONS]
        texts = [f"{keys}: {words}" for keys, words in (*pairs, *MOVES)]
        page = TextPage(
            self._hand, "Keys", lambda width: [r for text in texts for r in fold(text, width)]
        )
        page.is_help = True
        self._push(page)

    def _open_whole_text(self) -> None:
        card = replace(self._hand.card, actions=())
        now, zone = self._hand.bench.now_s(), self._bench.zone

        def words(width: int) -> list[str]:
            lines = card_lines(card, now, zone, UNFOLDED)[:-1]
            return [row for text in lines for row in fold(text, width)]

        self._push(TextPage(self._hand, "The whole step", words))

    def _open_notice(self) -> None:
        text = self._hand.notice
        self._push(TextPage(self._hand, "Notice", lambda width: fold(text, width), text))

    def _open_summary(self) -> None:
        self._hand.refresh()
        bench = self._hand.bench

        def tell() -> Summary:
            return summary_of(bench.state, bench.plan, bench.now_s())

        self._push(SummaryPage(self._hand, tell, bench.now_s))

    def _open_measure(self) -> None:
        check = self._hand.open_check()
        if check is None:
            self._hand.refused = "No number is asked for on this step."
            self._bench.show()
            return
        pad = MeasurePad(self._hand, check)
        pad.draw_clock = self._bench.show_countdown
        self._bench.app.push_screen(pad, lambda choice: self._take_reading(pad, choice))

    def _open_more(self) -> None:
        notice = (("open notice", "Read the notice", "r"),) if self._hand.notice else ()
        self._push(ListPage(self._hand, "More", self.more_items(), notice))

    def more_items(self) -> list[tuple[str, str, str]]:
        """Rows of the More page: (id, label, key), what is hidden on this size first.

        Actions keep their number; the others get what is free.
        """
        card = self._hand.card
        labels = {name: ACTION_BY_ID[name].label for name in self._hidden_actions()}
        labels |= {a.id: a.label for a in card.actions if a.id in labels}
        if is_closing_late(card, self._hand.bench.now_s()):
            labels["accept"] = "It was closed in time: keep it"
        items = [(f"do {n}", label, ACTION_BY_ID[n].number) for n, label in labels.items()]
        others = [("open read", "Read the whole step")] if card.step_id else []
        others.append(("open summary", TITLE))
        if card.mode in (CardMode.STEP, CardMode.CAUTION, CardMode.WAITING):
            others += [(f"take {s.id}", self._step_label(s)) for s in self._hand.other_steps()]
        others.append(("ask else", "Aside, note, stop, colours"))
        others += [("open help", "Keys and help"), ("leave", "Leave")]
        return items + [(choice, label, "") for choice, label in others]

    def _hidden_actions(self) -> list[str]:
        """Actions on offer, or always allowed, that have no button on this size."""
        frame = self._bench.frame
        shown = {place.action for place in frame.places} if frame else set()
        offered = [action.id for action in frame.offers.actions] if frame else []
        always = [a.id for a in ACTIONS if a.is_always and self._is_fitting(a.id)]
        unseen = [name for name in dict.fromkeys((*offered, *always)) if name not in shown]
        return [name for name in unseen if name not in (NEXT_PAGE, OTHER_PAGE)]

    def _is_fitting(self, name: str) -> bool:
        mode = self._hand.card.mode
        if mode is CardMode.HELD or mode.is_ended:
            return False
        return name != "why" or mode is not CardMode.WAITING

    def _step_label(self, step: Step) -> str:
        plan = self._hand.bench.plan
        title = next(kind.title for kind in plan.kinds if kind.id == step.kind)
        where = "whole batch" if step.unit is None else f"unit {step.unit}"
        return f"Take: {title}, {where}"

    def _take_up(self, choice: str | None) -> None:
        """Do what was chosen on a page; then something else stands under the finger."""
        verb, _, name = (choice or BACK).partition(" ")
        if verb == "open":
            self.open(name)
        elif verb == "do":
            self._do(name)
        elif verb == "take":
            self._hand.take(name)
            self._bench.settle()
        elif verb == "ask":
            title, rows = self._page_of(name)
            self._push_choice(title, [(choice, label, "") for choice, label in rows])
        elif verb == "say":
            self._say(name)
        elif verb == "colours":
            cast("Wearing", self._bench.app).wear_next()
        elif verb == "leave":
            self._bench.action_leave()
        self._hand.mark_shown()

    def ask_after(self, rule: str) -> bool:
        """A page that asks for what a refusal hangs on; False where it hangs on nothing asked."""
        asked = {"closing": self._stays, "clamps": clamp_rows, "label": label_rows}
        if rule not in asked:
            return False
        question, self._hand.refused = self._hand.refused, ""
        rows = asked[rule]()
        self._push_choice(question, [(choice, label, "") for choice, label in rows])
        return True

    def _stays(self) -> list[tuple[str, str]]:
        """From when a glue-up that begins now is at its end; else from now."""
        bench = self._hand.bench
        step = next((s for s in bench.plan.steps if s.id == self._hand.card.step_id), None)
        needed_s = seconds_of(glue_up(bench.plan, step)) if step is not None else 0
        return stay_rows(bench.now_s() + needed_s, bench.plan.zone)

    def _say(self, choice: str) -> None:
        """What a row stands for; a piece that is joined is asked about once more."""
        taken = self._hand.say(choice)
        if not taken and self._hand.rule == "joined":
            question, self._hand.refused = self._hand.refused, ""
            self._push_choice(question, [(c, label, "") for c, label in with_all(choice)])
            return
        self._bench.settle()

    def _page_of(self, name: str) -> tuple[str, list[tuple[str, str]]]:
        if name == "spoiled":
            pieces = spoilable(self._hand.bench.plan, self._hand.card.step_id)
            return "Which piece is spoiled?", pieces or [(BACK, "None is in hand here")]
        if name == "until":
            return "Until when do you stay?", self._stays()
        if name == "clamps":
            return "How many clamps are there in all?", clamp_rows()
        return PAGES[name] if name in PAGES else ("What else?", self._offers())

    def _offers(self) -> list[tuple[str, str]]:
        late = is_closing_late(self._hand.card, self._hand.bench.now_s())
        return [*offers(self._hand.card, late), ("colours", "Other colours")]

    def _push_choice(self, title: str, rows: list[tuple[str, str, str]]) -> None:
        self._push(ListPage(self._hand, title, rows))

    def _do(self, action: str) -> None:
        if action in LOCAL:
            self.open(action)
        else:
            self._bench.send(action)

    def _take_reading(self, pad: MeasurePad, choice: str | None) -> None:
        """Store what the measure pad showed, or say that it was not stored."""
        if choice == SAVE:
            self._hand.measure(pad.check, pad.value, pad.where)
            self._bench.settle()
        elif pad.loss:
            self._hand.refused = pad.loss
            self._bench.show()
        self._hand.mark_shown()


def _keys_of(action: Action) -> str:
    """All keys of an action as the help page names them."""
    lead = LEAD_NUMBER if action.id in NUMBERED_ONE else ""
    numbers = " or ".join(dict.fromkeys(n for n in (lead, action.number) if n))
    return ", ".join(key for key in (numbers, *action.keys) if key)

"""What opens over the bench, and what is done with what was chosen there.

Imports the pages, the actions and the hand; the board, with all that it says, when it is opened.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Protocol, cast

from shopstep.model.step import Step
from shopstep.present.air import Air, air_changes, known_air
from shopstep.present.card import CardMode
from shopstep.present.choices import (
    clamp_rows,
    label_rows,
    offers,
    pages,
    spoilable,
    stay_rows,
    with_all,
)
from shopstep.present.deviations import KEEP_TITLE, KEEP_WORDS, is_closing_late, keep_words
from shopstep.present.lines import card_lines
from shopstep.present.moments import local_time
from shopstep.present.summary import Summary, summary_of
from shopstep.session.around import glue_up, seconds_of
from shopstep.tui.actions import (
    ACTION_BY_ID,
    ACTIONS,
    AGAIN,
    BOARD,
    NEXT_PAGE,
    ON_SCREEN,
    OTHER_PAGE,
    PICTURE,
    READY,
    TALK,
    VIEW,
)
from shopstep.tui.key_map import KeyMap
from shopstep.tui.lines import fold
from shopstep.tui.screens.air_page import AirPage
from shopstep.tui.screens.help_words import help_texts
from shopstep.tui.screens.list_page import ListPage
from shopstep.tui.screens.measure_pad import SAVE, MeasurePad
from shopstep.tui.screens.page import BACK, Page
from shopstep.tui.screens.picture_page import PicturePage
from shopstep.tui.screens.summary_page import SummaryPage
from shopstep.tui.screens.text_page import TextPage
from shopstep.tui.summary_sheet import TITLE
from shopstep.words import say, to_say

if TYPE_CHECKING:
    from shopstep.tui.screens.bench_screen import BenchScreen
    from shopstep.tui.screens.offcut_page import PutPiece

UNFOLDED = 10_000
"""Wider than any line of a card, so that the page can fold it by its own rules."""
KEEP_KEY = "6"
ASIDE, LEAVE = "ask else", "leave"
FIXED_KEYS = {ASIDE: "i", LEAVE: "l"}
"""Rows of More whose key is the same on every page and stands for nothing else anywhere."""
NOT_DONE = to_say("That was not done")
NO_REASON = to_say("No reason was written for this step.")


class Wearing(Protocol):
    """An app whose colours can be changed."""

    key_map: KeyMap
    """Keys as the keeper has them."""

    put_offcut: PutPiece | None
    """Puts a piece on the rack; None where that is not offered."""

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
            BOARD: self._open_board,
            "air": self._open_air,
            "offcut": self._open_offcut,
            "accept": self._open_keep,
            PICTURE: self._open_picture,
        }[name]()

    def _push(self, page: Page) -> None:
        page.draw_clock = self._bench.show_countdown
        self._bench.app.push_screen(page, self._take_up)

    def _open_why(self) -> None:
        why = self._hand.card.why or say(NO_REASON)
        self._push(TextPage(self._hand, say("Why"), lambda width: fold(why, width), why))

    def _open_help(self) -> None:
        texts = help_texts(cast("Wearing", self._bench.app).key_map)
        page = TextPage(
            self._hand, say("Keys"), lambda width: [r for text in texts for r in fold(text, width)]
        )
        page.is_help = True
        self._push(page)

    def _open_whole_text(self) -> None:
        card = replace(self._hand.card, actions=())
        now, zone = self._hand.bench.now_s(), self._bench.zone

        def words(width: int) -> list[str]:
            lines = card_lines(card, now, zone, UNFOLDED)[:-1]
            return [row for text in lines for row in fold(text, width)]

        self._push(TextPage(self._hand, say("The whole step"), words))

    def _open_notice(self) -> None:
        text = self._hand.notice
        self._push(TextPage(self._hand, say("Notice"), lambda width: fold(text, width), text))

    def _open_keep(self) -> None:
        """Asks once more, at another place and by another key than the button had."""
        words = keep_words(self._hand.card, self._hand.bench.plan, self._hand.bench.now_s())
        page = TextPage(
            self._hand,
            say(KEEP_TITLE),
            lambda width: [row for text in words for row in fold(text, width)],
            last=(("keep", say(KEEP_WORDS), KEEP_KEY),),
        )
        self._push(page)

    def _open_summary(self) -> None:
        self._hand.refresh()
        bench = self._hand.bench

        def tell() -> Summary:
            return summary_of(bench.state, bench.plan, bench.now_s())

        self._push(SummaryPage(self._hand, tell, bench.now_s))

    def _open_offcut(self) -> None:
        from shopstep.tui.screens.offcut_page import OffcutPage

        put = cast("Wearing", self._bench.app).put_offcut
        if put is not None:
            unit = self._hand.bench.plan.display
            self._push(OffcutPage(self._hand, unit, put, say("Back to the step")))

    def _open_board(self) -> None:
        from shopstep.tui.board_view import BoardView
        from shopstep.tui.screens.board_page import BoardPage

        self._hand.refresh()
        view = BoardView(self._hand.bench)
        self._push(BoardPage(self._hand, view.tell, view.look_ahead, self._hand.bench.now_s))

    def _open_picture(self) -> None:
        card = self._hand.card
        draw = self._bench.picture.draw_step(card.step_id)
        self._push(PicturePage(self._hand, card.headline, draw))

    def _open_air(self) -> None:
        bench = self._hand.bench
        known = known_air(bench.state, bench.plan)
        last = Air(known.temperature_c, known.humidity_percent, say("as last time"))
        page = AirPage(self._hand, last, self._note_air, self._clock, say("Back to the step"))
        self._push(page)

    def _note_air(self, temperature_c: float, humidity_percent: float) -> None:
        """Store what was read, and tell what it changes; the air page is taken away."""
        self._bench.app.pop_screen()
        before = self._hand.bench.plan
        taken = self._hand.say(f"air {temperature_c:g} {humidity_percent:g}")
        self._hand.refresh()  # what was read is stored, also where no plan follows it
        self._bench.settle()
        after = self._hand.bench.plan
        if not taken:
            self._tell(say("What it changes"), self._hand.refused)
        elif after.conditions != before.conditions:
            self._tell(say("What it changes"), " ".join(air_changes(before, after)))
        self._hand.mark_shown()

    def _tell(self, title: str, text: str) -> None:
        self._push(TextPage(self._hand, title, lambda width: fold(text, width)))

    def tell_lines(self, title: str, texts: list[str]) -> None:
        """A page of what was asked by voice; one text alone in tall letters where it fits."""
        large = texts[0] if len(texts) == 1 else ""
        self._push(TextPage(self._hand, title, lambda w: _fold_all(texts, w), large))

    def name_ready(self) -> list[str]:
        """The ready steps as a phrase names them: by their numbers."""
        ready = self._hand.bench.ready()
        return [f"{n}. {self._step_label(step)}" for n, step in enumerate(ready, 1)]

    def _clock(self) -> str:
        return local_time(self._hand.bench.now_s(), self._bench.zone)

    def _open_measure(self) -> None:
        check = self._hand.open_check()
        if check is None:
            self._hand.refused = say("No number is asked for on this step.")
            self._bench.show()
            return
        pad = MeasurePad(self._hand, check)
        pad.draw_clock = self._bench.show_countdown
        self._bench.app.push_screen(pad, lambda choice: self._take_reading(pad, choice))

    def _open_more(self) -> None:
        notice = (("open notice", say("Read the notice"), "r"),) if self._hand.notice else ()
        self._push(ListPage(self._hand, say("More"), self.more_items(), notice))

    def more_items(self) -> list[tuple[str, str, str]]:
        """Rows of the More page: (id, label, key), what is hidden on this size first.

        Actions keep their number, Aside and Leave their letter; the others get what is free.
        """
        card = self._hand.card
        labels = {name: say(ACTION_BY_ID[name].label) for name in self._hidden_actions()}
        labels |= {a.id: a.label for a in card.actions if a.id in labels}
        labels.pop(AGAIN, None)  # a key of its own; the list stays short
        if not self._bench.hearing.is_on:
            labels.pop(TALK, None)
        if VIEW in labels:
            labels[VIEW] = say("Near view") if self._bench.is_far else say("Distance view")
        if is_closing_late(card, self._hand.bench.now_s()):
            labels["accept"] = say("It was closed in time: keep it")
        items = [(f"do {n}", label, ACTION_BY_ID[n].number) for n, label in labels.items()]
        others = [("open read", say("Read the whole step"))] if card.step_id else []
        if card.mode in (CardMode.STEP, CardMode.CAUTION, CardMode.WAITING):
            others += [(f"take {s.id}", self._step_label(s)) for s in self._hand.other_steps()]
        others.append((ASIDE, say("Spoiled, aside, note, stop")))
        if cast("Wearing", self._bench.app).put_offcut is not None:
            others.append(("open offcut", say("Put an offcut on the rack")))
        others += [
            ("open summary", say(TITLE)),
            ("open help", say("Keys and help")),
            (LEAVE, say("Leave")),
        ]
        return items + [(choice, label, FIXED_KEYS.get(choice, "")) for choice, label in others]

    def _hidden_actions(self) -> list[str]:
        """Actions on offer, or always allowed, that have no button on this size."""
        frame = self._bench.frame
        shown = {place.action for place in frame.places} if frame else set()
        offered = [action.id for action in frame.offers.actions] if frame else []
        always = [a.id for a in ACTIONS if a.is_always and self._is_fitting(a.id)]
        unseen = [name for name in dict.fromkeys((*offered, *always)) if name not in shown]
        return [name for name in unseen if name not in (NEXT_PAGE, OTHER_PAGE, READY, "ack")]

    def _is_fitting(self, name: str) -> bool:
        mode = self._hand.card.mode
        if name == BOARD:
            return True
        if mode is CardMode.HELD or mode.is_ended:
            return False
        return name not in ("why", PICTURE) or mode is not CardMode.WAITING

    def _step_label(self, step: Step) -> str:
        plan = self._hand.bench.plan
        title = next(kind.title for kind in plan.kinds if kind.id == step.kind)
        where = (
            say("whole batch")
            if step.unit is None
            else say("unit {step_unit}", step_unit=step.unit)
        )
        return say("Take: {title}, {where}", title=title, where=where)

    def _take_up(self, choice: str | None) -> None:
        """Do what was chosen on a page; then something else stands under the finger."""
        verb, _, name = (choice or BACK).partition(" ")
        if verb == "open":
            self.open(name)
        elif verb == BACK:
            self._bench.ask_for_air()
        elif verb == "do":
            self._do(name)
        elif verb == "keep":
            self._bench.send("accept")
        elif verb == "take":
            self._settle(is_taken=self._hand.take(name))
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
        self._hand.mark_closed()

    def _settle(self, *, is_taken: bool) -> None:
        """Show the card after a row was chosen; a refusal is told on a page too."""
        self._bench.settle()
        if not is_taken and self._hand.refused:
            self._tell(say(NOT_DONE), self._hand.refused)

    def ask_after(self, rule: str) -> bool:
        """A page that asks for what a refusal hangs on; False where it hangs on nothing asked."""
        asked = {"closing": self._stays, "clamps": self._clamps, "label": label_rows}
        if rule not in asked:
            return False
        question, self._hand.refused = self._hand.refused, ""
        rows = asked[rule]()
        self._push_choice(question, [(choice, label, "") for choice, label in rows])
        return True

    def _clamps(self) -> list[tuple[str, str]]:
        """As many as would be enough, where a reach is lacking; else how many there are."""
        return clamp_rows(self._hand.counted)

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
        self._settle(is_taken=taken)

    def _page_of(self, name: str) -> tuple[str, list[tuple[str, str]]]:
        if name == "spoiled":
            pieces = spoilable(self._hand.bench.plan, self._hand.card.step_id)
            return say("Which piece is spoiled?"), pieces or [(BACK, say("None is in hand here"))]
        if name == "until":
            return say("Until when do you stay?"), self._stays()
        if name == "clamps":
            return say("How many clamps are there in all?"), clamp_rows()
        return pages().get(name) or (say("What else?"), self._offers())

    def _offers(self) -> list[tuple[str, str]]:
        late = is_closing_late(self._hand.card, self._hand.bench.now_s())
        return [*offers(self._hand.card, late), ("colours", say("Other colours"))]

    def _push_choice(self, title: str, rows: list[tuple[str, str, str]]) -> None:
        self._push(ListPage(self._hand, title, rows))

    def _do(self, action: str) -> None:
        if self._hand.opens_page(action):
            self.open(action)
        elif action in ON_SCREEN:
            self._bench.turn(action)
            self._bench.show()
        else:
            self._bench.send(action)

    def _take_reading(self, pad: MeasurePad, choice: str | None) -> None:
        """Store what the measure pad showed, or say that it was not stored."""
        if choice == SAVE:
            self._settle(is_taken=self._hand.measure(pad.check, pad.value, pad.where))
        elif pad.loss:
            self._hand.refused = pad.loss
            self._bench.show()
        self._hand.mark_shown()
        self._hand.mark_closed()


def _fold_all(texts: list[str], width: int) -> list[str]:
    return [row for text in texts for row in fold(text, width)]

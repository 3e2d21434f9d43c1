"""What the bench screen hears: when the microphone is open, what was said, and what came of it.

Imports the states of listening and the policy, which know no sound; the ear itself is handed in and
listens beside the screen. Loaded only when hearing is on. What is heard goes through the hand, as a
tap does.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol, cast

from shopstep.present.moments import timer_words
from shopstep.session.commands import Command, Refusal, ResumeBatch
from shopstep.tui.actions import AGAIN, TALK
from shopstep.tui.ear_line import EarSaid, ear_rows
from shopstep.tui.places import side_margin
from shopstep.tui.screens.asked_page import YES, AskedPage
from shopstep.tui.screens.page import Page
from shopstep.voice import listening as states
from shopstep.voice.hear_follow import Talk
from shopstep.voice.hear_news import CHANGED, Grammar, Judged, Level, News, Order, Ready
from shopstep.voice.hear_policy import Heard, is_open
from shopstep.voice.listening import Way
from shopstep.voice.vocabulary import ACK
from shopstep.words import say, to_say

if TYPE_CHECKING:
    from shopstep.model.step import Step
    from shopstep.present.card import StepCard
    from shopstep.tui.lines import Block
    from shopstep.tui.ringing import Mute
    from shopstep.tui.screens.bench_screen import BenchScreen
    from shopstep.tui.speaking import Speaking
    from shopstep.tui.themed_app import ThemedApp

LOOK_S = 0.15
NEWS_S = 12.0
"""So long the line says what was heard, where nothing newer was."""
LOOKED_S = 20.0
"""A page that was asked for by voice goes by itself: nobody has a hand for it."""
NOBODY = to_say(("nobody was heard",))
STILL_STARTS = to_say(("hearing starts; a moment",))
UNANSWERED = to_say(("no answer: left as it is", "left as it is"))
NOT_ENROLLED = to_say(
    "It does not know your voice yet and takes some talk for phrases; `shopstep voice enrol` "
    "teaches it."
)


def _said(words: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(say(each) for each in words)


class Ears(Protocol):
    """What listens; nothing here makes the screen wait."""

    def start(self) -> None:
        """Begin; news come once it hears, or cannot."""
        ...

    def order(self, order: Order) -> None:
        """What it is to do from now on."""
        ...

    def news(self) -> list[News]:
        """All that it told since the last call."""
        ...

    def stop(self) -> None:
        """Nothing is heard any more."""
        ...


@dataclass(frozen=True, slots=True)
class _Taken:
    card: StepCard


class _HandAtBench:
    """The session as what is heard sees it: the card in sight, and the hand that acts on it."""

    def __init__(self, screen: BenchScreen) -> None:
        self._screen = screen

    def card(self) -> StepCard:
        return self._screen.card

    def ready(self) -> tuple[Step, ...]:
        return self._screen.hand.bench.ready()

    def do(self, command: Command) -> _Taken | Refusal:
        name = "resume" if isinstance(command, ResumeBatch) else ""
        if self._screen.send(name, command):
            return _Taken(self._screen.card)
        hand = self._screen.hand
        return Refusal(hand.refused, hand.rule or "not_saved")


class Hearing:
    """Opens and shuts the ear, acts on what it takes for certain, and says so on the screen."""

    is_on = True
    _screen: BenchScreen
    _talk: Talk

    def __init__(
        self, ears: Ears, way: str, monotonic: Callable[[], float], speaking: Speaking | Mute
    ) -> None:
        self._ears, self._monotonic, self._speaking = ears, monotonic, speaking
        self._state = states.Listening(Way(way))
        self._phrases: dict[str, str] = {}
        self._is_ready = self._is_owed = self._is_cut = False
        self._level = Level(-96.0, False, False)
        self._news: tuple[str, ...] = ()
        self._news_s = 0.0
        self._about = 0
        self._about_key: tuple[object, ...] = ()
        self._ordered: Grammar | None = None
        self._sayings: tuple[str, ...] = ()
        self._page: object = None
        """What voice opened, and when."""
        self._page_s = 0.0

    def begin(self, screen: BenchScreen) -> None:
        """Listen for this screen from now on."""
        self._screen, self._talk = screen, Talk(_HandAtBench(screen))
        self._ears.start()
        screen.set_interval(LOOK_S, self.look)

    def rows(self, width: int, height: int) -> Block:
        """The line of the ear for a size."""
        return ear_rows(self._said(), width, height, side_margin(width))

    def push(self) -> str:
        """The key was pressed or the line tapped: open, or that was all. Gives ""."""
        now = self._monotonic()
        if not self._is_ready:
            self._say(_said(STILL_STARTS) if self._state.way is not Way.OFF else (), now)
            return ""
        was_open = self._state.is_open(now)
        self._state = states.push(self._state, now)
        is_shut = was_open and not self._state.is_open(now)
        self._is_cut = is_shut and self._state.way is not Way.OPEN  # stopped is not: that was all
        self._speaking.hush()
        self._say((), now)
        self.look()
        return ""

    def look(self) -> None:
        """A few times a second: take the news, give orders, show how it stands."""
        now = self._monotonic()
        for news in self._ears.news():
            self._take(news, now)
        self._follow_card(now)
        self._order(now)
        self._tidy(now)
        self._show()

    # What the ear tells

    def _take(self, news: News, now: float) -> None:
        hand = self._screen.hand
        if isinstance(news, Level):
            self._level = news
        elif isinstance(news, Judged):
            self._judge(news, now)
        elif isinstance(news, Ready):
            self._phrases = {}
            for action, words in news.phrases:
                self._phrases.setdefault(action, words)
            self._is_ready = self._is_owed = True
            if not news.is_enrolled:
                hand.told = " ".join(said for said in (hand.told, say(NOT_ENROLLED)) if said)
                self._screen.show()
        else:
            self._state, self._is_ready = states.Listening(Way.OFF), False
            hand.told = " ".join(said for said in (hand.told, news.text) if said)
            self._screen.show()

    def _judge(self, news: Judged, now: float) -> None:
        if self._state.way is Way.OFF:
            return
        if self._state.by == "key":
            self._state = states.heard(self._state)
        if news.heard is None:
            nearest = say(" (nearest: {phrase})", phrase=news.phrase) if news.phrase else ""
            text = news.text.removesuffix(".")
            self._say(
                (
                    say("not taken: {text}{nearest}", text=text, nearest=nearest),
                    say("not taken: {text}", text=text),
                    say("not sure: again"),
                ),
                now,
            )
        elif news.about != self._number():
            self._say((say(CHANGED), say("card changed: say it again")), now)
        else:
            self._state = states.heard(self._state)
            self._act(news.heard, now)

    def _act(self, heard: Heard, now: float) -> None:
        """Do it, or ask back; then the microphone may open for the next."""
        self._screen.close_pages()
        self._page = None
        done = self._talk.answer(heard, now)
        reply, self._is_owed = done.reply, True
        words = say("heard: {words}", words=heard.words)
        self._say((words, heard.words), now)
        if reply.is_question:
            self._ask(reply.text, now)
        elif reply.look:
            self._answer(reply.look, now)
        elif reply.command is not None:
            back = self._phrases.get("back", "")
            last = self._talk.state.last
            is_undoable = not done.refused and not reply.is_undo and last and last.undo
            undo = say("; to undo: {back}", back=back) if is_undoable and back else ""
            self._say((f"{words}{undo}", words, heard.words), now)
            return
        elif reply.is_refusal:
            self._screen.hand.refused = reply.text
        elif reply.text:
            self._screen.hand.told = reply.text
        if reply.text:
            self._speaking.tell(reply.text)
        self._screen.show()

    def _ask(self, question: str, now: float) -> None:
        answers = (self._phrases.get("yes", "yes"), self._phrases.get("no", "no"))
        page = AskedPage(self._screen.hand, question, answers, self.push)
        page.draw_clock = lambda width: self._screen.show_countdown(width, is_asked=True)
        self._page, self._page_s = page, now
        self._screen.app.push_screen(page, self._tapped)

    def _tapped(self, choice: str | None) -> None:
        """A button of the question: the same as its phrase."""
        action = "yes" if choice == YES else "no"
        now = self._monotonic()
        if is_open(self._talk.state, self._screen.card, now):
            self._act(Heard(action, self._phrases.get(action, action)), now)
        self._screen.hand.mark_shown()

    def _answer(self, look: str, now: float) -> None:
        """What changes nothing; a page for it goes by itself."""
        screen, card = self._screen, self._screen.card
        if look == "quiet":
            screen.answer_alarm()
            return
        if look == "again":
            screen.turn(AGAIN)
            return
        if look == "slower":
            screen.hand.told = self._speaking.slower(card) or screen.hand.told
            return
        if look == "why":
            screen.openings.open("why")
        else:
            title, texts = self._told(look)
            screen.openings.tell_lines(title, texts)
            self._speaking.tell(". ".join(texts))
        self._page, self._page_s = screen.app.screen, now

    def _told(self, look: str) -> tuple[str, list[str]]:
        card = self._screen.card
        if look == "number":
            return say("The numbers"), [f"{number.label} {number.text}" for number in card.numbers]
        if look == "left":
            now_s, zone = self._screen.hand.bench.now_s(), self._screen.zone
            return say("What is left"), [timer_words(timer, now_s, zone) for timer in card.timers]
        return say("What else could be done"), self._screen.openings.name_ready()

    # What the ear is told

    def _number(self) -> int:
        """Of what stands on the screen, with the question that waits."""
        card = self._screen.card
        key = (card.version, card.step_id, card.mode, self._talk.state.asked)
        if key != self._about_key:
            self._about, self._about_key = self._about + 1, key
            self._is_owed = True
            self._talk.rings = bool(self._screen.watch_alarms.open)
            self._sayings = self._words(*self._talk.allowed(self._monotonic()))
        return self._about

    def _follow_card(self, now: float) -> None:
        """A card was shown or spoken: armed, somebody is heard after it, and never meanwhile."""
        self._number()
        if self._speaking.is_talking:
            if not self._state.is_speaking:
                self._state = states.begin_speaking(self._state)
        elif self._is_ready and (self._is_owed or self._state.is_speaking):
            if self._state.by == "key" and self._state.is_open(now):
                return
            self._state, self._is_owed = states.end_speaking(self._state, now), False

    def _order(self, now: float) -> None:
        grammar = None
        self._talk.rings = bool(self._screen.watch_alarms.open)
        if self._is_ready and self._state.is_open(now, in_speech=self._level.in_speech):
            grammar = Grammar(self._number(), *self._talk.allowed(now))
            self._sayings = self._words(grammar.actions, grammar.cautions)
        if grammar == self._ordered and not self._is_cut:
            return
        if grammar is None and self._state.by == "key" and not self._news:
            self._say(_said(NOBODY), now)
        self._ears.order(Order(grammar, self._is_cut))
        self._ordered, self._is_cut = grammar, False

    def _words(self, actions: tuple[str, ...], cautions: tuple[str, ...]) -> tuple[str, ...]:
        """What may be said, a number as dots."""
        said = {action: self._phrases[action] for action in actions if action in self._phrases}
        if "measure" in said:
            said["measure"] += " …"
        if "take" in said:
            before, _, last = said["take"].rpartition(" ")
            said["take"] = f"{before} … {last}"
        return (*(cautions if ACK in actions else ()), *said.values())

    # What the screen shows

    def _say(self, news: tuple[str, ...], now: float) -> None:
        self._news, self._news_s = news, now

    def _tidy(self, now: float) -> None:
        """What was asked or shown for a while is over."""
        if self._news and now - self._news_s > NEWS_S:
            self._news = ()
        page = self._page
        if page is None or self._screen.app.screen is not page:
            return
        if isinstance(page, AskedPage):
            if not is_open(self._talk.state, self._screen.card, now):
                self._close(_said(UNANSWERED), now)
        elif now - self._page_s > LOOKED_S:
            self._close((), now)

    def _close(self, news: tuple[str, ...], now: float) -> None:
        self._screen.close_pages()
        self._page = None
        self._say(news, now)
        self._screen.show()

    def _said(self) -> EarSaid:
        now = self._monotonic()
        is_heard = self._is_ready and self._state.is_open(now, in_speech=self._level.in_speech)
        keys = cast("ThemedApp", self._screen.app).key_map.keys_of(TALK)
        return EarSaid(
            way=str(self._state.way),
            key=keys[0] if keys else "",
            is_ready=self._is_ready,
            is_speaking=self._state.is_speaking,
            left_s=max(self._state.left_s(now), 0.5) if is_heard else 0.0,
            level_db=self._level.level_db,
            is_too_loud=self._level.is_too_loud,
            news=self._news,
            sayings=self._sayings,
        )

    def _show(self) -> None:
        self._screen.show_ear()
        page = self._screen.app.screen
        if isinstance(page, Page):
            page.show_clock()

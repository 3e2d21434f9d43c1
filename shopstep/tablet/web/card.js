// The card on a tablet. It shows what the server says and counts nothing by itself: where nothing
// comes for a while it says so, and hides every clock.

import { readsAloud, soundButtons } from "./aloud.js";
import { earRows, earSees, setDeaf, startEar } from "./ear.js";
import { earFace } from "./ear_face.js";
import { askNumber } from "./pad.js";
import { closeBoard, isBoardOpen, showBoard } from "./board.js";
import { hideClocks, showClocks } from "./clocks.js";
import { isLost, isOpen, send, setTrouble, startLink, troubleNow } from "./link.js";
import { hasPicture, isPictureHidden, liftPicture, onPicture, placePicture, showPicture, wholePicture } from "./picture.js";
import { canSound, hush, onEars, say, wakeSound } from "./sound.js";
import { closeScreen, openScreen } from "./screen.js";
import { onSwipe } from "./swipes.js";
import { isBounce, makeButton, markShown, onTap } from "./taps.js";
import { element, spokenOf, wordsOf, worded } from "./words.js";

const RESEND_MS = 10000;
const SLOW_MS = 500;
const SLOW = worded("It is being worked out.");
const LOST =
  worded("Not connected. What stands here is not up to date; timers go on where shopstep runs.");
const BOARD_MS = 30000;
const $ = (id) => document.getElementById(id);

let edition = "";
let card = null;
let pending = null;
let notice = "";
let readKey = "";
let boardAt = 0;
let answered = ""; // the caution whose first answer was given
let told = false; // what the server was told of our ears

// ---- the connection

function showConnection() {
  const lost = isLost();
  if (lost) {
    hideClocks();
  }
  const words = lost ? troubleNow() || LOST : "";
  if ($("veil").textContent !== words) $("veil").textContent = words; // told once, not each time
  document.body.classList.toggle("lost", lost);
}

function onOpened() {
  if (pending && Date.now() - pending.at < RESEND_MS) send(pending.message);
  else forget();
}

// ---- what the server says

const TAKE = {
  hello(message) {
    if (edition && edition !== message.edition) location.reload();
    if (edition && !$("screen").hidden) openScreen(); // its socket may be dead without knowing it
    edition = message.edition;
    setDeaf(message.deaf);
    told = false;
    tellEars();
  },
  card(message) {
    showCard(message.card);
  },
  clock(message) {
    setTrouble("");
    if (!isLost()) showClocks(message);
    if (isBoardOpen() && Date.now() - boardAt > BOARD_MS) askBoard();
  },
  trouble(message) {
    setTrouble(message.text);
  },
  answer(message) {
    if (message.board && boardAt) showBoard(message.board, leaveBoard);
    if (!pending || pending.message.id !== message.id) return;
    forget();
    take(message);
  },
};

function take({ text, page, ask: menu }) {
  tell(text);
  if (page) openPage(page);
  else if (menu) openMenu(menu);
}

function tell(text) {
  notice = text;
  showNotice();
}

// ---- what is asked for

function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

function ask(act, button) {
  if (isLost() || pending || !card) return;
  const message = { id: newId(), act, step: card.step, seen: card.version };
  pending = { message, at: Date.now(), button };
  button?.classList.add("sent");
  document.body.classList.add("asking");
  setTimeout(showNotice, SLOW_MS);
  send(message);
}

function forget() {
  pending?.button?.classList.remove("sent");
  document.body.classList.remove("asking");
  pending = null;
}

/** Whether this page can sound alarms; where none can, shopstep sounds them itself. */
function tellEars() {
  if (!isOpen() || told === canSound()) return;
  told = canSound();
  $("ear").hidden = told;
  send({ id: newId(), act: told ? "hear on" : "hear off", step: "", seen: 0 });
}

function choose(act, button) {
  wakeSound();
  if (isBounce()) return;
  const [verb, name] = act.split(" ");
  if (act === "do why") openWhy();
  else if (act === "do more") openMenu("more");
  else if (act === "do measure") measure();
  else if (act === "open board") closePage(), askBoard();
  else if (act === "open picture") openPicture();
  else if (act === "open summary") closePage(), ask("look summary", button);
  else if (verb === "ask") openMenu(name);
  else if (verb === "back_to_step") closePage();
  else if (act === "do ready") answerFirst();
  else if (act === "do accept" && card.menus.keep) openMenu("keep");
  else if (act === "keep it") closePage(), ask("do accept", button);
  else {
    closePage();
    ask(act, button);
  }
}

/** The first answer to a caution; the second one has another place, and waits for a new tap. */
function answerFirst() {
  answered = cautionKey();
  markShown(true);
  showActions();
}

function cautionKey() {
  return `${card.step} ${card.cautions.map((caution) => caution.signal).join()}`;
}

function measure() {
  if (!card.measure) return;
  const { name } = card.measure;
  askNumber(card.measure, (text) => text && ask(`measure ${name} ${text}`, null));
}

// ---- what is shown

function showCard(next) {
  const isOther = !card || card.step !== next.step || card.mode !== next.mode;
  if (isOther || card.version !== next.version) markShown(next.mode === "caution");
  if (isOther) answered = "";
  const isNew = isOther || card.version !== next.version;
  if (card && card.version !== next.version) {
    if (!pending) notice = "";
    closePage();
    $("pad").hidden = true;
  }
  card = next;
  if (isNew) earSees();
  document.title = `${next.headline} · ${next.title}`;
  $("place").textContent = next.place;
  const words = wordsOf(next);
  $("words").replaceChildren(...words);
  showPicture(next.picture);
  if (isBoardOpen() && isOther) askBoard();
  if (isOther) {
    $("words").scrollTop = 0;
    readKey = "";
    $("said").textContent = $("said").dataset.card = words.map(spokenOf).join(" ");
    if (readsAloud() && !next.quiet) say(spokenCard());
    else hush();
  }
  showNotice();
  showActions();
}

function spokenCard() {
  return card.spoken || $("said").dataset.card;
}

function showNotice() {
  const isSlow = pending && Date.now() - pending.at >= SLOW_MS;
  const told = isSlow ? [SLOW] : [...new Set([notice, card ? card.notice : ""])];
  const text = told.filter(Boolean).join(" ");
  $("notice").textContent = text;
  $("notice").hidden = !text;
  if (text && $("said").dataset.notice !== text) $("said").textContent = text;
  $("said").dataset.notice = text;
}

// ---- buttons

function isRead() {
  const words = $("words");
  const key = `${card.step} ${card.mode} ${document.body.className.includes("far")}`;
  if (words.scrollTop + words.clientHeight >= words.scrollHeight - 12) readKey = key;
  return readKey === key;
}

function showActions() {
  if (!card) return;
  liftPicture();
  const read = isRead();
  const offered = card.actions.filter(([, , waits]) => read || !waits);
  const asksFirst = card.first_answer && answered !== cautionKey();
  const asked = offered.map((action) =>
    asksFirst && action[0] === "ack" ? ["ready", card.first_answer, true, false] : action,
  );
  if (asksFirst) asked.sort(([one], [other]) => (one === "ready") - (other === "ready"));
  const buttons = asked.map(([id, label, , leads]) => {
    const place = id === "ack" ? "wide" : leads ? "lead" : "plain";
    const button = makeButton(label, () => choose(`do ${id}`, button), place);
    button.dataset.act = id;
    return button;
  });
  if (!read) {
    const on = makeButton(worded("Read on"), readOn, "lead", "local");
    on.dataset.act = "read";
    buttons.unshift(on);
  }
  const larger = document.body.classList.contains("near");
  const view = makeButton(larger ? worded("Larger") : worded("Smaller"), switchSize, "local");
  const screen = makeButton(worded("Terminal"), () => (wakeSound(), openScreen()), "local");
  view.dataset.act = "size";
  screen.dataset.act = "terminal";
  const sent = pending?.button?.dataset.act;
  $("actions").replaceChildren(...buttons, view, screen);
  placePicture();
  if (isPictureHidden()) {
    const whole = makeButton(worded("Picture"), openPicture);
    whole.dataset.act = "picture";
    screen.before(whole);
  }
  $("actions").classList.toggle("many", $("actions").querySelectorAll("button:not(.lead, .wide)").length > 6);
  if (sent) buttons.find((button) => button.dataset.act === sent)?.classList.add("sent");
}

function readOn() {
  wakeSound();
  turn(1);
}

function turn(way) {
  const words = $("words");
  words.scrollTop += way * Math.max(40, words.clientHeight * 0.85);
  showActions();
}

function switchSize() {
  wakeSound();
  const isNear = document.body.classList.toggle("near");
  document.body.classList.toggle("far", !isNear);
  localStorage.setItem("size", isNear ? "near" : "far");
  $("words").scrollTop = 0;
  showActions();
}

// ---- pages over the card

function askBoard() {
  if (isLost() || !card) return;
  boardAt = Date.now();
  send({ id: newId(), act: "look board", step: card.step, seen: card.version });
}

function leaveBoard() {
  boardAt = 0;
  closeBoard();
  markShown();
}

function openPicture() {
  openPage({ title: card.headline, rows: [] });
  $("page-rows").replaceChildren(wholePicture());
}

function openWhy() {
  openPage({ title: worded("Why"), rows: [["", card.why]] });
}

function openMenu(name) {
  const menu = card.menus[name];
  if (menu) openPage(menu);
}

function openPage({ title, rows }) {
  const isMore = title === worded("More");
  $("page-title").textContent = title;
  $("page-rows").replaceChildren(
    ...rows.map(([choice, label]) => {
      if (!choice) return element("p", label);
      const button = makeButton(label, () => choose(choice, button));
      button.dataset.act = choice;
      return button;
    }),
  );
  const back = makeButton(worded("Back"), closePage, "local");
  back.dataset.act = "close";
  $("page-foot").replaceChildren(back, ...(isMore ? soundButtons(VOICE) : []));
  if (isMore) $("page-rows").prepend(...lookButtons(), ...earRows(closePage));
  $("page").hidden = false;
  markShown();
}

function lookButtons() {
  const acts = { "open board": worded("Board"), ...(hasPicture() ? { "open picture": worded("Picture") } : {}) };
  return Object.entries(acts).map(([act, label]) => {
    const button = makeButton(label, () => choose(act, button));
    button.dataset.act = act;
    return button;
  });
}

const VOICE = { words: spokenCard, tell, close: closePage };

function closePage() {
  if ($("page").hidden) return;
  $("page").hidden = true;
  $("page-rows").replaceChildren();
  markShown();
}

// ---- life

async function stayAwake() {
  try {
    await navigator.wakeLock?.request("screen");
  } catch {
    // the browser does not allow it, over plain HTTP for instance
  }
}

window.addEventListener("message", (event) => {
  if (event.origin !== location.origin) return;
  if (event.data === "left") closeScreen();
  if (event.data === "unpaired") location.replace("/pair");
});
document.addEventListener("visibilitychange", () => !document.hidden && stayAwake());
new ResizeObserver(() => showActions()).observe($("body"));
window.addEventListener("resize", () => isBoardOpen() && askBoard());
const SWIPES = {
  left: askBoard,
  right: () => hasPicture() && openPicture(),
  up: () => turn(1),
  down: () => turn(-1),
};
// over the words the browser itself moves them up and down
onSwipe($("card"), (way) => card && !isLost() && SWIPES[way]());
onSwipe($("board"), (way) => way === "right" && leaveBoard());
onSwipe($("page"), (way) => way === "left" && document.querySelector("#page .whole") && closePage());
onPicture(showActions);
onEars(tellEars);
onTap($("picture"), () => (wakeSound(), openPicture()));
$("words").addEventListener("scroll", () => {
  const was = readKey;
  if (card && isRead() && was !== readKey) showActions();
});
if (localStorage.getItem("size") === "far") document.body.classList.replace("near", "far");
showConnection();
stayAwake();
startEar(earFace({ card: () => card, ask, take, openWhy, closePage, voice: VOICE }));
startLink({
  opened: onOpened,
  heard: (message) => TAKE[message.kind]?.(message),
  changed: showConnection,
});
if (localStorage.getItem("face") === "terminal") openScreen();

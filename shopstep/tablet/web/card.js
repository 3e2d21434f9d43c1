// The card on a tablet. It shows what the server says and counts nothing by itself: where nothing
// comes for a while it says so, and hides every clock.

import { askNumber } from "./pad.js";
import { hasVoice, hear, hush, play, say, wakeSound } from "./sound.js";
import { isBounce, makeButton, markShown } from "./taps.js";

const SILENT_MS = 3500;
const RETRY_MS = 600;
const TRY_MS = 2500;
const RESEND_MS = 10000;
const SLOW_MS = 500;
const SLOW = "It is being worked out.";
const LET_GO = 4401;
const FULL = 4429;
const LOST =
  "Not connected. What stands here is not up to date; timers go on where shopstep runs.";
const ROW_CLASSES = { "Other hand": "hand-row", Source: "source" };
const $ = (id) => document.getElementById(id);

let socket = null;
let heardAt = 0;
let retryAt = 0;
let isTrying = false;
let edition = "";
let card = null;
let pending = null;
let notice = "";
let readKey = "";
let trouble = "";

// ---- the connection

function isLost() {
  return document.hidden || Boolean(trouble) || Date.now() - heardAt > SILENT_MS
    || !socket || socket.readyState !== WebSocket.OPEN;
}

function showConnection() {
  const lost = isLost();
  if (lost) {
    $("timers").replaceChildren();
    $("time").textContent = "";
  }
  if ($("veil").textContent !== (lost ? trouble || LOST : "")) $("veil").textContent = lost ? trouble || LOST : "";
  document.body.classList.toggle("lost", lost);
}

async function connect() {
  if (isTrying) return;
  isTrying = true;
  try {
    const answer = await fetch("/alive", { signal: AbortSignal.timeout(TRY_MS) });
    if (answer.status === 401) location.replace("/pair");
    if (answer.ok) await openSocket();
  } catch {
    // nobody answers; the next try comes soon
  } finally {
    retryAt = Date.now() + RETRY_MS;
    isTrying = false;
  }
}

function openSocket() {
  return new Promise((settle) => {
    const mine = new WebSocket(`${location.origin.replace(/^http/, "ws")}/card`);
    const late = setTimeout(() => mine.close(), TRY_MS);
    socket = mine;
    mine.addEventListener("open", () => {
      clearTimeout(late);
      if (pending && Date.now() - pending.at < RESEND_MS) mine.send(JSON.stringify(pending.message));
      else forget();
      settle();
    });
    mine.addEventListener("message", (event) => {
      heardAt = Date.now();
      take(JSON.parse(event.data));
    });
    mine.addEventListener("close", (event) => {
      clearTimeout(late);
      settle();
      if (socket !== mine) return;
      socket = null;
      if (event.code === LET_GO) location.replace("/pair");
      trouble = event.code === FULL ? "As many pages are open as may be; close one elsewhere." : "";
      showConnection();
    });
  });
}

function watchConnection() {
  const isSilent = Date.now() - heardAt > SILENT_MS;
  if (!document.hidden && socket && socket.readyState === WebSocket.OPEN && isSilent) {
    const old = socket;
    socket = null;
    old.close();
  }
  showConnection();
  if (!socket && !document.hidden && Date.now() >= retryAt) connect();
}

// ---- what the server says

const TAKE = {
  hello(message) {
    if (edition && edition !== message.edition) location.reload();
    if (edition && !$("screen").hidden) openScreen(); // its socket may be dead without knowing it
    edition = message.edition;
    heardAt = Date.now();
  },
  card(message) {
    showCard(message.card);
  },
  clock(message) {
    trouble = "";
    showConnection();
    if (!isLost()) showClocks(message);
  },
  trouble(message) {
    trouble = message.text;
    showConnection();
  },
  answer(message) {
    if (!pending || pending.message.id !== message.id) return;
    forget();
    notice = message.text;
    showNotice();
    if (message.page) openPage(message.page);
    else if (message.ask) openMenu(message.ask);
  },
};

function take(message) {
  TAKE[message.kind]?.(message);
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
  socket.send(JSON.stringify(message));
}

function forget() {
  pending?.button?.classList.remove("sent");
  document.body.classList.remove("asking");
  pending = null;
}

function choose(act, button) {
  wakeSound();
  if (isBounce()) return;
  const [verb, name] = act.split(" ");
  if (act === "do why") openPage({ title: "Why", rows: [["", card.why]] });
  else if (act === "do more") openMenu("more");
  else if (act === "do measure") measure();
  else if (act === "open summary") closePage(), ask("look summary", button);
  else if (verb === "ask") openMenu(name);
  else if (verb === "back_to_step") closePage();
  else {
    closePage();
    ask(act, button);
  }
}

function measure() {
  if (!card.measure) return;
  const { name } = card.measure;
  askNumber(card.measure, (text) => text && ask(`measure ${name} ${text}`, null));
}

// ---- what is shown

function element(name, text = "", ...classes) {
  const made = document.createElement(name);
  made.textContent = text;
  made.classList.add(...classes);
  return made;
}

function showCard(next) {
  const isOther = !card || card.step !== next.step || card.mode !== next.mode;
  if (isOther || card.version !== next.version) markShown(next.mode === "caution");
  if (card && card.version !== next.version) {
    if (!pending) notice = "";
    closePage();
    $("pad").hidden = true;
  }
  card = next;
  document.title = `${next.headline} · ${next.title}`;
  $("place").textContent = next.place;
  const words = wordsOf(next);
  $("words").replaceChildren(...words);
  if (isOther) {
    $("words").scrollTop = 0;
    readKey = "";
    $("said").textContent = words.map(spokenOf).join(" ");
    if (readsAloud()) say($("said").textContent);
  }
  showNotice();
  showActions();
}

function spokenOf(node) {
  const numbers = [...node.querySelectorAll("dd")];
  if (!numbers.length) return node.textContent;
  return numbers.map((n) => `${n.previousSibling.textContent}: ${n.dataset.spoken}.`).join(" ");
}

function wordsOf({ headline, numbers, sentence, cautions, manual, hand, checks, following, mode }) {
  const before = cautions.map(cautionOf);
  const isCaution = mode === "caution";
  const head = isCaution ? element("p", `Before: ${headline}`, "quiet") : element("h1", headline);
  const parts = isCaution ? [head, ...before] : [head];
  if (isCaution) return [...parts, element("p", manual, "quiet")];
  if (numbers.length) parts.push(numbersOf(numbers));
  if (sentence) parts.push(element("p", sentence));
  parts.push(...before);
  parts.push(...checks.map(([text, standing]) => element("p", text, "check", standing || "plain")));
  parts.push(...hand.map((text) => element("p", text)));
  if (following) parts.push(element("p", `Then: ${following}`, "quiet"));
  return parts;
}

function numbersOf(numbers) {
  const list = element("dl");
  for (const [label, text, spoken] of numbers) {
    const pair = element("div");
    const value = element("dd", text);
    value.dataset.spoken = spoken;
    pair.append(element("dt", label), value);
    list.append(pair);
  }
  return list;
}

function cautionOf({ signal, brief, rows }) {
  const box = element("div", "", brief ? "brief" : "full");
  box.append(element(brief ? "span" : "h1", signal === "NOTICE" ? signal : `⚠ ${signal}`, "signal", signal));
  for (const [label, text] of rows) {
    const row = element("p", "", "row", ROW_CLASSES[label] || "plain");
    if (label) row.append(element("span", `${label}: `, "label"));
    row.append(text);
    box.append(row);
  }
  return box;
}

function showClocks({ time, timers }) {
  const most = document.body.classList.contains("far") ? 2 : 4;
  $("time").textContent = time;
  $("timers").replaceChildren(
    ...timers.slice(0, most).map((timer, index) => {
      const row = element("div", "", "timer", timer.stage);
      row.classList.toggle("first", index === 0);
      row.classList.toggle("most", timer.most);
      row.append(element("span", timer.left, "left"), `${timer.name}: ${timer.words}`);
      return row;
    }),
  );
  const hidden = timers.length - most;
  if (hidden > 0) $("timers").append(element("div", `and ${hidden} more timers`, "timer"));
  hear(timers);
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
  const read = isRead();
  const offered = card.actions.filter(([, , waits]) => read || !waits);
  const buttons = offered.map(([id, label, , leads]) => {
    const place = id === "ack" ? "wide" : leads ? "lead" : "plain";
    const button = makeButton(label, () => choose(`do ${id}`, button), place);
    button.dataset.act = id;
    return button;
  });
  if (!read) {
    const on = makeButton("Read on", readOn, "lead", "local");
    on.dataset.act = "read";
    buttons.unshift(on);
  }
  const larger = document.body.classList.contains("near");
  const view = makeButton(larger ? "Larger" : "Smaller", switchSize, "local");
  const screen = makeButton("Terminal", openScreen, "local");
  view.dataset.act = "size";
  screen.dataset.act = "terminal";
  const sent = pending?.button?.dataset.act;
  $("actions").replaceChildren(...buttons, view, screen);
  if (sent) buttons.find((button) => button.dataset.act === sent)?.classList.add("sent");
}

function readOn() {
  wakeSound();
  const words = $("words");
  words.scrollTop += Math.max(40, words.clientHeight * 0.85);
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

function openMenu(name) {
  const menu = card.menus[name];
  if (menu) openPage(menu);
}

function openPage({ title, rows }) {
  $("page-title").textContent = title;
  $("page-rows").replaceChildren(
    ...rows.map(([choice, label]) => {
      if (!choice) return element("p", label);
      const button = makeButton(label, () => choose(choice, button));
      button.dataset.act = choice;
      return button;
    }),
  );
  const back = makeButton("Back", closePage, "local");
  back.dataset.act = "close";
  const sound = makeButton("Test the sound", () => (wakeSound(), play("ready")), "local");
  const voice = makeButton(readsAloud() ? "Stop reading aloud" : "Read aloud", switchVoice, "local");
  const others = hasVoice() ? [sound, voice] : [sound];
  $("page-foot").replaceChildren(back, ...(title === "More" ? others : []));
  $("page").hidden = false;
  markShown();
}

function readsAloud() {
  return localStorage.getItem("voice") === "on";
}

function switchVoice() {
  wakeSound();
  localStorage.setItem("voice", readsAloud() ? "off" : "on");
  if (readsAloud()) say($("said").textContent);
  else hush();
  closePage();
}

function closePage() {
  if ($("page").hidden) return;
  $("page").hidden = true;
  $("page-rows").replaceChildren();
  markShown();
}

// ---- the terminal

function openScreen() {
  wakeSound();
  const frame = document.createElement("iframe");
  frame.src = `/terminal#${localStorage.getItem("letters") || 36}`;
  frame.title = "The terminal";
  const bar = element("div");
  bar.append(
    makeButton("Size", () => {
      const sizes = [24, 36, 48];
      const now = Number(localStorage.getItem("letters") || 36);
      localStorage.setItem("letters", sizes[(sizes.indexOf(now) + 1) % sizes.length]);
      openScreen();
    }, "local"),
    makeButton("Card", closeScreen, "local"),
  );
  bar.lastChild.dataset.act = "card";
  $("screen").replaceChildren(frame, bar);
  $("screen").hidden = false;
  localStorage.setItem("face", "terminal");
}

function closeScreen() {
  $("screen").hidden = true;
  $("screen").replaceChildren();
  localStorage.setItem("face", "card");
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
document.addEventListener("visibilitychange", () => {
  retryAt = 0;
  if (!document.hidden) stayAwake();
  else socket?.close(); // who does not see it does not hear it either: shopstep rings itself
  watchConnection();
});
window.addEventListener("online", () => {
  retryAt = 0;
  watchConnection();
});
window.addEventListener("resize", showActions);
$("words").addEventListener("scroll", () => {
  const was = readKey;
  if (card && isRead() && was !== readKey) showActions();
});
if (localStorage.getItem("size") === "far") document.body.classList.replace("near", "far");
showConnection();
stayAwake();
connect();
setInterval(watchConnection, 250);
if (localStorage.getItem("face") === "terminal") openScreen();

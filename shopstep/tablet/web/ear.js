// The tablet hears: sound leaves this page only while it says LISTENING, with the second before it.
// One socket is one opening of the microphone about one card; what it means is decided by shopstep.

import { ask, closeAsked } from "./ear_asked.js";
import { isLost } from "./link.js";
import { closeMicrophone, isMicrophoneOn, openMicrophone, whyNoMicrophone } from "./microphone.js";
import { hush, isSounding, wakeSound } from "./sound.js";
import { makeButton } from "./taps.js";
import { element, worded } from "./words.js";

const LET_GO = 4401;
const BEFORE = 20; // pieces of 50 ms that are kept from before the button was down
const KNOWN = 10; // pieces of the shop's noise that are heard before the first opening
const HELD_MS = 400; // a longer press is held, a shorter one a tap
const ECHO_MS = 300; // after the page's own sound
const STALE_MS = 1000; // what is said about an older card is waited for so long
const NEWS_MS = 12000;
const PAGE_MS = 20000; // a page that was asked for by voice goes by itself
const IDLE_MS = 300000;
const [SILENT_DB, LOUD_DB] = [-66, -16]; // both ends of the meter
const REACH_MS = 5000; // shopstep answers within this, or is not there
const NOT_THERE = worded("not connected: tap again");
const TOO_LOUD = worded("a saw or a vacuum runs: I cannot hear; tap instead");
const $ = (id) => document.getElementById(id);

let face = null; // what the card does for the ear
let deaf = worded("Not connected yet.");
let broken = "";
let opened = null;
let before = [];
let tooLoud = false;
let soundedAt = -Infinity;
let usedAt = 0;
let isOwed = false; // armed: the microphone opens once the page is quiet
let isStarting = false;
let downAt = 0;
let news = ["", 0];

/** Listens to the button; the face gives card(), take(message), tap(act), look(name), tidy(ms). */
export function startEar(given) {
  face = given;
  const button = $("talk-button");
  button.addEventListener("pointerdown", (event) => {
    button.setPointerCapture(event.pointerId);
    downAt = event.timeStamp; // of the finger, however busy the page is
    if (opened?.by === "card") Object.assign(opened, { by: "held", at: performance.now() });
    else if (isMicrophoneOn() && !opened) press("held");
  });
  for (const kind of ["pointerup", "lostpointercapture"]) button.addEventListener(kind, lift);
  button.addEventListener("contextmenu", (event) => event.preventDefault());
  button.addEventListener("click", (event) => event.detail === 0 && press("tap")); // a key, a screen reader
  document.addEventListener("visibilitychange", () => document.hidden && stop());
  setInterval(look, 250);
}

/** Why shopstep hears nobody; empty where it can. */
export function setDeaf(text) {
  deaf = whyNoMicrophone() || broken || text;
  $("talk").hidden = Boolean(deaf);
  show();
}

/** Another card is in sight: what was begun about the one before is void. */
export function earSees() {
  closeAsked();
  isOwed = isArmed();
  if (!opened || opened.isStale) return;
  const mine = opened;
  Object.assign(mine, { isCut: true, isStale: true });
  setTimeout(() => {
    if (opened !== mine) return;
    if (mine.inSpeech) tell(mine.told.changed);
    shut();
  }, STALE_MS);
}

/** Rows of the page More. */
export function earRows(close) {
  if (deaf) return [element("p", deaf, "quiet")];
  const arm = makeButton(isArmed() ? worded("Listen only at a tap") : worded("Listen after every card"), () => {
    localStorage.setItem("armed", isArmed() ? "off" : "on");
    close();
    if (isArmed() && !isMicrophoneOn()) start();
    isOwed = isArmed();
  }, "local");
  arm.dataset.act = "arm";
  const off = makeButton(worded("Microphone off"), () => (stop(), close()), "local");
  off.dataset.act = "microphone off";
  return isMicrophoneOn() ? [arm, off] : [arm];
}

function isArmed() {
  return localStorage.getItem("armed") === "on";
}

// ---- the button

function lift(event) {
  if (!downAt) return;
  const isHeld = event.timeStamp - downAt >= HELD_MS;
  downAt = 0;
  if (!isMicrophoneOn()) start();
  else if (opened?.by === "held" && !isHeld) Object.assign(opened, { by: "tap", at: performance.now() });
  else if (opened && !opened.isCut) cut();
}

function press(by) {
  wakeSound();
  hush();
  if (!isMicrophoneOn()) start();
  else if (opened) cut();
  else if (!isStarting) open(by);
}

async function start() {
  if (isStarting || isMicrophoneOn()) return;
  isStarting = true;
  usedAt = performance.now();
  wakeSound();
  show();
  const why = await openMicrophone(hearPiece, cannot);
  if (why) return cannot(why);
  document.body.classList.add("ear");
}

/** Said once; then the button is gone, and More says why. */
function cannot(why) {
  stop();
  broken = why;
  setDeaf("");
  face.take({ text: why });
}

function stop() {
  isStarting = false;
  shut();
  closeMicrophone();
  [before, tooLoud, isOwed] = [[], false, false];
  document.body.classList.remove("ear");
  show();
}

// ---- the sound

function hearPiece(piece) {
  const now = performance.now();
  showLevel(piece);
  if (isSounding()) soundedAt = now;
  if (now - soundedAt < ECHO_MS) { // it does not listen to itself
    before = [];
    if (opened?.isBegun) cut(); // else it begins once the page is quiet
  } else if (opened && !opened.isCut) {
    opened.waiting.push(piece);
    pass();
  } else {
    before = [...before.slice(1 - BEFORE), piece];
  }
  if (isStarting && before.length >= KNOWN) {
    isStarting = false;
    open("tap");
  }
  look();
}

function pass() {
  if (opened.socket.readyState !== WebSocket.OPEN) return;
  if (!opened.isBegun && before.length) opened.socket.send(new Blob(before));
  opened.waiting.forEach((piece) => opened.socket.send(piece));
  opened.isBegun ||= before.length + opened.waiting.length > 0;
  [before, opened.waiting] = [[], []];
}

function open(by) {
  const card = face.card();
  if (opened || isLost() || !card) return;
  usedAt = performance.now();
  isOwed = false;
  const address = `${location.origin.replace(/^http/, "ws")}/ear?seen=${card.version}`;
  const mine = { socket: new WebSocket(address), by, at: usedAt, waiting: [] };
  opened = mine;
  if (by !== "card") tell("");
  mine.socket.addEventListener("open", () => opened === mine && pass());
  mine.socket.addEventListener("message", (event) => opened === mine && take(JSON.parse(event.data)));
  mine.socket.addEventListener("close", (event) => {
    if (event.code === LET_GO) location.replace("/pair");
    if (opened === mine) shut();
  });
  show();
}

/** That was all: what was said is judged, nothing more is sent. */
function cut() {
  if (opened.isCut) return;
  opened.isCut = true;
  if (opened.socket.readyState === WebSocket.OPEN) opened.socket.send(new ArrayBuffer(0));
  else shut();
  show();
}

function shut() {
  const socket = opened?.socket;
  opened = null;
  socket?.close();
  show();
}

// ---- what shopstep tells

function take(message) {
  const { kind, text, words } = message;
  if (kind === "open") opened.told = { ...opened.told, ...message };
  else if (kind === "level") [opened.inSpeech, tooLoud] = [message.in_speech, message.too_loud];
  else if (kind === "nobody") opened.by !== "card" && tell(worded("nobody was heard"));
  else if (kind === "trouble") tell(text);
  else if (!message.taken) refuse(text.replace(/\.$/, ""), words);
  else accept(message);
  show();
}

function refuse(text, nearest) {
  tell(worded("not taken: {text}", { text }) + (nearest ? worded(" (nearest: {nearest})", { nearest }) : ""));
  if (opened.by === "tap") shut();
}

function accept(message) {
  const { words, undo, question, look } = message;
  tell(worded("heard: {words}", { words }) + (undo ? worded("; to undo: {undo}", { undo }) : ""));
  shut();
  closeAsked();
  isOwed = isArmed();
  face.take(message);
  if (question) ask(question, face.tap, () => tell(worded("no answer: left as it is")));
  if (look) face.look(look);
  face.tidy(PAGE_MS);
}

// ---- what the page shows

function look() {
  const now = performance.now();
  if (opened && !opened.isCut) {
    const { pushed_s, armed_s, more_s, held_s } = opened.told ?? {};
    const most = { tap: pushed_s, card: armed_s, held: held_s }[opened.by];
    const more = opened.inSpeech && opened.by !== "held" ? more_s : 0;
    opened.left = most - (now - opened.at) / 1000;
    if (opened.left + more <= 0) cut();
    else if (!opened.told && now - opened.at > REACH_MS) tell(NOT_THERE), shut();
  }
  const isFree = !opened && !isSounding() && now - soundedAt > ECHO_MS && $("screen").hidden;
  if (isOwed && isMicrophoneOn() && !isStarting && isFree) open("card");
  if (isMicrophoneOn() && !opened && !isArmed() && now - usedAt > IDLE_MS) stop();
  show();
}

function tell(text) {
  news = [text, performance.now()];
}

/** Sign and words: which state it is, unmistakably. */
function state() {
  if (isStarting) return ["wait", worded("Starts"), isMicrophoneOn() ? worded("a moment") : worded("allow the microphone")];
  if (opened && !opened.isCut) {
    if (tooLoud) return ["on", worded("TOO LOUD"), worded("tap instead")];
    const left = opened.by === "held" || !(opened.left > 0) ? "" : ` ${Math.ceil(opened.left)} s`;
    return ["on", worded("LISTENING") + left, opened.by === "held" ? worded("while held") : worded("speak now")];
  }
  if (opened) return ["wait", worded("Judges"), worded("what was said")];
  if (isMicrophoneOn() && isSounding()) return ["off", worded("Talk"), worded("it sounds; not listening")];
  if (tooLoud) return ["off", worded("Talk"), worded("too loud: tap instead")];
  if (!isMicrophoneOn()) return ["off", worded("Talk"), isArmed() ? worded("tap once to be heard") : worded("tap to be heard")];
  return ["off", worded("Talk"), isArmed() ? worded("listens after every card") : worded("hold, or tap")];
}

function show() {
  const [sign, word, more] = state();
  const isOn = sign === "on";
  document.body.classList.toggle("listening", isOn);
  document.body.classList.toggle("too-loud", isOn && tooLoud);
  if ($("talk-button").className !== sign) $("talk-button").className = sign;
  put("talk-word", word);
  put("talk-more", more);
  put("sign", isOn && ["page", "board", "pad"].some((id) => !$(id).hidden) ? word : "");
  if (news[0] && performance.now() - news[1] > NEWS_MS) tell("");
  const may = (isOn && opened.told?.sayings) || [];
  const sayings = may.length ? worded("say: {words}", { words: may.join("; ") }) : "";
  put("heard", (isOn && tooLoud ? TOO_LOUD : "") || news[0] || sayings);
}

function put(id, text) {
  if ($(id).textContent !== text) $(id).textContent = text; // a screen reader is told once
}

function showLevel(piece) {
  const samples = new Int16Array(piece);
  let power = 0;
  for (const sample of samples) power += sample * sample;
  const db = 10 * Math.log10(power / samples.length / 32768 ** 2 + 1e-12);
  const part = Math.min(1, Math.max(0, (db - SILENT_DB) / (LOUD_DB - SILENT_DB)));
  $("talk-level").style.setProperty("--level", part.toFixed(2));
}

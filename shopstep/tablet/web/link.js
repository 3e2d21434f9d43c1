// The connection to shopstep: opened anew as soon as it can be, and plainly told where it is not there.

import { worded } from "./words.js";

const SILENT_MS = 3500;
const RETRY_MS = 600;
const TRY_MS = 2500;
const LOOK_MS = 250;
const LET_GO = 4401;
const FULL = 4429;

let socket = null;
let heardAt = 0;
let retryAt = 0;
let isTrying = false;
let trouble = "";
let calls = { opened() {}, heard() {}, changed() {} };

/** Nothing was heard for a while, or what is heard is that something is wrong. */
export function isLost() {
  return document.hidden || Boolean(trouble) || Date.now() - heardAt > SILENT_MS || !isOpen();
}

/** What is wrong besides the connection; empty for nothing. */
export function troubleNow() {
  return trouble;
}

export function setTrouble(text) {
  trouble = text;
  calls.changed();
}

export function isOpen() {
  return Boolean(socket) && socket.readyState === WebSocket.OPEN;
}

export function send(message) {
  socket.send(JSON.stringify(message));
}

/** Connects, and stays so: opened(), heard(message), changed() are called as it happens. */
export function startLink(handlers) {
  calls = handlers;
  document.addEventListener("visibilitychange", () => {
    if (document.hidden) socket?.close(); // who does not see it does not hear it: shopstep rings itself
    tryNow();
  });
  window.addEventListener("online", tryNow);
  connect();
  setInterval(watch, LOOK_MS);
}

function tryNow() {
  retryAt = 0;
  watch();
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
      calls.opened();
      settle();
    });
    mine.addEventListener("message", (event) => {
      heardAt = Date.now();
      calls.heard(JSON.parse(event.data));
    });
    mine.addEventListener("close", (event) => {
      clearTimeout(late);
      settle();
      if (socket !== mine) return;
      socket = null;
      if (event.code === LET_GO) location.replace("/pair");
      setTrouble(event.code === FULL ? worded("As many pages are open as may be; close one elsewhere.") : "");
    });
  });
}

function watch() {
  if (!document.hidden && isOpen() && Date.now() - heardAt > SILENT_MS) {
    const old = socket;
    socket = null;
    old.close();
  }
  calls.changed();
  if (!socket && !document.hidden && Date.now() >= retryAt) connect();
}

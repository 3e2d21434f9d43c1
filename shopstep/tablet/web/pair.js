// Asks for the pairing code by taps; a code in the address (from the square code) stands there already.
"use strict";

const worded = (text) => text; // the server puts other languages in
const DIGITS = 8;
const code = document.getElementById("code");
const said = document.getElementById("said");
let typed = (location.hash.match(/^#(\d{8})$/) || ["", ""])[1];
if (location.hash) history.replaceState(null, "", "/pair");

function show() {
  const shown = typed.padEnd(DIGITS, "·");
  code.textContent = `${shown.slice(0, 4)} ${shown.slice(4)}`;
}

async function pair() {
  if (typed.length !== DIGITS) {
    said.textContent = worded("The code has eight digits.");
    return;
  }
  try {
    const answer = await fetch("/pair", { method: "POST", body: JSON.stringify({ code: typed }) });
    if (answer.ok) return location.replace("/");
    said.textContent = (await answer.json()).text;
  } catch {
    said.textContent = worded("shopstep does not answer; is it still running?");
  }
  typed = "";
  show();
}

function key(label, act, lead = false) {
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = label;
  if (lead) button.className = "lead";
  button.addEventListener("click", () => {
    act();
    show();
  });
  document.getElementById("keys").append(button);
}

for (const digit of "1234567890") {
  key(digit, () => {
    said.textContent = "";
    if (typed.length < DIGITS) typed += digit;
  });
}
key(worded("Delete"), () => (typed = typed.slice(0, -1)));
key(worded("Pair"), pair, true);
if (location.protocol === "https:") {
  const trust = document.createElement("a");
  trust.href = "/authority.crt";
  trust.textContent = worded("If the browser warned: get the certificate to install");
  document.querySelector("main").append(trust);
}
show();

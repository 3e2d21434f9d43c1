// The bench screen itself, drawn by a process of its own, in a frame: closing it frees everything.

import { makeButton, markShown } from "./taps.js";
import { element, worded } from "./words.js";

const SIZES = [24, 36, 48];
const place = document.getElementById("screen");

function letters() {
  return Number(localStorage.getItem("letters") || 36);
}

export function openScreen() {
  const frame = document.createElement("iframe");
  frame.src = `/terminal#${letters()}`;
  frame.title = worded("The terminal");
  const bar = element("div");
  bar.append(
    makeButton(worded("Size"), () => {
      localStorage.setItem("letters", SIZES[(SIZES.indexOf(letters()) + 1) % SIZES.length]);
      openScreen();
    }, "local"),
    makeButton(worded("Card"), closeScreen, "local"),
  );
  bar.lastChild.dataset.act = "card";
  place.replaceChildren(frame, bar);
  place.hidden = false;
  localStorage.setItem("face", "terminal");
}

export function closeScreen() {
  place.hidden = true;
  place.replaceChildren();
  localStorage.setItem("face", "card");
  markShown();
}

// The step's picture: in what words and buttons leave free and nowhere else, so that none of them
// gives way to it; whole on a page of its own when it is tapped.

import { element } from "./words.js";

const GAP = 14;
const LEAST_WIDE = 220; // 38 mm, and 26 mm high: smaller shows nothing
const LEAST_HIGH = 150;
const SHARES = [0.3, 0.36, 0.42, 0.48, 0.55];
const LETTERS = { near: 13, far: 6 }; // a column of words beside it is as wide as so many of them

const drawn = element("img");
const $ = (id) => document.getElementById(id);
let onReady = () => {};
drawn.addEventListener("load", () => onReady());

/** ready() is called when a picture has come. */
export function onPicture(ready) {
  onReady = ready;
}

export function hasPicture() {
  return Boolean(drawn.alt);
}

/** There is one, and the card has no room for it. */
export function isPictureHidden() {
  return isDrawn() && $("picture").hidden;
}

function isDrawn() {
  return hasPicture() && drawn.complete && drawn.naturalWidth > 0;
}

/** Shows this picture from now on: address and words, or nothing. */
export function showPicture(picture) {
  const [address, words] = picture && picture.length ? picture : ["", ""];
  if (address && drawn.getAttribute("src") !== address) drawn.src = address;
  if (!address) drawn.removeAttribute("src");
  drawn.alt = words ? `Picture: ${words}` : "";
  if (!$("picture").firstChild) $("picture").append(drawn);
}

/** The picture alone, as large as there is room. */
export function wholePicture() {
  const whole = element("img", "", "whole");
  whole.src = drawn.src;
  whole.alt = drawn.alt;
  return whole;
}

/** Leaves all room to the words: whether they were read is asked without a picture. */
export function liftPicture() {
  set("", "");
  $("picture").hidden = true;
}

/** Finds the largest place; call it whenever words, buttons or sizes have changed. */
export function placePicture() {
  const [body, words, button] = [$("body"), $("words"), $("picture")];
  const at = words.scrollTop;
  liftPicture();
  if (isDrawn()) {
    const best = bestPlace(body, words, button, drawn.naturalWidth / drawn.naturalHeight);
    set(best ? best.place : "", best ? best.size : "");
    button.hidden = !best;
  }
  words.scrollTop = at;
}

function set(place, size) {
  $("body").className = place;
  $("body").style.setProperty("--share", size);
}

function bestPlace(body, words, button, ratio) {
  const found = [...asideOf(ratio)];
  const [wide, high] = [body.clientWidth, body.clientHeight];
  if (fits(words)) {
    const free = high - endOf(words) - GAP;
    found.push({ place: "below", size: `${free}px`, ...fit(wide, free, ratio) });
    button.hidden = false;
    for (const share of SHARES) {
      const size = Math.round(wide * share);
      set("beside", `${size}px`);
      if (fits(words) && words.clientWidth >= leastColumn(words))
        found.push({ place: "beside", size: `${size}px`, ...fit(size, high, ratio) });
    }
  }
  const large = found.filter(({ w, h }) => w >= LEAST_WIDE && h >= LEAST_HIGH);
  return large.sort((one, other) => other.w * other.h - one.w * one.h)[0] || null;
}

/** Over the buttons, where they stand at the side. */
function asideOf(ratio) {
  const first = document.querySelector("#actions button");
  const side = $("actions").getBoundingClientRect();
  if (!first || side.top > 0) return [];
  const free = first.getBoundingClientRect().top - 2 * GAP;
  return [{ place: "aside", size: `${free}px`, ...fit(side.width - 2 * GAP, free, ratio) }];
}

function fits(words) {
  return words.scrollHeight <= words.clientHeight + 2 && words.scrollWidth <= words.clientWidth + 2;
}

function leastColumn(words) {
  const letters = document.body.classList.contains("far") ? LETTERS.far : LETTERS.near;
  return letters * Number.parseFloat(getComputedStyle(words).fontSize);
}

function endOf(words) {
  const last = words.lastElementChild;
  return last ? last.getBoundingClientRect().bottom - words.getBoundingClientRect().top + words.scrollTop : 0;
}

function fit(wide, high, ratio) {
  const w = Math.max(0, Math.min(wide, high * ratio));
  return { w, h: w / ratio };
}

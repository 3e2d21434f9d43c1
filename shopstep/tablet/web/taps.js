// Taps of a gloved hand: 40 px of smear are still a tap, and a bounce is no second one.

export const SMEAR_PX = 40;
const BOUNCE_MS = 350;
const READ_MS = 800;

let handledAt = -Infinity; // of all buttons: the click after a tap may meet another one
let shownAt = -Infinity;
let needed = BOUNCE_MS;

/** Something new stands under the finger from now on; a caution has to be read first. */
export function markShown(isCaution = false) {
  shownAt = performance.now();
  needed = isCaution ? READ_MS : BOUNCE_MS;
}

export function isBounce() {
  return performance.now() - shownAt < needed;
}

/** Calls act once for a tap, a key or a screen reader's press on a button. */
export function onTap(button, act) {
  let from = null;
  const lift = () => {
    from = null;
    button.classList.remove("down");
  };
  button.addEventListener("pointerdown", (event) => {
    from = { x: event.clientX, y: event.clientY };
    button.setPointerCapture(event.pointerId);
    button.classList.add("down");
  });
  button.addEventListener("pointerup", (event) => {
    if (!from) return;
    const far = Math.hypot(event.clientX - from.x, event.clientY - from.y);
    lift();
    handledAt = performance.now();
    if (far <= SMEAR_PX) act();
  });
  button.addEventListener("pointercancel", lift);
  button.addEventListener("contextmenu", (event) => event.preventDefault());
  button.addEventListener("click", () => {
    if (performance.now() - handledAt > 700) act();
  });
}

/** A button with words on it. */
export function makeButton(label, act, ...classes) {
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = label;
  button.classList.add(...classes);
  onTap(button, act);
  return button;
}

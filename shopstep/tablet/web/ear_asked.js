// What was heard and has to be confirmed, in large words: yes or no, said or tapped. No answer in
// time means no.

import { makeButton, markShown } from "./taps.js";
import { worded } from "./words.js";

const FOR = " for "; // between a number and what it is the number of
const $ = (id) => document.getElementById(id);
let timer = 0;

/** Asks; answered("heard yes" | "heard no") for a tap, late() where nobody answered. */
export function ask({ text, answers, for_s: seconds }, answered, late) {
  const [value, ...rest] = text.split(FOR);
  const [yes, no] = answers;
  $("asked-value").textContent = value;
  $("asked-rest").textContent = rest.length ? `for ${rest.join(FOR)}` : "";
  $("asked-say").textContent = worded("Say: {yes}; or: {no}", { yes, no });
  const close = (act) => () => {
    closeAsked();
    answered(act);
  };
  const buttons = [
    makeButton(worded("No"), close("heard no"), "plain"),
    makeButton(worded("Yes"), close("heard yes"), "lead"),
  ];
  buttons.forEach((button, index) => { button.dataset.act = index ? "heard yes" : "heard no"; });
  $("asked-foot").replaceChildren(...buttons, $("talk"));
  $("asked").prepend($("timers")); // no limit is out of sight
  $("asked").hidden = false;
  markShown();
  clearTimeout(timer);
  timer = setTimeout(() => {
    closeAsked();
    late();
  }, seconds * 1000);
}

export function closeAsked() {
  if ($("asked").hidden) return;
  clearTimeout(timer);
  $("actions").after($("talk"));
  $("body").before($("timers"));
  $("asked").hidden = true;
  markShown();
}

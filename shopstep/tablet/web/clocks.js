// The time and every running limit, as the server counts them: what must be in time stands first.

import { readsAloud } from "./aloud.js";
import { hear } from "./sound.js";
import { element, unbroken, worded } from "./words.js";

const $ = (id) => document.getElementById(id);

/** What stands here is not up to date: no clock looks alive. */
export function hideClocks() {
  $("timers").replaceChildren();
  $("time").textContent = "";
}

/** Shows them, as many as there is room for, and sounds what has become urgent. */
export function showClocks({ time, timers, quiet }) {
  const open = timers.filter((timer) => timer.most).length;
  const others = document.body.classList.contains("far") ? 1 : 2; // the board has them all
  const most = open ? open + others - 1 : others;
  $("time").textContent = time;
  $("timers").replaceChildren(
    ...timers.slice(0, most).map((timer, index) => {
      const row = element("div", "", "timer", timer.stage);
      row.classList.toggle("first", index === 0);
      row.classList.toggle("most", timer.most);
      row.append(element("span", timer.left, "left"), unbroken(`${timer.name}: ${timer.words}`));
      return row;
    }),
  );
  const hidden = timers.length - most;
  if (hidden > 0) $("timers").lastChild.append(worded(", and {hidden} more", { hidden }));
  hear(timers, quiet, readsAloud());
}

// What a phrase does to the page: the same as taps do.

import { readsAloud, sayIt } from "./aloud.js";
import { say, wakeSound } from "./sound.js";

const rows = document.getElementById("page-rows");

/** The card as the ear sees it; made of what the card can do. */
export function earFace({ card, ask, take, openWhy, closePage, voice }) {
  return {
    card,
    tap: (act) => ask(act, null),
    /** What came of a phrase. */
    take(message) {
      closePage();
      take(message);
      if (readsAloud() && (message.text || message.page)) say(message.text, "asked");
    },
    /** A page that was opened by voice goes by itself. */
    tidy(ms) {
      const shown = rows.firstChild;
      if (shown) setTimeout(() => rows.firstChild === shown && closePage(), ms);
    },
    look(name) {
      if (name === "why") openWhy();
      else if (name === "again" || name === "slower") sayIt(voice, name === "again" ? "card" : "slow");
      else if (name === "quiet") wakeSound();
    },
  };
}

// The card read aloud: whether it is, and the buttons for it on the page More.

import { hush, play, say, wakeSound } from "./sound.js";
import { makeButton } from "./taps.js";
import { worded } from "./words.js";

const NO_VOICE = worded("Nothing here can speak: this browser has no voice of its own.");

export function readsAloud() {
  return localStorage.getItem("voice") === "on";
}

/** Says the card now, in full or slowly; the face gives words(), tell(text), close(). */
export async function sayIt(face, of = "card") {
  wakeSound();
  face.close();
  if (!(await say(face.words(), of))) face.tell(NO_VOICE);
}

export function soundButtons(face) {
  const change = () => {
    localStorage.setItem("voice", readsAloud() ? "off" : "on");
    if (readsAloud()) return sayIt(face);
    hush();
    face.close();
  };
  const buttons = {
    "test sound": [worded("Test the sound"), () => wakeSound(() => play("ready"))],
    "say it": [worded("Say it"), () => sayIt(face)],
    "read aloud": [readsAloud() ? worded("Stop reading aloud") : worded("Read every card aloud"), change],
  };
  return Object.entries(buttons).map(([act, [label, does]]) => {
    const button = makeButton(label, does, "local");
    button.dataset.act = act;
    return button;
  });
}

// The tablet's microphone as pieces of 50 ms. It is open between two taps of the person, and its
// sound stays on this page until somebody takes it.

import { worded } from "./words.js";

const WANTED = {
  channelCount: 1,
  echoCancellation: false, // the page does not listen while it sounds
  noiseSuppression: false, // shopstep knows its own way with noise,
  autoGainControl: false, // and how loud the shop is
};
const WHY = {
  NotAllowedError:
    worded("This page may not use the microphone; allow it in the browser's settings, then load the page anew."),
  NotFoundError: worded("No microphone was found on this tablet."),
};
const PLAIN = worded("The browser gives the microphone only over TLS; start shopstep tablet with --tls.");
const NONE = worded("This browser gives no microphone to a page.");
const TAKEN = worded("The microphone was taken away from this page; load the page anew to be heard.");

const WARM_PIECES = 6; // what a microphone gives while it starts is no sound of the shop
const MUTE_PIECES = 60; // and some give nothing at all for a while

let stream = null;
let context = null;

/** Why this browser cannot hear at all, in a sentence; empty where it may. */
export function whyNoMicrophone() {
  if (!window.isSecureContext) return PLAIN;
  return navigator.mediaDevices?.getUserMedia && window.AudioWorkletNode ? "" : NONE;
}

export function isMicrophoneOn() {
  return Boolean(context);
}

/** Opens it; piece(buffer) is called 20 times a second, lost(sentence) where it is taken away.
    Gives a sentence where it cannot be opened, else nothing. */
export async function openMicrophone(piece, lost) {
  try {
    stream = await navigator.mediaDevices.getUserMedia({ audio: WANTED });
    const made = new AudioContext();
    await made.audioWorklet.addModule("/ear_worklet.js");
    const ear = new AudioWorkletNode(made, "ear", { channelCount: 1, channelCountMode: "explicit" });
    const isWarm = warmed();
    ear.port.onmessage = ({ data }) => context === made && isWarm(data) && piece(data);
    made.createMediaStreamSource(stream).connect(ear).connect(made.destination); // it stays silent
    await made.resume();
    context = made;
    stream.getTracks()[0].addEventListener("ended", () => {
      if (context === made) closeMicrophone(), lost(TAKEN);
    });
    return "";
  } catch (problem) {
    closeMicrophone();
    return WHY[problem.name] || worded("The microphone cannot be opened: {why}.", { why: problem.message });
  }
}

/** Whether a piece is sound of the shop: not the first ones, nor exact silence before any sound. */
function warmed() {
  let [seen, warm] = [0, 0];
  return (data) => {
    seen += 1;
    if (warm || seen > MUTE_PIECES || new Int16Array(data).some(Boolean)) warm += 1;
    return warm > WARM_PIECES;
  };
}

export function closeMicrophone() {
  stream?.getTracks().forEach((track) => track.stop());
  context?.close();
  stream = context = null;
}

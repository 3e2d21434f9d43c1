// Alarms: short tones, made here, heard after a first tap on the page (browsers ask for one).

const TUNES = {
  half: [[660, 0.25]],
  nearly: [[880, 0.2], [880, 0.2], [880, 0.2], [880, 0.2]],
  late: [[990, 0.5], [660, 0.5], [990, 0.5], [660, 0.5]],
  ready: [[520, 0.3], [660, 0.3], [780, 0.5]],
};
let audio = null;
let before = null;

/** Called inside a tap. */
export function wakeSound() {
  if (!audio && window.AudioContext) audio = new AudioContext();
  if (audio && audio.state === "suspended") audio.resume();
  document.getElementById("ear").hidden = Boolean(audio);
}

export function play(name) {
  if (!audio || audio.state !== "running") return;
  let at = audio.currentTime + 0.02;
  for (const [pitch, length] of TUNES[name]) {
    const tone = audio.createOscillator();
    const level = audio.createGain();
    tone.type = "square";
    tone.frequency.value = pitch;
    level.gain.setValueAtTime(0.6, at);
    level.gain.setValueAtTime(0, at + length * 0.8);
    tone.connect(level).connect(audio.destination);
    tone.start(at);
    tone.stop(at + length);
    at += length;
  }
}

/** Plays where a timer has just come to another stage; a wait that is over when first seen is silent. */
export function hear(timers) {
  const stages = new Map(timers.map((timer) => [`${timer.name} ${timer.kind}`, timer]));
  for (const [name, timer] of stages) {
    const last = before && before.get(name);
    const isNews = last ? last.stage !== timer.stage : timer.most;
    if (isNews && TUNES[timer.stage]) play(timer.stage);
  }
  before = stages;
}

/** The browser's own voice; one that would send the words elsewhere is not used. */
function ownVoice() {
  const voices = window.speechSynthesis ? speechSynthesis.getVoices() : [];
  return voices.find((voice) => voice.localService && voice.lang.startsWith("en"));
}

export function hasVoice() {
  return Boolean(ownVoice());
}

export function say(text) {
  const voice = ownVoice();
  if (!voice) return;
  speechSynthesis.cancel();
  const words = new SpeechSynthesisUtterance(text);
  words.voice = voice;
  words.lang = voice.lang;
  speechSynthesis.speak(words);
}

export function hush() {
  window.speechSynthesis?.cancel();
}

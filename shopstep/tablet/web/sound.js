// Sounds and voice, after a first tap on the page (browsers ask for one). Alarms are the files that
// the bench screen sounds too; words come from the server's voice, else from the browser's own.

const FILES = { half: "half", nearly: "due", late: "late", ready: "due" };
const PRESSING = ["nearly", "late"];
const AGAIN_MS = 20000;
const SOUND_MS = 1500; // an alarm is said after its sound
const SPEECH = "/speech.wav";
let audio = null;
let before = null;
let rangAt = 0;
let talking = null;
let turn = 0; // of what is said: what was hushed before it came is not begun
let making = 0;
let sounding = 0;
let onChange = () => {};
let hasServerVoice = true; // until it says that it has none
const held = new Map();

export function canSound() {
  return Boolean(audio) && audio.state === "running";
}

/** changed() is called when sounds can be heard from now on, or no more. */
export function onEars(changed) {
  onChange = changed;
}

/** Called inside a tap; done() once sounds can be heard. */
export function wakeSound(done = () => {}) {
  if (!audio && window.AudioContext) {
    audio = new AudioContext();
    audio.addEventListener("statechange", () => onChange()); // a call may take the loudspeaker away
  }
  if (!audio) return;
  rangAt = Infinity; // who taps has heard it
  if (audio.state === "running") return done();
  audio.resume().then(() => {
    for (const name of new Set(Object.values(FILES))) load(`/${name}.wav`).catch(() => {}); // later, then
    done();
  });
}

async function load(address) {
  if (!held.has(address)) {
    const answer = await fetch(address);
    if (answer.status !== 200) return null;
    held.set(address, await audio.decodeAudioData(await answer.arrayBuffer()));
  }
  return held.get(address);
}

function start(sound) {
  const source = audio.createBufferSource();
  source.buffer = sound;
  source.connect(audio.destination);
  sounding += 1;
  source.addEventListener("ended", () => { sounding -= 1; });
  source.start();
  return source;
}

/** Whether this page makes a sound now, or is about to: then it hears nobody. */
export function isSounding() {
  return making + sounding > 0 || Boolean(window.speechSynthesis?.speaking);
}

export async function play(stage) {
  if (!canSound()) return;
  try {
    const sound = await load(`/${FILES[stage]}.wav`);
    if (sound) start(sound);
  } catch {
    // not connected just now: the page says so
  }
}

/** Sounds what has just come to another stage, and what presses again and again until a tap. */
export function hear(timers, quiet, isAloud = false) {
  const stages = new Map(timers.map((timer) => [`${timer.name} ${timer.kind}`, timer]));
  let due = "";
  for (const [name, timer] of stages) {
    const last = before && before.get(name);
    const isNews = last ? last.stage !== timer.stage : timer.most;
    if (isNews && FILES[timer.stage]) due = due || timer.stage;
  }
  before = stages;
  const pressing = timers.find((timer) => PRESSING.includes(timer.stage));
  if (!due && pressing && Date.now() - rangAt >= AGAIN_MS) due = pressing.stage;
  if (!due) return;
  rangAt = Date.now();
  if (quiet) return;
  play(due);
  const words = timers.find((timer) => timer.stage === due);
  if (isAloud) setTimeout(() => say(`${words.name}: ${words.words}`, "alarm"), SOUND_MS);
}

/** The browser's own voice; one that would send the words elsewhere is not used. */
function ownVoice() {
  const voices = window.speechSynthesis ? speechSynthesis.getVoices() : [];
  return voices.find((voice) => voice.localService && voice.lang.startsWith("en"));
}

/** Says the card, or what rings: by the server's voice, else by the browser's; false where neither is there. */
export async function say(text, of = "card") {
  hush();
  if (canSound() && hasServerVoice && (await sayFromServer(of))) return true;
  const voice = ownVoice();
  if (!voice) return false;
  const words = new SpeechSynthesisUtterance(text);
  words.voice = voice;
  words.lang = voice.lang;
  speechSynthesis.speak(words);
  return true;
}

async function sayFromServer(of) {
  const mine = turn;
  making += 1;
  try {
    const answer = await fetch(`${SPEECH}?of=${of}`);
    if (of === "card") hasServerVoice = answer.status !== 204; // of alarms there may be none
    if (answer.status !== 200) return false;
    const sound = await audio.decodeAudioData(await answer.arrayBuffer());
    if (mine === turn) talking = start(sound);
    return true;
  } catch {
    return false;
  } finally {
    making -= 1;
  }
}

export function hush() {
  turn += 1;
  window.speechSynthesis?.cancel();
  talking?.stop();
  talking = null;
}

// The words of a card, laid out; and what is said of them to who listens.

const NUMBER = /\d+( \d+\/\d+)?( (in|mm|ft|min|h|%)\b)?/g;

/** A sentence with its places filled; the server puts other languages in where it stands. */
export function worded(text, places = {}) {
  return text.replaceAll(/\{(\w+)\}/g, (found, name) => places[name] ?? found);
}

/** The text with its numbers in one piece, never broken at the end of a line. */
export function unbroken(text) {
  return text.replace(NUMBER, (found) => found.replaceAll(" ", "\u00a0"));
}

export function element(name, text = "", ...classes) {
  const made = document.createElement(name);
  made.textContent = unbroken(text);
  made.classList.add(...classes);
  return made;
}

export function spokenOf(node) {
  const numbers = [...node.querySelectorAll("dd")];
  if (!numbers.length) return node.textContent;
  return numbers.map((n) => `${n.previousSibling.textContent}: ${n.dataset.spoken}.`).join(" ");
}

export function wordsOf({ headline, numbers, sentence, cautions, manual, hand, checks, following, mode }) {
  const before = cautions.map(cautionOf);
  const isCaution = mode === "caution";
  const head = isCaution ? element("p", worded("Before: {headline}", { headline }), "quiet") : element("h1", headline);
  const parts = isCaution ? [head, ...before] : [head];
  if (isCaution) return [...parts, element("p", manual, "quiet")];
  if (numbers.length) parts.push(numbersOf(numbers));
  if (sentence) parts.push(element("p", sentence));
  parts.push(...before);
  parts.push(...checks.map(([text, standing]) => element("p", text, "check", standing || "plain")));
  parts.push(...hand.map((text) => element("p", text)));
  if (following) parts.push(element("p", worded("Then: {following}", { following }), "quiet"));
  return parts;
}

function numbersOf(numbers) {
  const list = element("dl");
  for (const [label, text, spoken] of numbers) {
    const pair = element("div");
    const value = element("dd", text);
    value.dataset.spoken = spoken;
    pair.append(element("dt", label), value);
    list.append(pair);
  }
  return list;
}

function cautionOf({ signal, sign, brief, rows, drawn }) {
  const box = element("div", "", brief ? "brief" : "full");
  const shown = signal === "NOTICE" ? sign : `\u26a0\ufe0e ${sign}`; // as a letter, not as a coloured one
  box.append(element(brief ? "span" : "h1", shown, "signal", signal));
  for (const [label, text, kind] of rows) {
    const row = element("p", "", "row", kind || "plain");
    if (kind === "hand-row" && drawn) row.append(handOf(drawn));
    if (label) row.append(element("span", `${label}: `, "label"));
    row.append(element("span", text));
    box.append(row);
  }
  return box;
}

/** Beside the words that say the same, so it has no name of its own. */
function handOf(address) {
  const drawn = element("img", "", "hand");
  drawn.src = address;
  drawn.alt = "";
  return drawn;
}

// The board: the whole batch at a look, as the server tells it. It ticks nothing.

import { makeButton } from "./taps.js";
import { element, worded } from "./words.js";

const board = document.getElementById("board");

export function isBoardOpen() {
  return !board.hidden;
}

export function closeBoard() {
  board.hidden = true;
  board.replaceChildren();
}

/** Shows what was told; back() leads to the card. */
export function showBoard({ progress, batch, stages, rows, signs, sections }, back) {
  const words = element("div");
  words.id = "board-words";
  words.tabIndex = 0;
  words.append(element("h1", worded("Board")), ...progress.map((text) => element("p", text)));
  if (batch.length) words.append(stagesOf(batch));
  const tables = element("div");
  words.append(tables, element("p", `Signs: ${signs}`, "quiet"));
  for (const [title, texts] of sections) {
    const list = element("ul");
    list.append(...texts.map((text) => element("li", text)));
    words.append(element("h2", title), list);
  }
  const at = board.firstChild ? board.firstChild.scrollTop : 0;
  const foot = element("div");
  const leave = makeButton(worded("Card"), back, "lead", "local");
  leave.dataset.act = "card";
  const on = makeButton(worded("Read on"), () => {
    const isEnd = words.scrollTop + words.clientHeight >= words.scrollHeight - 12;
    words.scrollTop = isEnd ? 0 : words.scrollTop + words.clientHeight * 0.85;
  }, "local");
  foot.append(leave);
  board.replaceChildren(words, foot);
  board.hidden = false;
  fillIn(tables, stages, rows);
  words.scrollTop = at;
  if (words.scrollHeight > words.clientHeight + 12) foot.append(on);
}

function stagesOf(batch) {
  const list = element("ul", "", "stages");
  list.append(...batch.map(([text, status]) => element("li", text, cssName(status))));
  return list;
}

/** As many stages side by side as there is room for; the others in further tables. */
function fillIn(place, stages, rows) {
  for (let each = stages.length; each > 0; each -= 1) {
    const count = Math.ceil(stages.length / each);
    const even = Math.ceil(stages.length / count);
    place.replaceChildren(
      ...Array.from({ length: count }, (_, n) => tableOf(stages, rows, n * even, (n + 1) * even)),
    );
    if ([...place.children].every((table) => table.offsetWidth <= place.clientWidth)) return;
  }
}

function tableOf(stages, rows, from, to) {
  const table = element("table");
  const isWhole = from === 0 && to >= stages.length;
  if (!isWhole) table.append(element("caption", worded("stages {first}\u2013{last} of {all}", { first: from + 1, last: Math.min(to, stages.length), all: stages.length })));
  const top = element("tr");
  for (const text of [worded("unit"), ...stages.slice(from, to)]) {
    const head = element("th", text);
    head.scope = "col";
    top.append(head);
  }
  table.append(top);
  for (const [head, cells] of rows) {
    const row = element("tr");
    const name = element("th", head);
    name.scope = "row";
    const shown = cells.slice(from, to).map(([text, status]) => element("td", text, cssName(status)));
    row.append(name, ...shown);
    table.append(row);
  }
  return table;
}

function cssName(status) {
  return `is-${status.replaceAll(" ", "-") || "none"}`;
}

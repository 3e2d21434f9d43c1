// The board: the whole batch at a look, as the server tells it. It ticks nothing.

import { makeButton } from "./taps.js";
import { element } from "./words.js";

const board = document.getElementById("board");

export function isBoardOpen() {
  return !board.hidden;
}

export function closeBoard() {
  board.hidden = true;
  board.replaceChildren();
}

/** Shows what was told; back() leads to the card. */
export function showBoard({ progress, batch, grids, signs, sections }, back) {
  const words = element("div");
  words.id = "board-words";
  words.tabIndex = 0;
  words.append(element("h1", "Board"), ...progress.map((text) => element("p", text)));
  if (batch.length) words.append(stagesOf(batch));
  words.append(...grids.map(gridOf), element("p", `Signs: ${signs}`, "quiet"));
  for (const [title, rows] of sections) {
    const list = element("ul");
    list.append(...rows.map((text) => element("li", text)));
    words.append(element("h2", title), list);
  }
  const at = board.firstChild ? board.firstChild.scrollTop : 0;
  const foot = element("div");
  const leave = makeButton("Card", back, "lead", "local");
  leave.dataset.act = "card";
  const on = makeButton("Read on", () => {
    const isEnd = words.scrollTop + words.clientHeight >= words.scrollHeight - 12;
    words.scrollTop = isEnd ? 0 : words.scrollTop + words.clientHeight * 0.85;
  }, "local");
  foot.append(leave);
  board.replaceChildren(words, foot);
  board.hidden = false;
  words.scrollTop = at;
  if (words.scrollHeight > words.clientHeight + 12) foot.append(on);
}

function stagesOf(batch) {
  const list = element("ul", "", "stages");
  list.append(...batch.map(([text, status]) => element("li", text, cssName(status))));
  return list;
}

function gridOf({ span, heads, rows }) {
  const table = element("table");
  if (span) table.append(element("caption", span));
  const top = element("tr");
  for (const text of ["unit", ...heads]) {
    const head = element("th", text);
    head.scope = "col";
    top.append(head);
  }
  table.append(top);
  for (const [head, cells] of rows) {
    const row = element("tr");
    const name = element("th", head);
    name.scope = "row";
    row.append(name, ...cells.map(([text, status]) => element("td", text, cssName(status))));
    table.append(row);
  }
  return table;
}

function cssName(status) {
  return `is-${status.replaceAll(" ", "-") || "none"}`;
}

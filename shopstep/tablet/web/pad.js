// A number by taps alone: whole inches digit by digit, the fraction as one key; or millimetres.

import { makeButton, markShown } from "./taps.js";
import { worded } from "./words.js";

const PLACES = { toe: worded("toe"), heel: worded("heel"), even: worded("even") };

const MOST = { in: 3, mm: 4 };

function fraction(marks) {
  let [over, under] = [marks, 64];
  while (over % 2 === 0 && under > 1) [over, under] = [over / 2, under / 2];
  return `${over}/${under}`;
}

/** Asks for the number of a check; done(text) is given "16 3/8 in toe", or null for none. */
export function askNumber(asked, done) {
  const pad = document.getElementById("pad");
  const value = document.getElementById("pad-value");
  const entry = { typed: "", marks: 0, where: "" };
  const inches = asked.unit === "in";
  const point = asked.point; // as the place writes it

  const text = () => {
    if (!inches) return `${entry.typed.replace(/\.$/, "").replace(".", point) || "0"} mm`;
    const whole = Number(entry.typed || "0");
    if (!entry.marks) return `${whole} in`;
    return whole ? `${whole} ${fraction(entry.marks)} in` : `${fraction(entry.marks)} in`;
  };
  const show = () => {
    value.textContent = entry.where ? `${text()}, ${entry.where}` : text();
    for (const key of pad.querySelectorAll("[data-where]"))
      key.setAttribute("aria-pressed", String(key.dataset.where === entry.where));
  };
  const digit = (key) => {
    const [whole, decimals] = (entry.typed + key).split(".");
    if (whole.length > MOST[asked.unit] || (decimals && decimals.length > 2)) return;
    entry.typed = (entry.typed + key).replace(/^0+(?=\d)/, "");
    show();
  };
  const remove = () => {
    if (entry.marks) entry.marks = 0;
    else entry.typed = entry.typed.slice(0, -1);
    show();
  };
  const nudge = (by) => {
    const all = Math.max(0, Number(entry.typed || "0") * 64 + entry.marks + by);
    [entry.typed, entry.marks] = [String(Math.floor(all / 64)), all % 64];
    show();
  };
  const close = (result) => {
    pad.hidden = true;
    markShown();
    done(result);
  };
  const save = () => {
    if (asked.where && !entry.where && Number.parseFloat(text().replace(",", ".")) !== 0) {
      value.textContent = worded("{reading}: where? toe, heel or even", { reading: text() });
      return;
    }
    close(entry.where ? `${text()} ${entry.where}` : text());
  };
  const group = (columns, keys) => {
    const grid = document.createElement("div");
    grid.className = `keys ${columns}`;
    grid.append(...keys);
    return grid;
  };

  const digits = [..."789456123"].map((key) => makeButton(key, () => digit(key)));
  digits.push(
    inches ? makeButton("0", () => digit("0")) : makeButton(point, () => entry.typed.includes(".") || digit(".")),
    inches ? makeButton("+1/64", () => nudge(1)) : makeButton("0", () => digit("0")),
    makeButton(worded("Delete"), remove),
  );
  const groups = [group("three", digits)];
  if (inches) {
    const parts = Array.from({ length: 15 }, (_, index) => (index + 1) * 4).map((marks) =>
      makeButton(fraction(marks), () => {
        entry.marks = marks;
        show();
      }),
    );
    groups.push(group("four", [...parts, makeButton("−1/64", () => nudge(-1))]));
  }
  const ends = asked.where
    ? Object.keys(PLACES).map((where) => {
        const key = makeButton(PLACES[where], () => {
          entry.where = entry.where === where ? "" : where;
          show();
        });
        key.dataset.where = where;
        return key;
      })
    : [];
  const leave = makeButton(worded("Back"), () => close(null), "local");
  leave.dataset.act = "leave";
  groups.push(group("two", [...ends, leave, makeButton(worded("Save"), save, "lead")]));
  document.getElementById("pad-title").textContent = asked.text;
  document.getElementById("pad-keys").replaceChildren(...groups);
  pad.hidden = false;
  show();
}

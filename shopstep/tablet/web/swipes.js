// Swipes turn pages and never do anything to the work.

const LEAST_PX = 90;
const LONGEST_MS = 900;

/** Calls turn("left" | "right" | "up" | "down"), the way the finger went, for a swipe over a part. */
export function onSwipe(part, turn) {
  let from = null;
  part.addEventListener("pointerdown", (event) => {
    from = event.isPrimary && event.pointerType !== "mouse"
      ? { x: event.clientX, y: event.clientY, at: event.timeStamp } : null;
  });
  part.addEventListener("pointercancel", () => { from = null; });
  part.addEventListener("pointerup", (event) => {
    if (!from) return;
    const [across, down] = [event.clientX - from.x, event.clientY - from.y];
    const isQuick = event.timeStamp - from.at <= LONGEST_MS;
    from = null;
    if (!isQuick || Math.max(Math.abs(across), Math.abs(down)) < LEAST_PX) return;
    if (Math.abs(across) > 2 * Math.abs(down)) turn(across < 0 ? "left" : "right");
    else if (Math.abs(down) > 2 * Math.abs(across)) turn(down < 0 ? "up" : "down");
  });
}

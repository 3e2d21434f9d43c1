// Around the terminal's own script: the address of its socket, no keyboard, taps with smear, swipes
// as wheel turns, and a plain word where it is not connected.
"use strict";

(() => {
  const worded = (text) => text; // the server puts other languages in
  const SMEAR_PX = 40;
  const LEFT = 4000;
  const ENDED = 4001;
  const LET_GO = 4401;
  const FULL = 4429;
  const RETRY_MS = 700;
  const Plain = window.WebSocket;
  let isOver = false;

  function say(text) {
    const over = document.getElementById("over");
    over.textContent = text;
    over.hidden = false;
  }

  async function comeBack() {
    try {
      const answer = await fetch("/alive", { signal: AbortSignal.timeout(2500) });
      if (answer.ok) return location.reload();
      if (answer.status === 401) return parent.postMessage("unpaired", location.origin);
    } catch {
      // nobody answers yet
    }
    setTimeout(comeBack, RETRY_MS);
  }

  function onClose(event) {
    if (isOver) return;
    isOver = true;
    if (event.code === LEFT) return parent.postMessage("left", location.origin);
    if (event.code === LET_GO) return parent.postMessage("unpaired", location.origin);
    const reasons = { [ENDED]: event.reason, [FULL]: worded("As many screens are open as may be.") };
    say(reasons[event.code] || worded("Not connected. What was drawn here is gone."));
    setTimeout(comeBack, reasons[event.code] ? 3000 : RETRY_MS);
  }

  class Watched extends Plain {
    constructor(address) {
      super(address);
      this.addEventListener("close", onClose);
      this.addEventListener("message", (event) => {
        if (typeof event.data === "string") event.stopImmediatePropagation();
      });
    }
  }
  window.WebSocket = Watched;
  window.open = () => null;

  function mouse(kind, target, at) {
    target.dispatchEvent(new MouseEvent(kind, {
      bubbles: true, cancelable: true, view: window, button: 0, buttons: kind === "mousedown" ? 1 : 0,
      clientX: at.clientX, clientY: at.clientY, detail: 1,
    }));
  }

  let from = null;
  document.addEventListener("touchstart", (event) => {
    from = event.touches.length === 1 ? event.touches[0] : null;
    event.preventDefault();
    event.stopPropagation();
  }, { capture: true, passive: false });
  document.addEventListener("touchmove", (event) => {
    event.preventDefault();
    event.stopPropagation();
  }, { capture: true, passive: false });
  document.addEventListener("touchend", (event) => {
    event.preventDefault();
    event.stopPropagation();
    if (!from) return;
    const to = event.changedTouches[0];
    const target = document.elementFromPoint(from.clientX, from.clientY) || document.body;
    const [across, down] = [to.clientX - from.clientX, to.clientY - from.clientY];
    if (Math.hypot(across, down) <= SMEAR_PX) {
      for (const kind of ["mousedown", "mouseup", "click"]) mouse(kind, target, from);
    } else if (Math.abs(down) > Math.abs(across)) {
      target.dispatchEvent(new WheelEvent("wheel", {
        bubbles: true, cancelable: true, deltaY: -down, clientX: from.clientX, clientY: from.clientY,
      }));
    }
    from = null;
  }, { capture: true, passive: false });

  document.addEventListener("DOMContentLoaded", async () => {
    const terminal = document.getElementById("terminal");
    const letters = Number(location.hash.slice(1)) || 36;
    terminal.dataset.fontSize = String(Math.min(96, Math.max(16, letters)));
    terminal.dataset.sessionWebsocketUrl = `${location.origin.replace(/^http/, "ws")}/ws`;
    new MutationObserver(() => {
      for (const area of document.querySelectorAll("textarea")) area.inputMode = "none";
    }).observe(document.body, { childList: true, subtree: true });
    setTimeout(() => {
      if (!document.body.classList.contains("-first-byte") && !isOver) say(worded("The screen is being drawn."));
    }, 1500);
    new MutationObserver(() => {
      if (!isOver && document.body.classList.contains("-first-byte"))
        document.getElementById("over").hidden = true;
    }).observe(document.body, { attributes: true, attributeFilter: ["class"] });
  });
})();

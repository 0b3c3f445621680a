// The hand on the board: what it is about to touch is made ready, what it holds follows, the sheet moves.

import { clamp } from "./numbers.js";

/** A function aims(el, axes) that asks for the pictures near the values that `el` moves. */
export function aiming(desk) {
  let hover = 0;
  return (el, axes) => {
    el.addEventListener("pointerenter", () => {
      if (!desk.pressed) hover = setTimeout(() => desk.aim(axes()), 50);
    });
    el.addEventListener("pointerleave", () => {
      clearTimeout(hover);
      if (!desk.pressed && !el.contains(document.activeElement)) desk.aim(null);
    });
    el.addEventListener("focusin", () => {
      if (!desk.pressed) desk.aim(axes());
    });
    el.addEventListener("focusout", () => {
      if (!desk.pressed) desk.aim(null);
    });
  };
}

/**
 * Take the focus before the notebook hears of the press: it would take it for itself and give it to the cell
 * before the control gets it, and each of these ways has the whole notebook styled again (25 ms).
 */
export function focusFirst(el, e) {
  if (e.pointerType !== "touch") el.focus({ preventScroll: true });
}

/**
 * Call move(e) as a pointer that was pressed on `el` goes. The moves of a finger come late: the browser keeps
 * them for the next frame. Where it tells of them before, the first in each frame is taken at once.
 */
export function moving(el, move) {
  let taken = 0; // a frame that has had its early move
  const early = (e) => {
    if (taken) return;
    taken = requestAnimationFrame(() => {
      taken = 0;
    });
    move(e);
  };
  el.addEventListener("pointermove", move);
  el.addEventListener("pointerdown", (e) => {
    if (e.pointerType === "touch") el.addEventListener("pointerrawupdate", early);
  });
  for (const end of ["pointerup", "pointercancel"]) {
    el.addEventListener(end, () => el.removeEventListener("pointerrawupdate", early));
  }
}

const THUMB = 16; // px: a slider's thumb in the browsers that tell of moves early
const ALONG = 5; // px a finger goes along a slider before it moves it

/** A slider follows a finger from its first pixels on: the browser alone waits until it has gone 15. */
function fingering(range) {
  if (!("onpointerrawupdate" in globalThis)) return;
  let from = null;
  range.addEventListener("pointerdown", (e) => {
    from = e.pointerType === "touch" ? { x: e.clientX, y: e.clientY, box: null } : null;
  });
  moving(range, (e) => {
    if (!from || e.pointerType !== "touch") return;
    const across = Math.abs(e.clientX - from.x);
    if (!from.box && (across < ALONG || across < 2 * Math.abs(e.clientY - from.y))) return; // it may scroll
    from.box ??= range.getBoundingClientRect();
    const [low, high] = [Number(range.min), Number(range.max)];
    const share = clamp((e.clientX - from.box.x - THUMB / 2) / (from.box.width - THUMB), 0, 1);
    const before = range.value;
    range.value = low + share * (high - low); // the browser puts it on a step
    if (range.value !== before) range.dispatchEvent(new Event("input", { bubbles: true }));
  });
  for (const end of ["pointerup", "pointercancel"]) {
    range.addEventListener(end, () => {
      from = null;
    });
  }
}

/** A slider is held while the pointer is down on it. */
export function holding(desk, range, axes) {
  fingering(range);
  range.addEventListener("pointerdown", (e) => {
    focusFirst(range, e);
    desk.aim(axes());
    desk.press();
  });
  range.addEventListener("pointercancel", () => desk.cancel()); // a swipe that scrolls the page moves nothing
  for (const end of ["pointerup", "pointercancel", "change", "blur"]) {
    range.addEventListener(end, () => desk.release());
  }
}

/** Larger targets from the first touch on, or where fingers are all there is. */
export function touching(root) {
  const large = () => {
    root.dataset.touch = "yes";
  };
  if (globalThis.matchMedia?.("(pointer: coarse)").matches) large();
  root.addEventListener("pointerdown", (e) => {
    if (e.pointerType === "touch") large();
  });
}

/** Keys of the whole board: Escape gives a drag up, Control or Command with Z and Y go back and forward. */
export function keys(root, desk) {
  root.addEventListener("keydown", (e) => {
    const key = e.key.toLowerCase();
    if (key === "escape" && desk.cancel()) {
      // the drag is given up
    } else if ((e.ctrlKey || e.metaKey) && !e.altKey && (key === "z" || key === "y")) {
      if (e.target.dataset.typing) return; // the field has its own
      if (key === "y" || e.shiftKey) desk.redo();
      else desk.undo();
    } else return;
    e.preventDefault();
    e.stopPropagation();
  });
}

const PAN = { ArrowLeft: [40, 0], ArrowRight: [-40, 0], ArrowUp: [0, 40], ArrowDown: [0, -40] };

const TAP = 8; // px a finger may move and still tap
const edgeAt = (e) => e.target.getAttribute?.("data-edge");

/** Pointer, fingers, wheel and keys on the sheet. chosenEdge: the id of the edge in the list, or null. */
export function listen(sheet, desk, chosenEdge) {
  const { el } = sheet;
  const held = new Map();
  const at = (e) => {
    const r = el.getBoundingClientRect();
    return [e.clientX - r.left, e.clientY - r.top];
  };
  let tap = null; // a finger that has not moved
  el.addEventListener("pointerdown", (e) => {
    if (e.target.closest(".db-point, .db-card") || e.button > 0) return;
    held.set(e.pointerId, at(e));
    tap = held.size === 1 ? { at: at(e), edge: edgeAt(e), finger: e.pointerType === "touch" } : null;
    if (e.pointerType !== "touch") el.setPointerCapture(e.pointerId);
  });
  el.addEventListener("pointermove", (e) => {
    const here = at(e);
    const before = held.get(e.pointerId);
    if (!before) {
      if (!desk.pressed) sheet.light(edgeAt(e), here);
      return;
    }
    if (tap && Math.hypot(here[0] - tap.at[0], here[1] - tap.at[1]) > (tap.finger ? TAP : 3)) tap = null;
    if (held.size === 2) {
      const other = [...held].find(([id]) => id !== e.pointerId)[1];
      const far = (p) => Math.hypot(p[0] - other[0], p[1] - other[1]);
      const by = far(here) / Math.max(far(before), 1);
      sheet.zoom(by, (here[0] + other[0]) / 2, (here[1] + other[1]) / 2);
      sheet.pan((here[0] - before[0]) / 2, (here[1] - before[1]) / 2);
    } else if (e.pointerType !== "touch" || (!sheet.lens.fit && !tap)) {
      sheet.pan(here[0] - before[0], here[1] - before[1]); // one finger scrolls the page till the sheet is zoomed
    } else if (tap) return;
    held.set(e.pointerId, here);
  });
  for (const end of ["pointerup", "pointercancel"]) {
    el.addEventListener(end, (e) => {
      held.delete(e.pointerId);
      if (tap && end === "pointerup") {
        if (tap.finger) sheet.light(tap.edge, tap.at);
        else if (tap.edge) desk.pin(tap.edge);
      }
      tap = null;
    });
  }
  const twoFingers = (e) => {
    if (e.touches.length > 1) e.preventDefault();
  };
  el.addEventListener("touchmove", twoFingers, { passive: false });
  el.addEventListener("pointerleave", (e) => {
    if (e.pointerType !== "touch") sheet.light(chosenEdge());
  });
  const wheel = (e) => {
    if (!e.ctrlKey && !el.contains(document.activeElement)) return; // an untouched sheet lets the page scroll
    e.preventDefault();
    sheet.zoom(Math.exp(-e.deltaY * (e.ctrlKey ? 0.01 : 0.0015)), ...at(e));
  };
  el.addEventListener("wheel", wheel, { passive: false });
  el.addEventListener("keydown", (e) => {
    if (e.target !== el) return;
    if (PAN[e.key]) sheet.pan(...PAN[e.key]);
    else if (e.key === "+" || e.key === "=") sheet.zoom(1.25);
    else if (e.key === "-") sheet.zoom(0.8);
    else if (e.key === "0") sheet.whole();
    else return;
    e.preventDefault();
    e.stopPropagation();
  });
}

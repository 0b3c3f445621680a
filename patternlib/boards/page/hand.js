// The hand on the board: what it is about to touch is made ready, what it holds follows, the sheet moves.

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

/** A slider is held while the pointer is down on it. */
export function holding(desk, range, axes) {
  range.addEventListener("pointerdown", () => {
    desk.aim(axes());
    desk.press();
  });
  for (const end of ["pointerup", "pointercancel", "change", "blur"]) {
    range.addEventListener(end, () => desk.release());
  }
}

const PAN = { ArrowLeft: [40, 0], ArrowRight: [-40, 0], ArrowUp: [0, 40], ArrowDown: [0, -40] };

/** Pointer, fingers, wheel and keys on the sheet. chosenEdge: the id of the edge in the list, or null. */
export function listen(sheet, desk, chosenEdge) {
  const { el } = sheet;
  const held = new Map();
  const at = (e) => {
    const r = el.getBoundingClientRect();
    return [e.clientX - r.left, e.clientY - r.top];
  };
  el.addEventListener("pointerdown", (e) => {
    if (e.target.closest(".db-point") || e.button > 0) return;
    held.set(e.pointerId, at(e));
    if (e.pointerType !== "touch") el.setPointerCapture(e.pointerId);
  });
  el.addEventListener("pointermove", (e) => {
    const here = at(e);
    const before = held.get(e.pointerId);
    if (!before) {
      if (!desk.pressed) sheet.light(e.target.getAttribute?.("data-edge"), here);
      return;
    }
    if (held.size === 2) {
      const other = [...held].find(([id]) => id !== e.pointerId)[1];
      const far = (p) => Math.hypot(p[0] - other[0], p[1] - other[1]);
      const by = far(here) / Math.max(far(before), 1);
      sheet.zoom(by, (here[0] + other[0]) / 2, (here[1] + other[1]) / 2);
      sheet.pan((here[0] - before[0]) / 2, (here[1] - before[1]) / 2);
    } else if (e.pointerType !== "touch") sheet.pan(here[0] - before[0], here[1] - before[1]);
    held.set(e.pointerId, here);
  });
  for (const end of ["pointerup", "pointercancel"]) {
    el.addEventListener(end, (e) => held.delete(e.pointerId));
  }
  const twoFingers = (e) => {
    if (e.touches.length > 1) e.preventDefault();
  };
  el.addEventListener("touchmove", twoFingers, { passive: false });
  el.addEventListener("pointerleave", () => sheet.light(chosenEdge()));
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

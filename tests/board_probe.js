// Notes in the page when the hand asked for a value (the event's own time stamp) and when a picture of that
// value was painted; `exact`: when the picture was that of Python and not one blended in the page. A frame has
// been painted when a message sent in it arrives, or when the next frame begins: while a hand moves, the browser
// lets frames and the hand go first, and messages have come up to 150 ms after their frame was handed on.
() => {
  const probe = { inputs: [], shown: [], exact: [], index: 0 };
  window.probe = probe;
  const board = document.querySelector(".draft-board");
  const ranges = board ? [...board.querySelectorAll(".db-row input[type=range]")] : null;
  const handles = board ? null : [...document.querySelectorAll(".noUi-handle")];
  const asked = () =>
    board ? Number(ranges[probe.index].value) : Number(handles[probe.index].getAttribute("aria-valuetext"));
  let png = "";
  let values = null;
  const drawn = () => {
    if (board) {
      const at = board.dataset.shown;
      return at ? Number(at.split("|")[0].split(",")[probe.index]) : null;
    }
    const img = document.querySelector(".jupyter-widgets img");
    if (!img) return null;
    if (img.src !== png) {
      png = img.src;
      const found = atob(img.src.split(",")[1].slice(0, 1200)).match(/values=([0-9.,-]+);/);
      values = found ? found[1].split(",").map(Number) : null;
    }
    return img.complete && img.naturalWidth && values ? values[probe.index] : null;
  };
  const unpainted = [];
  const enter = (list, value) => {
    if (list.length && list.at(-1)[0] === value) return;
    const entry = [value, 0, 0]; // painted, and when the message came
    list.push(entry);
    const channel = new MessageChannel(); // after this frame has been painted
    channel.port1.onmessage = () => {
      entry[2] = performance.now();
      entry[1] ||= entry[2];
    };
    unpainted.push(entry);
    channel.port2.postMessage(0);
  };
  const frame = () => {
    const begun = performance.now();
    for (const entry of unpainted.splice(0)) entry[1] ||= begun;
    const value = drawn();
    if (value !== null && !Number.isNaN(value)) {
      enter(probe.shown, value);
      if (board?.dataset.exact !== "no") enter(probe.exact, value);
    }
    requestAnimationFrame(frame);
  };
  requestAnimationFrame(frame);
  let stamp = 0;
  let last = asked();
  const note = () => {
    const value = asked();
    if (value === last) return;
    last = value;
    probe.inputs.push([value, stamp, performance.now()]); // asked, and when the page heard of it
  };
  for (const kind of [
    "pointerdown",
    "pointermove",
    "pointerrawupdate",
    "keydown",
    "touchstart",
    "touchmove",
  ]) {
    const hear = (e) => {
      stamp = e.timeStamp;
    };
    window.addEventListener(kind, hear, { capture: true, passive: true });
    window.addEventListener(kind, note, { passive: true });
  }
  window.addEventListener("input", note);
  if (handles) {
    for (const handle of handles) {
      new MutationObserver(note).observe(handle, { attributes: true, attributeFilter: ["aria-valuetext"] });
    }
  }
  probe.begin = (index) => {
    probe.index = index;
    last = asked();
    for (const list of [probe.inputs, probe.shown, probe.exact]) list.length = 0;
  };
  probe.caughtUp = () => {
    const wanted = probe.inputs.at(-1);
    const got = probe.exact.at(-1);
    return Boolean(wanted && got && Math.abs(wanted[0] - got[0]) < 1e-3 && got[1]);
  };
};

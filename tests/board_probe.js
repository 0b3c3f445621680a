// Notes in the page when the hand asked for a value and when the picture of that value was painted.
() => {
  const probe = { inputs: [], shown: [], blanks: 0, index: 0 };
  window.probe = probe;
  const usual = !document.querySelector(".draft-board");
  const read = () => {
    if (!usual) {
      const at = document.querySelector(".draft-board").dataset.shown;
      return at ? Number(at.split(",")[probe.index]) : null;
    }
    const img = document.querySelector(
      ".widget-output img, .jp-OutputArea-output .widget-interact img, .jupyter-widgets img",
    );
    if (!img) return null;
    if (img.src !== probe.src) {
      probe.src = img.src;
      const found = atob(img.src.split(",")[1].slice(0, 1200)).match(/value=([0-9.]+);/);
      probe.value = found ? Number(found[1]) : null;
    }
    return img.complete && img.naturalWidth ? probe.value : null;
  };
  const frame = () => {
    const value = read();
    const last = probe.shown[probe.shown.length - 1];
    if (value === null || Number.isNaN(value)) probe.blanks += 1;
    else if (!last || last[0] !== value) {
      const entry = [value, 0];
      probe.shown.push(entry);
      const channel = new MessageChannel(); // after this frame has been painted
      channel.port1.onmessage = () => {
        entry[1] = performance.now();
      };
      channel.port2.postMessage(0);
    }
    requestAnimationFrame(frame);
  };
  requestAnimationFrame(frame);
  const note = (value, stamp) => {
    const last = probe.inputs[probe.inputs.length - 1];
    if (!last || last[0] !== value) probe.inputs.push([value, stamp]);
  };
  if (!usual) {
    document.addEventListener(
      "input",
      (e) => {
        if (e.target.type === "range") note(Number(e.target.value), performance.now());
      },
      true,
    );
    // a dragged point: the value it asks for stands in the slider that belongs to it once the event is handled
    document.addEventListener("pointermove", (e) => {
      const stamp = performance.now();
      if (e.target.classList.contains("db-point") && e.buttons)
        note(Number(document.querySelectorAll(".db-row input[type=range]")[probe.index].value), stamp);
    });
  } else {
    const handle = document.querySelector(".noUi-handle");
    const value = () => Number(handle.getAttribute("aria-valuetext"));
    new MutationObserver(() => note(value(), performance.now())).observe(handle, {
      attributes: true,
      attributeFilter: ["aria-valuetext"],
    });
  }
};

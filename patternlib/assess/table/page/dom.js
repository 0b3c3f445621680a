// Small helpers for elements of the page.

const SVG = "http://www.w3.org/2000/svg";

export const clamp = (v, low, high) => Math.min(Math.max(v, low), high);

export function make(tag, props = {}, ...inside) {
  const node = document.createElement(tag);
  for (const [k, v] of Object.entries(props)) {
    if (v === undefined || v === null) continue;
    if (k in node && k !== "list") node[k] = v; else node.setAttribute(k, v);
  }
  node.append(...inside);
  return node;
}

export function draw(tag, attrs = {}, ...inside) {
  const node = document.createElementNS(SVG, tag);
  for (const [k, v] of Object.entries(attrs)) node.setAttribute(k, v);
  node.append(...inside);
  return node;
}

// The notebook takes single keys for its own commands unless the very control in use keeps them.
export function keepKeys(node) {
  node.setAttribute("data-lm-suppress-shortcuts", "true");
  return node;
}

export function button(words, act, props = {}) {
  return keepKeys(make("button", { type: "button", onclick: act, ...props }, words));
}

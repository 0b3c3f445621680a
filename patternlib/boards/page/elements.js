// Elements of the page: made in one call, and keeping their keys from the notebook around them.

const SVG = "http://www.w3.org/2000/svg";

/** An HTML element; props are set as properties where it has them, else as attributes. */
export function make(tag, props = {}, ...inside) {
  const node = document.createElement(tag);
  for (const [k, v] of Object.entries(props)) {
    if (k in node && k !== "list") node[k] = v;
    else node.setAttribute(k, v);
  }
  node.append(...inside);
  return node;
}

/** An SVG element with its attributes. */
export function draw(tag, attrs = {}) {
  const node = document.createElementNS(SVG, tag);
  for (const [k, v] of Object.entries(attrs)) node.setAttribute(k, v);
  return node;
}

/** A control like `make`, whose keys the notebook leaves alone. */
export function control(tag, props = {}, ...inside) {
  const node = make(tag, props, ...inside);
  node.setAttribute("data-lm-suppress-shortcuts", "true");
  return node;
}

// Small helpers for elements of the table's page.

import { control, draw as element } from "../../../boards/page/elements.js";

export const clamp = (v, low, high) => Math.min(Math.max(v, low), high);

/** A button that keeps its keys from the notebook. */
export function button(words, act, props = {}) {
  return control("button", { type: "button", onclick: act, ...props }, words);
}

/** An SVG element with its attributes and what is inside it. */
export function draw(tag, attrs = {}, ...inside) {
  const node = element(tag, attrs);
  node.append(...inside);
  return node;
}

/** Give a key that the table does not take to the notebook round it, such as the one that saves. */
export function handOn(e, outside) {
  const { key, code, keyCode, ctrlKey, metaKey, shiftKey } = e;
  e.preventDefault();
  e.stopPropagation();
  const same = { key, code, keyCode, ctrlKey, metaKey, shiftKey, bubbles: true, cancelable: true };
  outside?.dispatchEvent(new KeyboardEvent("keydown", same));
}

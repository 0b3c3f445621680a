// The page half of a drafting board. Python draws; this shows, keeps pictures ready, listens to the hand.

import { Desk } from "./desk.js";
import { View } from "./view.js";

const desks = new WeakMap();

export default {
  render({ model, el }) {
    if (!desks.has(model)) desks.set(model, new Desk(model));
    const view = new View(desks.get(model), el);
    return () => view.remove();
  },
};

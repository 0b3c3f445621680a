// The page half of a drafting board. Python draws; this shows, keeps pictures ready, listens to the hand.

import { Desk } from "./desk.js";
import { View } from "./view.js";

const desks = new Map(); // id of a board -> its desk, shared by all places where the board is shown

export default {
  initialize({ model }) {
    const { id } = model.get("setup");
    const desk = new Desk(model);
    desks.set(id, desk);
    return () => {
      desk.close();
      desks.delete(id);
    };
  },
  render({ model, el }) {
    const view = new View(desks.get(model.get("setup").id), el);
    return () => view.remove();
  },
};

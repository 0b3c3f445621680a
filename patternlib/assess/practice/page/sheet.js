// What the paper of the table asks of a desk, answered from the draft that is shown.

import { unpacked } from "../../table/page/geometry.js";

const mapped = (things) => new Map(Object.entries(things).map(([name, v]) => [name, unpacked(v)]));

export class Sheet {
  constructor(model) {
    this.model = model;
    Object.assign(this, { compared: null, setup: {}, pieces: new Map(), verbs: new Map() });
    this.take(model.get("state"));
  }
  get unit() {
    return this.model.get("unit");
  }
  take(state) {
    this.state = state;
    this.given = mapped(state.given);
    this.values = mapped(state.drawn);
    this.wanted = mapped(state.wanted);
    this.steps = state.steps.map(([name]) => ({ name, verb: "", of: [] }));
    this.key = `${state.lesson} ${state.round} ${state.title} ${state.student}`;
    this.all = new Map([...this.given, ...this.values]);
  }
  /** All that is on the paper, by name. */
  on() {
    return this.all;
  }
}

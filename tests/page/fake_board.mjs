// The Python side of a board, without Python: answers when it is told to.

import { Desk } from "../../patternlib/boards/page/desk.js";

const SLIDERS = [
  ["length", "Length", 40, 90, 0.5, 60, "cm", "", [], "", []],
  ["flare", "Flare", 0, 30, 1, 10, "degrees", "", [], "", []],
  ["end", "End", 0, 1, 1, 0, "", "", ["start", "end"], "", ["start", "end"]],
];
const line = (length) => [0, "cut", "cut lines", "", "", `m0 0l${length} 0`];
const packed = (row, step) => ({
  items: { 0: line(row[0]) },
  facts: {},
  findings: [],
  box: [0, 0, 1000, 1000],
  title: "",
  step: [step, "", []],
  count: 3,
});

/** A model as the widget manager gives it, a desk on it, and what the page has asked. */
export function board({ picture, trail } = {}) {
  const asked = [];
  const heard = {};
  const watching = []; // who wants to know the state of the kernel
  const state = {
    setup: {
      title: "Skirt",
      sliders: SLIDERS,
      layers: {},
      lines: {},
      outlines: ["cut"],
      bold: [],
      textSizes: [9, 13],
      trail,
    },
    values: { length: 60, flare: 10, end: 0 },
    step: 0,
    unit: "cm",
    hidden: [],
    picture: picture ?? { n: 1, by: "", error: "", all: packed([60, 10, 0], 0) },
  };
  const model = {
    get: (name) => state[name],
    set: (name, value) => {
      state[name] = value;
    },
    save_changes: () => {},
    on: (what, act) => {
      heard[what] = [...(heard[what] ?? []), act];
    },
    widget_manager: {
      kernel: { statusChanged: { connect: (act) => watching.push(act), disconnect: () => {} } },
    },
    send: (what) => {
      if (model.dead) throw new Error("the comm is closed");
      asked.push(what);
    },
  };
  const tell = (what, ...said) => {
    for (const act of heard[what] ?? []) act(...said);
  };
  const set = (changes) => {
    Object.assign(state, changes);
    for (const name of Object.keys(changes)) tell(`change:${name}`);
  };
  const desk = new Desk(model);
  /** Answer a question of the page as Python does. */
  const answer = (question, { error } = {}) => {
    const got = (row) => (error ? { error } : { items: { 0: `m0 0l${row[0]} 0` } });
    if (question.kind === "here") tell("msg:custom", { who: question.who, here: true });
    else if (question.kind === "draw") {
      tell("msg:custom", { who: question.who, n: question.n, on: state.picture.n, got: [got(question.v)] });
    } else if (question.kind === "ahead") {
      const pictures = question.v.map(([row]) => got(row));
      tell("msg:custom", { who: question.who, ahead: question.n, on: state.picture.n, got: pictures });
    } else if (question.kind === "rest") {
      const all = packed(question.v, question.s);
      state.values = { length: question.v[0], flare: question.v[1], end: question.v[2] };
      const by = `${question.who}:${question.n}`;
      set({ picture: { n: state.picture.n + 1, by, error: "", all } });
    }
  };
  const last = (kind) => asked.filter((q) => q.kind === kind).at(-1);
  const status = (now) => {
    for (const act of watching) act(model, now);
  };
  return { desk, model, state, asked, answer, last, set, tell, status };
}

/** How long the line of the picture that is shown is. */
export const drawn = (desk) => Number(desk.current.items.get("0")[5].match(/l(\d+\.?\d*)/)[1]);

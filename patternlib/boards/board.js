// The page half of a drafting board. Python draws; this file shows, keeps pictures ready, and listens to the hand.
//
// Desk: one a board. Holds the values, asks Python for pictures, keeps a bounded store of them.
// Sheet: the drawing (lines, labels, movable points, zoom and pan).  View: the controls around it.
// Lengths from Python are whole 0.001 cm, y down. Messages are described in board.py.

const FINE = 1000, INCH = 2.54;
const STROKE = 0, TEXT = 1, HANDLE = 2;
const KEEP = 320;          // pictures kept at most
const AHEAD = 24;          // pictures wished for in one message; Python sends as many as its time allows
const EDGE = 22, HEAD = 46; // px kept free round the drawing; above it a refusal finds room
const SVG = "http://www.w3.org/2000/svg";

const clamp = (v, low, high) => Math.min(Math.max(v, low), high);
const tidy = (v) => Math.round(v * 1e4) / 1e4;
const make = (tag, props = {}, ...inside) => {
  const node = document.createElement(tag);
  for (const [k, v] of Object.entries(props)) {
    if (k in node && k !== "list") node[k] = v; else node.setAttribute(k, v);
  }
  node.append(...inside);
  return node;
};
const draw = (tag, attrs = {}) => {
  const node = document.createElementNS(SVG, tag);
  for (const [k, v] of Object.entries(attrs)) node.setAttribute(k, v);
  return node;
};

// --- lengths in words -------------------------------------------------------------------------------------

function inEighths(cm) {
  const eighths = Math.round(cm / INCH * 8), sign = eighths < 0 ? "−" : "";
  const whole = Math.floor(Math.abs(eighths) / 8);
  let top = Math.abs(eighths) % 8, low = 8;
  while (top && top % 2 === 0) { top /= 2; low /= 2; }
  const about = Math.abs(eighths * INCH / 8 - cm) > 0.005 ? "≈ " : "";
  return about + sign + (top ? (whole ? `${whole} ` : "") + `${top}/${low}` : `${whole}`);
}
const inCm = (cm) => String(Math.round(cm * 100) / 100).replace("-", "−");
const sayLength = (cm, unit) => (unit === "in" ? `${inEighths(cm)} in` : `${inCm(cm)} cm`);

function readLength(text, unit) {
  // "7.5", "7,5", "7 3/8", "3/8 in", "75 mm" -> cm; NaN when it is no length
  const m = /^([-−]?)\s*(\d+(?:[.,]\d*)?|[.,]\d+)?(?:(?:\s+|^)(\d+)\s*\/\s*(\d+))?\s*(cm|mm|in|")?$/i
    .exec(text.replace("≈", "").trim());
  const parts = m || /^([-−]?)()(\d+)\s*\/\s*(\d+)\s*(cm|mm|in|")?$/i.exec(text.trim());
  if (!parts || (!parts[2] && !parts[3]) || parts[4] === "0") return NaN;
  const size = Number((parts[2] || "0").replace(",", ".")) + (parts[3] ? parts[3] / parts[4] : 0);
  const written = (parts[5] || unit).toLowerCase();
  return (parts[1] ? -1 : 1) * size * ({ cm: 1, mm: 0.1, in: INCH, '"': INCH }[written]);
}

// --- Desk: values, questions to Python, pictures kept ------------------------------------------------------

class Desk {
  constructor(model) {
    this.model = model;
    this.who = Math.random().toString(36).slice(2, 8);
    this.setup = model.get("setup");
    this.sliders = this.setup.sliders.map(([name, label, low, high, step, start, unit, why, choices]) =>
      ({ name, label, low, high, step, start, unit, why, choices }));
    this.at = Object.fromEntries(this.sliders.map((s, i) => [s.name, i]));
    this.row = this.sliders.map((s) => model.get("values")[s.name] ?? s.start);
    this.step = model.get("step");
    this.unit = model.get("unit");
    this.hidden = new Set(model.get("hidden"));
    this.seq = 0;            // number of the newest wish
    this.shownSeq = 0;       // number of the wish whose picture is shown
    this.flying = 0;         // questions without an answer yet
    this.waiting = false;    // the newest wish has not been asked yet
    this.kept = new Map();   // key -> picture
    this.asked = new Map();  // number of a question -> key of its picture
    this.rested = new Map(); // number of a rest -> key of its picture
    this.aheadNo = 0;
    this.early = [];         // answers that came before their whole picture
    this.target = null;      // what is computed ahead
    this.aheadSince = -1e9;
    this.pressed = false;
    this.views = new Set();
    this.current = null;
    this.base = null;
    this.error = "";
    this.note = "";
    this.takeWhole();
    model.on("msg:custom", (said) => this.hear(said));
    model.on("change:picture", () => this.takeWhole());
    this.say({ kind: "here" });
  }

  key(row = this.row, step = this.step) { return row.map(tidy).join(",") + "|" + step; }
  tell(what) { for (const view of this.views) view[what](); }

  // -- the hand ---------------------------------------------------------------------------------------------
  move(changes, step = this.step) {
    // changes: {index: value in the slider's unit}; shows at once what is kept, asks for the rest
    let moved = step !== this.step;
    for (const [i, v] of Object.entries(changes)) {
      const s = this.sliders[i], value = tidy(clamp(v, s.low, s.high));
      if (value !== this.row[i]) { s.heading = Math.sign(value - this.row[i]); this.row[i] = value; moved = true; }
    }
    this.step = step;
    if (!moved) return;
    this.seq += 1;
    const ready = this.kept.get(this.key());
    if (ready) { this.waiting = false; this.show(ready, this.seq); } else { this.waiting = true; }
    this.tell("place");
    this.pump();
    if (!this.pressed) this.restSoon();
  }
  press() { this.pressed = true; clearTimeout(this.restTimer); }
  release() { if (this.pressed) { this.pressed = false; this.restSoon(40); } }
  restSoon(ms = 350) {
    clearTimeout(this.restTimer);
    this.restTimer = setTimeout(() => this.rest(), ms);
  }
  rest() {
    if (this.pressed) return;
    if (this.restedAt === this.key()) { this.tell("settle"); return; }
    this.restedAt = this.key();
    this.rested.set(this.seq, this.key());
    this.say({ kind: "rest", n: this.seq, v: this.row, s: this.step });
    this.tell("settle");
  }
  aim(axes) {
    // axes: [{i, step}] of the slider or point under the hand ({i: -1} is the step slider); null: nothing
    this.target = axes;
    if (axes) this.pump();
  }

  say(what) {
    // false when the kernel that drew this board has ended
    try { this.model.send({ who: this.who, ...what }); return true; } catch {
      this.flying = 0;
      this.target = null;
      this.missed = true;
      this.note = "The kernel that drew this board has ended. Run this cell again to draw on.";
      this.tell("say");
      return false;
    }
  }

  // -- questions --------------------------------------------------------------------------------------------
  pump() {
    if (this.waiting && this.flying < 2) {
      this.waiting = false;
      if (!this.say({ kind: "draw", n: this.seq, v: this.row, s: this.step })) return;
      this.flying += 1;
      this.asked.set(this.seq, this.key());
      clearTimeout(this.slow);
      this.slow = setTimeout(() => this.tooLong(), 2500);
    } else if (this.target && !this.flying && this.base
               && performance.now() - this.aheadSince > 5000) {
      const rows = this.wishes();
      if (!rows.length) return;
      this.aheadSince = performance.now();
      this.aheadRows = rows;
      this.say({ kind: "ahead", n: ++this.aheadNo, v: rows });
    }
  }
  wishes() {
    // values around the hand whose pictures are not kept yet, nearest first; empties the store when others changed
    const free = new Set(this.target.map((a) => a.i));
    const others = this.row.map((v, i) => (free.has(i) ? "*" : v)).join() + (free.has(-1) ? "" : "|" + this.step);
    if (others !== this.keptFor) { this.kept.clear(); this.keptFor = others; }
    if (this.current && this.shownSeq === this.seq) this.kept.set(this.key(), this.current);
    const axes = this.target.map((a) => ({ i: a.i, values: this.near(a, this.target.length > 1 ? 9 : 120) }));
    let rows = [[[...this.row], this.step, 0]];
    for (const { i, values } of axes) {
      rows = rows.flatMap(([row, step, far]) => values.map(([v, d]) => {
        if (i < 0) return [row, v, far + d * d];
        const next = [...row];
        next[i] = v;
        return [next, step, far + d * d];
      }));
    }
    rows.sort((a, b) => a[2] - b[2]);
    return rows.slice(0, KEEP - 40).filter(([row, step]) => !this.kept.has(this.key(row, step))).slice(0, AHEAD)
      .map(([row, step]) => [row, step]);
  }
  near({ i, step, from }, count) {
    // [value, distance in steps] of the places the hand can reach on one slider, its present place among them
    if (i < 0) {
      const last = this.base.count || 0, here = this.step || last + 1;
      return Array.from({ length: last + 1 }, (_, k) => [k === last ? 0 : k + 1, Math.abs(k + 1 - here)]);
    }
    const s = this.sliders[i], here = this.row[i], out = [[here, 0]];
    // what lies the way the hand is going comes first
    const far = (v) => Math.abs(v - here) / step * ((v - here) * (s.heading || 0) < 0 ? 2 : 1);
    const first = from ?? s.low, middle = Math.round((here - first) / step);
    for (let k = -count; k <= count; k++) {
      const v = tidy(first + (middle + k) * step);
      if (v >= s.low - 1e-9 && v <= s.high + 1e-9 && v !== here) out.push([v, far(v)]);
    }
    for (const end of [s.low, s.high]) if (end !== here && Math.abs(end - here) < count * step) out.push([end, far(end)]);
    return out;
  }
  tooLong() {
    if (!this.flying) return;
    this.flying = 0;
    this.aheadSince = -1e9;
    this.missed = true;
    this.note = "No answer yet. The kernel is busy, or it was restarted; after a restart run this cell again.";
    this.tell("say");
  }

  // -- answers ----------------------------------------------------------------------------------------------
  hear(said) {
    if (said.who !== this.who) return;
    if (this.missed) { this.missed = false; this.note = ""; this.tell("say"); } // other notes stay till they are mended
    if (said.on !== (this.base ? this.base.n : 0)) {
      if (said.on > (this.base ? this.base.n : 0)) { this.early.push(said); return; }
    }
    const base = said.on === (this.base ? this.base.n : 0) ? this.base : this.lastBase;
    const usable = base && base.n === said.on;
    if (said.ahead) {
      if (usable && this.aheadRows && said.ahead === this.aheadNo) {
        said.got.forEach((got, k) => this.keep(this.key(...this.aheadRows[k]), this.build(base, got)));
      }
      this.aheadSince = -1e9;
      const ready = this.shownSeq < this.seq && this.kept.get(this.key());
      if (ready) { this.waiting = false; this.show(ready, this.seq); }
    } else {
      this.flying = Math.max(0, this.flying - 1);
      const asked = this.asked.get(said.n);
      this.asked.delete(said.n);
      if (usable) {
        const picture = this.build(base, said.got[0]);
        if (asked) this.keep(asked, picture);
        this.show(picture, said.n, asked);
      } else if (said.n === this.seq) this.waiting = true;
    }
    this.pump();
  }
  keep(key, picture) {
    this.kept.delete(key);
    this.kept.set(key, picture);
    while (this.kept.size > KEEP) this.kept.delete(this.kept.keys().next().value);
  }
  build(base, got) {
    if (got.error) return { error: got.error };
    const picture = { ...base, ...got, items: base.items, facts: base.facts };
    for (const part of ["items", "facts"]) {
      if (!got[part]) continue;
      const whole = new Map(base[part]);
      for (const [k, entry] of Object.entries(got[part])) {
        if (entry === 0) whole.delete(k);
        else if (typeof entry === "string") {
          const changed = whole.get(k).slice(0, 5);
          changed.push(entry);
          whole.set(k, changed);
        } else whole.set(k, entry);
      }
      picture[part] = whole;
    }
    return picture;
  }
  show(picture, seq, key = this.key()) {
    if (seq < this.shownSeq) return;      // an older picture never replaces a newer one
    this.shownSeq = seq;
    this.error = picture.error || "";
    if (!picture.error) { this.current = picture; this.shownKey = key; this.tell("paint"); }
    this.tell("say");
  }
  takeWhole() {
    const said = this.model.get("picture");
    if (!said || !said.by && said.by !== "") return;
    const own = said.by.startsWith(this.who + ":") ? Number(said.by.split(":")[1]) : null;
    if (own === null) this.followPython();
    if (said.all && (!this.base || said.n !== this.base.n)) {
      const { items, facts, ...rest } = said.all;
      this.lastBase = this.base;
      this.base = { ...rest, n: said.n, items: new Map(Object.entries(items)), facts: new Map(Object.entries(facts)) };
    }
    const seq = own ?? ++this.seq, key = this.rested.get(own) ?? this.key();
    this.rested.delete(own);
    if (said.error) {
      if (!this.current && this.base) this.show(this.base, seq, key);
      this.show({ error: said.error }, seq, key);
    } else this.show(this.base, seq, key);
    if (own === null) this.tell("settle");
    for (const early of this.early.splice(0)) this.hear(early);
  }
  followPython() {
    const values = this.model.get("values");
    this.row = this.sliders.map((s) => tidy(values[s.name]));
    this.step = this.model.get("step");
    this.kept.clear();
    this.waiting = false;
    this.restedAt = this.key();
    this.tell("place");
  }
  remember(name, value) { this.model.set(name, value); this.model.save_changes(); }
}

// --- Sheet: the drawing ------------------------------------------------------------------------------------

class Sheet {
  constructor(desk, view) {
    this.desk = desk;
    this.view = view;
    this.nodes = new Map();      // key -> {entry, node, fat}
    this.layers = new Map();     // layer -> group of lines
    this.fit = true;
    this.k = 0.005; this.tx = 0; this.ty = 0; this.width = 0; this.height = 0;
    this.el = make("div", { className: "db-sheet", tabIndex: 0 });
    this.el.setAttribute("role", "group");
    this.el.setAttribute("aria-label", "Sheet. Arrow keys move it, plus and minus zoom, 0 shows all of it.");
    this.el.setAttribute("data-lm-suppress-shortcuts", "true");
    this.svg = draw("svg", { role: "img", class: "db-svg" });
    this.squares = draw("pattern", { id: `db-squares-${view.id}`, patternUnits: "userSpaceOnUse" });
    this.squareLine = draw("path", { class: "db-square" });
    this.squares.append(this.squareLine);
    const defs = draw("defs");
    defs.append(this.squares);
    this.lines = draw("g");
    this.texts = draw("g", { class: "db-texts" });
    this.svg.append(defs, draw("rect", { width: "100%", height: "100%", fill: `url(#db-squares-${view.id})` }),
      this.lines, this.texts);
    this.points = make("div", { className: "db-points" });
    this.scale = make("div", { className: "db-scale" });
    this.card = make("div", { className: "db-card", hidden: true });
    this.card.setAttribute("role", "status");
    this.el.append(this.svg, this.points, this.scale, this.card);
    this.listen();
  }

  // -- painting: nodes stay, only what differs is touched ----------------------------------------------------
  paint() {
    const picture = this.desk.current;
    if (!picture || picture === this.painted) return;
    for (const [key, shown] of this.nodes) if (!picture.items.has(key)) { this.drop(shown); this.nodes.delete(key); }
    for (const [key, entry] of picture.items) {
      const shown = this.nodes.get(key);
      if (!shown) this.nodes.set(key, this.add(entry));
      else if (shown.entry !== entry) this.change(shown, entry);
    }
    if (this.painted && picture.facts !== this.painted.facts && this.lit) { const id = this.lit; this.lit = undefined; this.light(picture.facts.has(id) ? id : null); }
    const fresh = new Set((picture.step && picture.step[2]) || []);
    if (fresh.size || this.marked) {           // the lines of the step that is being read stand out
      this.marked = fresh.size > 0;
      for (const [key, { node }] of this.nodes) node.classList.toggle("db-fresh", fresh.has(key));
    }
    this.painted = picture;
    this.view.root.dataset.shown = this.desk.shownKey;
    if (!this.measured) this.resize();
    this.view.alt();
  }
  add(entry) {
    const shown = { entry };
    if (entry[0] === STROKE) {
      shown.node = draw("path", { d: entry[5], class: "db-line", "data-style": entry[1], "data-edge": entry[3] });
      if (entry[4]) { const t = draw("title"); t.textContent = entry[4]; shown.node.append(t); }
      this.layer(entry[2]).append(shown.node);
      if (entry[3]) { shown.fat = draw("path", { d: entry[5], class: "db-fat", "data-edge": entry[3] }); this.layer(entry[2]).append(shown.fat); }
    } else if (entry[0] === TEXT) {
      shown.node = draw("text", { "data-style": entry[1], "text-anchor": entry[7] });
      shown.node.textContent = entry[3];
      shown.node.style.visibility = "hidden";
      shown.fresh = true;
      this.texts.append(shown.node);
      this.placeText(shown);
    } else {
      shown.node = make("button", { className: "db-point", type: "button", title: entry[5] });
      shown.node.setAttribute("data-lm-suppress-shortcuts", "true");
      shown.node.dataset.point = entry[3];
      shown.node.dataset.values = Object.keys(entry[4]).join(" ");
      this.view.listenPoint(shown);
      this.points.append(shown.node);
      this.placePoint(shown);
    }
    return shown;
  }
  change(shown, entry) {
    const old = shown.entry;
    shown.entry = entry;
    if (entry[0] === STROKE) {
      if (entry[5] !== old[5]) { shown.node.setAttribute("d", entry[5]); shown.stale = true; }
      if (entry[1] !== old[1]) shown.node.setAttribute("data-style", entry[1]);
    } else if (entry[0] === TEXT) {
      if (entry[3] !== old[3]) shown.node.textContent = entry[3];
      if (entry[7] !== old[7]) shown.node.setAttribute("text-anchor", entry[7]);
      this.placeText(shown);
    } else this.placePoint(shown);
  }
  drop(shown) { shown.node.remove(); if (shown.fat) shown.fat.remove(); }
  layer(name) {
    if (!this.layers.has(name)) {
      const g = draw("g", { class: "db-layer", "data-layer": name });
      this.layers.set(name, g);
      const order = [...Object.keys(this.desk.setup.layers), ...this.layers.keys()];
      const rank = (n) => order.indexOf(n);
      [...this.layers].sort((a, b) => rank(a[0]) - rank(b[0])).forEach(([, group]) => this.lines.append(group));
      this.showLayers();
    }
    return this.layers.get(name);
  }
  showLayers() {
    for (const [name, g] of this.layers) g.style.display = this.desk.hidden.has(name) ? "none" : "";
  }

  // -- labels and points keep their size on the screen -------------------------------------------------------
  textSize(entry) { return clamp(entry[6] * this.k, ...this.desk.setup.textSizes); }
  textX(e) {
    // a level label near the rim of the sheet is drawn in, so that it is not cut off
    const x = e[4] * this.k + this.tx;
    if (e[8] || x < 0 || x > this.width) return x;
    const length = this.textLength(e), left = { start: 0, middle: -length / 2, end: -length }[e[7]];
    return x - Math.min(0, x + left - 4) - Math.max(0, x + left + length + 4 - this.width);
  }
  textLength(e) { return e[3].length * this.textSize(e) * (this.desk.setup.letterings[e[1]][0] ? 0.63 : 0.56); }
  placeText(shown) {
    const e = shown.entry, x = this.textX(e).toFixed(1), y = (e[5] * this.k + this.ty).toFixed(1);
    shown.node.setAttribute("transform", `translate(${x} ${y})` + (e[8] ? ` rotate(${e[8]})` : ""));
    shown.node.setAttribute("font-size", this.textSize(e).toFixed(1));
  }
  placePoint(shown) {
    const e = shown.entry;
    shown.node.style.transform = `translate(${(e[1] * this.k + this.tx).toFixed(1)}px, ${(e[2] * this.k + this.ty).toFixed(1)}px)`;
    const said = Object.keys(e[4]).map((n) => this.view.sayValue(this.desk.at[n])).join(", ");
    shown.node.setAttribute("aria-label", `${e[5]}: ${said}. Arrow keys move the point by 1 millimetre.`);
  }
  arrangeTexts() {
    // the larger label stays, a lesser one that would lie on it steps back until there is room
    const taken = new Set(), wide = this.width, high = this.height;
    for (const { entry } of this.nodes.values()) {
      if (entry[0] !== HANDLE) continue;             // no label under a movable point
      const cx = Math.round((entry[1] * this.k + this.tx) / 6), cy = Math.round((entry[2] * this.k + this.ty) / 6);
      for (let i = -1; i <= 1; i++) for (let j = -1; j <= 1; j++) taken.add((cx + i) * 4096 + cy + j);
    }
    const labels = [...this.nodes.values()].filter((s) => s.entry[0] === TEXT);
    labels.sort((a, b) => b.entry[6] - a.entry[6]);
    for (const shown of labels) {
      const e = shown.entry, px = this.textSize(e), length = this.textLength(e) + 4;
      const x = this.textX(e), y = e[5] * this.k + this.ty;
      let free = !this.desk.hidden.has(e[2]) && x > -60 && y > -20 && x < wide + 60 && y < high + 20;
      const cells = [];
      const a = (e[8] || 0) * Math.PI / 180, c = Math.cos(a), s = Math.sin(a);
      const start = { start: -2, middle: -length / 2, end: 2 - length }[e[7]];
      const n = Math.max(2, Math.ceil(length / 5));
      for (let i = 0; free && i <= n; i++) {
        for (const up of [0.15, -0.35, -0.85]) {
          const along = start + length * i / n, v = up * px;
          const cell = Math.round((x + along * c - v * s) / 6) * 4096 + Math.round((y + along * s + v * c) / 6);
          if (taken.has(cell)) free = false;
          cells.push(cell);
        }
      }
      if (free) for (const cell of cells) taken.add(cell);
      shown.node.style.visibility = free ? "" : "hidden";
    }
  }
  settle() {
    for (const shown of this.nodes.values()) {
      if (shown.stale && shown.fat) shown.fat.setAttribute("d", shown.entry[5]);
      shown.stale = false;
    }
    const box = this.desk.current && this.desk.current.box;
    if (this.fit && box && this.fitted && (box.some((v, i) => Math.abs(v - this.fitted[i]) > 2 * FINE))) this.whole();
    this.arrangeTexts();
  }

  // -- zoom and pan ------------------------------------------------------------------------------------------
  resize() {
    const w = this.el.clientWidth, { current } = this.desk;
    if (!w) return;
    if (w !== this.width && current) {       // as high as the drawing needs at this width; never while the hand moves
      const [x0, y0, x1, y1] = current.box;
      this.el.style.height = `${Math.round(clamp((w - 2 * EDGE) * (y1 - y0) / (x1 - x0) + EDGE + HEAD, 300, 560))}px`;
    }
    const h = this.el.clientHeight;
    this.measured = Boolean(current);
    if (w === this.width && h === this.height) return;
    const [cx, cy] = [((this.width || w) / 2 - this.tx) / this.k, ((this.height || h) / 2 - this.ty) / this.k];
    this.width = w; this.height = h;
    if (this.fit) this.whole();
    else { this.tx = w / 2 - cx * this.k; this.ty = h / 2 - cy * this.k; this.look(); }
  }
  whole() {
    const picture = this.desk.current;
    if (!picture || !this.width) return;
    const [x0, y0, x1, y1] = this.fitted = picture.box;
    const wide = this.width - 2 * EDGE, high = this.height - EDGE - HEAD;
    this.k = Math.min(wide / Math.max(x1 - x0, 1), high / Math.max(y1 - y0, 1));
    this.tx = (this.width - (x1 + x0) * this.k) / 2;
    this.ty = HEAD + (high - (y1 + y0) * this.k) / 2;
    this.fit = true;
    this.look();
  }
  zoom(by, x = this.width / 2, y = this.height / 2) {
    const k = clamp(this.k * by, 0.0004, 0.2), f = k / this.k;
    this.tx = x - (x - this.tx) * f;
    this.ty = y - (y - this.ty) * f;
    this.k = k;
    this.fit = false;
    this.look();
  }
  pan(dx, dy) { this.tx += dx; this.ty += dy; this.fit = false; this.look(); }
  look() {
    if (this.looking) return;
    this.looking = requestAnimationFrame(() => {
      this.looking = 0;
      this.lines.setAttribute("transform", `translate(${this.tx.toFixed(2)} ${this.ty.toFixed(2)}) scale(${this.k.toPrecision(7)})`);
      for (const shown of this.nodes.values()) {
        if (shown.entry[0] === TEXT) this.placeText(shown);
        else if (shown.entry[0] === HANDLE) this.placePoint(shown);
      }
      this.arrangeTexts();
      this.ruleSquares();
    });
  }
  ruleSquares() {
    const inches = this.desk.unit === "in", one = FINE * (inches ? INCH : 1);
    const size = [0.5, 1, 2, 5, 10, 20, 50].find((n) => n * one * this.k >= 22) || 100;
    const px = size * one * this.k;
    for (const [k, v] of Object.entries({ x: this.tx % px, y: this.ty % px, width: px, height: px })) this.squares.setAttribute(k, v.toFixed(3));
    this.squareLine.setAttribute("d", `M0 0H${px}M0 0V${px}`);
    this.scale.textContent = `squares of ${size} ${inches ? "in" : "cm"}`;
  }

  // -- the edge under the hand -------------------------------------------------------------------------------
  light(id, x, y) {
    if (this.lit !== id) {
      this.lit = id;
      const fact = id && this.desk.current.facts.get(id), partners = new Set(fact ? fact[4] : []);
      for (const { node, entry } of this.nodes.values()) {
        if (entry[0] !== STROKE || !entry[3]) continue;
        node.classList.toggle("db-lit", entry[3] === id);
        node.classList.toggle("db-partner", partners.has(entry[3]));
      }
      this.card.hidden = !fact;
      if (fact) this.fillCard(fact);
    }
    if (id && !this.card.hidden) {
      const left = clamp(x === undefined ? 12 : x + 16, 4, Math.max(4, this.width - this.card.offsetWidth - 4));
      let top = y === undefined ? 12 : y + 16;
      if (top + this.card.offsetHeight > this.height - 4) top = Math.max(4, y - this.card.offsetHeight - 12);
      this.card.style.transform = `translate(${left}px, ${top}px)`;
    }
  }
  fillCard([name, length, allowance, turn, partners]) {
    const unit = this.desk.unit;
    const sewn = partners.map((id) => (this.desk.current.facts.get(id) || [id])[0]);
    this.card.replaceChildren(make("strong", {}, name),
      make("div", {}, `length ${sayLength(length, unit)}`),
      make("div", {}, allowance ? `allowance ${sayLength(allowance, unit)}${turn ? `, ${turn}` : ""}` : (turn || "no allowance")),
      ...(sewn.length ? [make("div", {}, `sewn to ${sewn.join(", ")}`)] : []));
  }

  // -- mouse, touch and keys on the sheet --------------------------------------------------------------------
  listen() {
    const held = new Map();
    const at = (e) => { const r = this.el.getBoundingClientRect(); return [e.clientX - r.left, e.clientY - r.top]; };
    this.el.addEventListener("pointerdown", (e) => {
      if (e.target.closest(".db-point") || e.button > 0) return;
      held.set(e.pointerId, at(e));
      if (e.pointerType !== "touch") this.el.setPointerCapture(e.pointerId);
    });
    this.el.addEventListener("pointermove", (e) => {
      const here = at(e), before = held.get(e.pointerId);
      if (!before) {
        const edge = e.target.getAttribute && e.target.getAttribute("data-edge");
        if (!this.desk.pressed) this.light(edge && this.desk.current.facts.has(edge) ? edge : null, ...here);
        return;
      }
      if (held.size === 2) {
        const other = [...held].find(([id]) => id !== e.pointerId)[1];
        const far = (p) => Math.hypot(p[0] - other[0], p[1] - other[1]);
        this.zoom(far(here) / Math.max(far(before), 1), (here[0] + other[0]) / 2, (here[1] + other[1]) / 2);
        this.pan((here[0] - before[0]) / 2, (here[1] - before[1]) / 2);
      } else if (e.pointerType !== "touch") this.pan(here[0] - before[0], here[1] - before[1]);
      held.set(e.pointerId, here);
    });
    for (const end of ["pointerup", "pointercancel"]) this.el.addEventListener(end, (e) => held.delete(e.pointerId));
    this.el.addEventListener("touchmove", (e) => { if (e.touches.length > 1) e.preventDefault(); }, { passive: false });
    this.el.addEventListener("pointerleave", () => this.light(this.view.chosenEdge()));
    this.el.addEventListener("wheel", (e) => {
      if (!e.ctrlKey && !this.el.contains(document.activeElement)) return;   // an untouched sheet lets the page scroll
      e.preventDefault();
      this.zoom(Math.exp(-e.deltaY * (e.ctrlKey ? 0.01 : 0.0015)), ...at(e));
    }, { passive: false });
    this.el.addEventListener("keydown", (e) => {
      if (e.target !== this.el) return;
      const moves = { ArrowLeft: [40, 0], ArrowRight: [-40, 0], ArrowUp: [0, 40], ArrowDown: [0, -40] };
      if (moves[e.key]) this.pan(...moves[e.key]);
      else if (e.key === "+" || e.key === "=") this.zoom(1.25);
      else if (e.key === "-") this.zoom(0.8);
      else if (e.key === "0") this.whole();
      else return;
      e.preventDefault();
      e.stopPropagation();
    });
    new ResizeObserver(() => this.resize()).observe(this.el);
  }
}

// --- View: the sheet and the controls around it ------------------------------------------------------------

let views = 0;

class View {
  constructor(desk, el) {
    this.desk = desk;
    this.id = ++views;
    this.rows = [];
    this.sheet = new Sheet(desk, this);
    const { setup } = desk;
    this.error = make("div", { className: "db-error", hidden: true });
    this.error.setAttribute("role", "alert");
    this.sheet.el.append(this.error);
    this.findings = make("div", { className: "db-findings" });
    this.findings.setAttribute("role", "status");
    this.findings.setAttribute("aria-label", "Findings");
    this.root = make("section", { className: "draft-board" },
      make("header", { className: "db-head" }, make("h3", {}, setup.title), this.tools()),
      make("div", { className: "db-body" },
        this.sheet.el, ...(setup.steps ? [this.stepRow()] : []),
        make("div", { className: "db-controls" }, ...desk.sliders.map((s, i) => (s.choices.length ? this.choiceRow(s, i) : this.sliderRow(s, i))), this.lineKey()),
        this.findings));
    this.root.setAttribute("aria-label", setup.title);
    el.append(this.root);
    desk.views.add(this);
    this.place();
    this.paint();
    this.say();
  }
  remove() { this.desk.views.delete(this); this.root.remove(); }

  // -- what the desk tells -----------------------------------------------------------------------------------
  paint() {
    this.sheet.paint();
    this.listEdges();
    const { current } = this.desk;
    if (this.stepText && current && current.step) {
      this.stepText.textContent = current.step[0] ? current.step[1] : "The finished drawing.";
      this.stepRange.max = (this.desk.base.count || 0) + 1;
    }
  }
  settle() { this.sheet.settle(); this.alt(true); }
  place() { for (const row of this.rows) row(); }
  say() {
    const { error, note, current } = this.desk;
    this.error.hidden = !(error || note);
    if (this.error.textContent !== (error || note)) this.error.textContent = error || note;
    this.error.classList.toggle("db-note", !error);
    if (!current || current.findings === this.saidFindings) return;
    this.saidFindings = current.findings;
    const said = this.desk.step + current.findings.map(([severity, text, where]) => `${severity}|${where}|${text}`).join("\n");
    if (said === this.findingsText) return;
    this.findingsText = said;
    const clear = this.desk.step ? [] : [["right", "No findings: seams, notches and corners agree."]];
    this.findings.replaceChildren(...(current.findings.length ? current.findings : clear).map(([severity, text, where]) => {
        const item = make("div", { className: "db-finding" },
          make("b", {}, severity === "right" ? "✓" : severity), ` ${where ? `${where}: ` : ""}${text}`);
        item.dataset.severity = severity;
        return item;
      }));
  }
  alt(now) {
    // the text alternative follows when the hand rests; a screen reader is not flooded while it moves
    if (!now && this.altSet) return;
    this.altSet = true;
    const { desk } = this;
    const values = desk.sliders.map((s, i) => this.sayValue(i)).join(", ");
    const count = desk.current ? desk.current.findings.length : 0;
    this.sheet.svg.setAttribute("aria-label", `${desk.setup.title}: ${values}. ${count === 1 ? "1 finding" : `${count} findings`}.`);
  }
  sayValue(i) {
    const s = this.desk.sliders[i], v = this.desk.row[i];
    if (s.choices.length) return `${s.label} ${s.choices[v]}`;
    return `${s.label} ${s.unit === "cm" ? sayLength(v, this.desk.unit) : `${inCm(v)}${s.unit === "degrees" ? "°" : s.unit && ` ${s.unit}`}`}`;
  }

  // -- controls ----------------------------------------------------------------------------------------------
  tools() {
    const { desk, sheet } = this;
    const button = (text, title, act) => {
      const b = make("button", { type: "button", title, onclick: act }, text);
      b.setAttribute("aria-label", /\w/.test(text) ? `${text}: ${title}` : title);
      return b;
    };
    const layers = make("details", { className: "db-layers" }, make("summary", { title: "Show or hide parts of the drawing" }, "Layers"));
    const list = make("div", {});
    for (const [name, label] of Object.entries(desk.setup.layers)) {
      const box = make("input", { type: "checkbox", checked: !desk.hidden.has(name) });
      box.onchange = () => {
        if (box.checked) desk.hidden.delete(name); else desk.hidden.add(name);
        desk.remember("hidden", [...desk.hidden]);
        sheet.showLayers();
        sheet.arrangeTexts();
      };
      list.append(make("label", { className: "db-layer-choice" }, box, ` ${label}`));
      list.lastChild.dataset.layer = name;
    }
    this.layerChoices = list;
    layers.append(list);
    const unit = make("select", { title: "Lengths in centimetres or inches" },
      make("option", { value: "cm" }, "cm"), make("option", { value: "in" }, "inches"));
    unit.setAttribute("aria-label", "Unit of length");
    unit.value = desk.unit;
    unit.onchange = () => {
      desk.rest();
      desk.unit = unit.value;
      desk.remember("unit", desk.unit);                // Python writes the measures of the drawing anew
      for (const view of desk.views) { view.place(); view.sheet.look(); view.alt(true); }
    };
    this.edges = make("select", { title: "Show length, allowance and partner of an edge" });
    this.edges.setAttribute("aria-label", "Edge to look at");
    this.edges.onchange = () => sheet.light(this.chosenEdge());
    return make("div", { className: "db-tools" }, this.edges, layers, unit,
      button("−", "Zoom out", () => sheet.zoom(0.8)), button("+", "Zoom in", () => sheet.zoom(1.25)),
      button("Whole sheet", "Show the whole drawing", () => sheet.whole()),
      button("Reset", "Put all values back to their start", () => desk.move(Object.fromEntries(desk.sliders.map((s, i) => [i, s.start])), 0)));
  }
  chosenEdge() { return this.edges.value || null; }
  listEdges() {
    const { current } = this.desk;
    if (!current || current.facts === this.listedFacts) return;
    this.listedFacts = current.facts;
    const present = new Set([...current.items.values()].map((entry) => entry[2]));
    for (const choice of this.layerChoices.children) choice.hidden = !present.has(choice.dataset.layer) && !this.desk.step;
    const ids = [...current.facts.keys()].join("\n");
    if (ids === this.edgeIds) return;
    this.edgeIds = ids;
    const chosen = this.edges.value;
    this.edges.replaceChildren(make("option", { value: "" }, "Edge …"),
      ...[...current.facts].map(([id, fact]) => make("option", { value: id }, fact[0])));
    this.edges.value = current.facts.has(chosen) ? chosen : "";
    this.edges.style.visibility = current.facts.size ? "" : "hidden";
  }
  lineKey() {
    const list = make("div", { className: "db-keylist" });
    for (const [style, look] of Object.entries(this.desk.setup.lines)) {
      const label = look[4];
      const sample = draw("svg", { width: 46, height: 10, "aria-hidden": "true" });
      sample.append(draw("path", { d: "M1 5H45", class: "db-line", "data-style": style }));
      list.append(make("div", {}, sample, ` ${label}`));
    }
    return make("details", { className: "db-key" }, make("summary", {}, "Key to the lines"), list);
  }
  hoverAims(el, axes) {
    const { desk } = this;
    el.addEventListener("pointerenter", () => {
      if (!desk.pressed) this.hover = setTimeout(() => desk.aim(axes()), 50);
    });
    el.addEventListener("pointerleave", () => {
      clearTimeout(this.hover);
      if (!desk.pressed && !el.contains(document.activeElement)) desk.aim(null);
    });
    el.addEventListener("focusin", () => { if (!desk.pressed) desk.aim(axes()); });
    el.addEventListener("focusout", () => { if (!desk.pressed) desk.aim(null); });
  }
  hand(range, axes) {
    const { desk } = this;
    range.addEventListener("pointerdown", () => { desk.aim(axes()); desk.press(); });
    for (const end of ["pointerup", "pointercancel", "change", "blur"]) range.addEventListener(end, () => desk.release());
  }
  sliderRow(s, i) {
    const { desk } = this;
    const inches = () => s.unit === "cm" && desk.unit === "in";
    const eighth = INCH / 8;
    const range = make("input", { type: "range" });
    range.setAttribute("data-lm-suppress-shortcuts", "true");
    range.setAttribute("aria-label", s.label);
    range.dataset.value = s.name;
    const entry = make("input", { type: "text", className: "db-entry", autocomplete: "off" });
    entry.setAttribute("aria-label", `${s.label}, exact value`);
    entry.setAttribute("data-lm-suppress-shortcuts", "true");
    entry.inputMode = "decimal";
    const unit = make("span", { className: "db-unit" });
    const axes = () => [inches() ? { i, step: eighth, from: 0 } : { i, step: s.step }];
    range.addEventListener("input", () => desk.move({ [i]: inches() ? range.value * eighth : Number(range.value) }));
    this.hand(range, axes);
    const row = make("div", { className: "db-row", title: s.why }, make("span", { className: "db-label" }, s.label), entry, unit, range);
    this.hoverAims(row, axes);
    const show = () => {
      const v = desk.row[i], inch = inches();
      const [low, high, step, at] = inch ? [Math.floor(s.low / eighth), Math.ceil(s.high / eighth), 1, Math.round(v / eighth)] : [s.low, s.high, s.step, v];
      if (range.min !== String(low) || range.max !== String(high) || range.step !== String(step)) Object.assign(range, { min: low, max: high, step });
      if (Number(range.value) !== at) range.value = at;
      range.setAttribute("aria-valuetext", this.sayValue(i));
      if (document.activeElement !== entry || !entry.dataset.typing) entry.value = inch ? inEighths(v) : inCm(v);
      unit.textContent = s.unit === "cm" ? desk.unit : s.unit === "degrees" ? "°" : s.unit;
      unit.title = inch ? `${inCm(v)} cm` : "";
    };
    const limits = () => (s.unit === "cm" ? `${sayLength(s.low, desk.unit)} to ${sayLength(s.high, desk.unit)}` : `${inCm(s.low)} to ${inCm(s.high)} ${s.unit}`);
    const take = () => {
      if (!entry.dataset.typing) return;
      const v = s.unit === "cm" ? readLength(entry.value, desk.unit) : Number(entry.value.replace(",", ".").replace("−", "-"));
      if (!(v >= s.low - 1e-6 && v <= s.high + 1e-6)) {
        entry.setAttribute("aria-invalid", "true");
        desk.note = `${s.label} runs from ${limits()}; '${entry.value}' ${Number.isNaN(v) ? "is not a length that can be read" : "lies outside"}.`;
        desk.tell("say");
        return;
      }
      done();
      desk.move({ [i]: v });
    };
    const done = () => {
      delete entry.dataset.typing;
      if (entry.getAttribute("aria-invalid")) { entry.removeAttribute("aria-invalid"); desk.note = ""; desk.tell("say"); }
      show();
    };
    entry.addEventListener("input", () => { entry.dataset.typing = "yes"; });
    entry.addEventListener("focus", () => entry.select());
    entry.addEventListener("keydown", (e) => {
      if (e.key === "Enter") { take(); entry.select(); } else if (e.key === "Escape") done(); else return;
      e.stopPropagation();
    });
    entry.addEventListener("blur", () => { take(); if (entry.getAttribute("aria-invalid")) done(); });
    this.rows.push(show);
    return row;
  }
  choiceRow(s, i) {
    const { desk } = this;
    const list = make("select", { onchange: () => desk.move({ [i]: Number(list.value) }) },
      ...s.choices.map((words, k) => make("option", { value: k }, words)));
    list.setAttribute("aria-label", s.label);
    list.dataset.value = s.name;
    this.rows.push(() => { list.value = String(desk.row[i]); });
    return make("div", { className: "db-row", title: s.why }, make("span", { className: "db-label" }, s.label), list);
  }
  stepRow() {
    const { desk } = this;
    const range = this.stepRange = make("input", { type: "range", min: 1, step: 1 });
    range.max = ((desk.base && desk.base.count) || 0) + 1;
    range.setAttribute("data-lm-suppress-shortcuts", "true");
    range.setAttribute("aria-label", "Step of the draft");
    const axes = () => [{ i: -1 }];
    const count = make("span", { className: "db-unit" });
    const last = () => ((desk.base && desk.base.count) || 0) + 1;
    range.addEventListener("input", () => desk.move({}, Number(range.value) === last() ? 0 : Number(range.value)));
    this.hand(range, axes);
    this.stepText = make("p", { className: "db-steptext" });
    const row = make("div", { className: "db-step", title: "Replays the draft step by step" },
      make("span", { className: "db-label" }, "Step"), range, count, this.stepText);
    this.hoverAims(row, axes);
    this.rows.push(() => {
      range.max = last();
      range.value = desk.step || last();
      count.textContent = desk.step ? `${desk.step} of ${last() - 1}` : "finished";
      range.setAttribute("aria-valuetext", desk.step ? `step ${desk.step} of ${last() - 1}` : "finished drawing");
    });
    return row;
  }

  // -- movable points ----------------------------------------------------------------------------------------
  listenPoint(shown) {
    const { desk, sheet } = this, { node } = shown;
    const axes = (fine) => Object.entries(shown.entry[4]).map(([name, [dx, dy]]) => {
      const i = desk.at[name], s = desk.sliders[i];
      return fine ? { i, step: 0.1 / Math.hypot(dx, dy), from: desk.row[i] } : { i, step: Math.max(s.step, 0.1) };
    });
    // values that bring the point nearest to a move of (x, y) cm from where the values were `from`
    const reach = (from, x, y, grid) => {
      const ms = Object.entries(shown.entry[4]).map(([name, m]) => ({ i: desk.at[name], m }));
      const dot = (a, b) => a[0] * b[0] + a[1] * b[1];
      let amounts;
      if (ms.length === 1) amounts = [dot([x, y], ms[0].m) / dot(ms[0].m, ms[0].m)];
      else {
        const [a, b] = [ms[0].m, ms[1].m], det = a[0] * b[1] - a[1] * b[0];
        amounts = [(x * b[1] - y * b[0]) / det, (a[0] * y - a[1] * x) / det];
      }
      return Object.fromEntries(ms.map(({ i }, n) => {
        const s = desk.sliders[i], v = from[i] + amounts[n];
        return [i, grid ? s.low + Math.round((v - s.low) / Math.max(s.step, 0.1)) * Math.max(s.step, 0.1) : v];
      }));
    };
    this.hoverAims(node, () => axes(node.matches(":focus-visible")));
    let start = null;
    node.addEventListener("pointerdown", (e) => {
      if (e.button > 0) return;
      node.setPointerCapture(e.pointerId);
      desk.aim(axes(false));
      desk.press();
      start = { x: e.clientX, y: e.clientY, row: [...desk.row] };
    });
    node.addEventListener("pointermove", (e) => {
      if (!start) return;
      const cm = 1 / (sheet.k * FINE);
      desk.move(reach(start.row, (e.clientX - start.x) * cm, (e.clientY - start.y) * cm, true));
    });
    for (const end of ["pointerup", "pointercancel"]) node.addEventListener(end, () => { start = null; desk.release(); });
    node.addEventListener("keydown", (e) => {
      const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
      if (!way) return;
      e.preventDefault();
      e.stopPropagation();
      desk.move(reach(desk.row, way[0] * 0.1, way[1] * 0.1, false));
      desk.aim(axes(true));
    });
  }
}

// --- looks -------------------------------------------------------------------------------------------------

const CSS = `
.draft-board { --ink: var(--jp-content-font-color0, #1d1d1b); --soft: var(--jp-content-font-color2, #666);
  --faint: var(--jp-border-color2, #ddd); --paper: var(--jp-layout-color0, #fff); --desk: var(--jp-layout-color1, #fafafa);
  --accent: #8a3b12; --partner: #00618a; --strong: 100%; container-type: inline-size; box-sizing: border-box; width: 100%;
  font: 13px/1.4 var(--jp-ui-font-family, system-ui, sans-serif); color: var(--ink); background: var(--desk);
  border: 1px solid var(--faint); border-radius: 3px; padding: 8px 10px 10px; }
[data-jp-theme-light="false"] .draft-board { --accent: #ffa36b; --partner: #7cc7ea; --strong: 60%; }
.draft-board *, .draft-board *::before { box-sizing: border-box; }
.db-head { display: flex; flex-wrap: wrap; gap: 4px 12px; align-items: center; justify-content: space-between; margin-bottom: 6px; }
.draft-board h3 { margin: 0; font-size: 15px; font-weight: 600; }
.db-tools { display: flex; flex-wrap: wrap; gap: 6px; align-items: center; }
.draft-board button, .draft-board select, .db-layers summary, .db-entry { font: inherit; font-size: 12.5px; color: var(--ink);
  background: var(--paper); border: 1px solid var(--jp-border-color1, #bbb); border-radius: 3px; min-height: 26px; padding: 2px 8px; }
.draft-board select { max-width: 12em; }
.draft-board button { cursor: pointer; min-width: 28px; }
.draft-board :focus-visible { outline: 2px solid var(--partner); outline-offset: 1px; }
.db-layers { position: relative; } .db-layers summary { cursor: pointer; }
.db-layers > div { position: absolute; z-index: 5; right: 0; margin-top: 3px; padding: 6px 12px; display: grid; gap: 3px; white-space: nowrap;
  background: var(--paper); border: 1px solid var(--jp-border-color1, #bbb); border-radius: 3px; box-shadow: 0 2px 8px rgb(0 0 0 / .18); }
.db-body { display: grid; gap: 10px; grid-template-columns: minmax(0, 1fr); }
.db-sheet { position: relative; height: 480px; min-width: 0; overflow: hidden; background: var(--paper); border: 1px solid var(--faint); touch-action: pan-y; cursor: grab; }
.db-sheet:active { cursor: grabbing; }
.db-svg { position: absolute; inset: 0; width: 100%; height: 100%; user-select: none; }
.db-square { fill: none; stroke: var(--faint); stroke-width: 1; opacity: .55; }
.db-line { fill: none; stroke: var(--ink); stroke-linejoin: round; vector-effect: non-scaling-stroke; pointer-events: none; }
.db-fat { fill: none; stroke: transparent; stroke-width: 13; vector-effect: non-scaling-stroke; pointer-events: stroke; }
.db-line.db-lit { stroke: var(--accent); stroke-width: 4px; stroke-dasharray: none; }
.db-line.db-partner { stroke: var(--partner); stroke-width: 4px; stroke-dasharray: 7 4; }
.db-line.db-fresh { stroke: var(--accent); stroke-width: 2.6px; } .draft-board .db-texts text.db-fresh { fill: var(--accent); font-weight: 600; }
.db-texts text { fill: var(--ink); font-family: inherit; paint-order: stroke; stroke: var(--paper); stroke-width: 3px; stroke-linejoin: round; pointer-events: none; }
.db-points { position: absolute; left: 0; top: 0; width: 0; height: 0; }
.draft-board .db-point { position: absolute; left: -13px; top: -13px; width: 26px; min-width: 0; height: 26px; min-height: 0; padding: 0; border: 0; border-radius: 50%;
  background: transparent; cursor: move; touch-action: none; }
.db-point::before { content: ""; position: absolute; inset: 7px; border: 2px solid var(--accent); background: var(--paper); transform: rotate(45deg); }
.db-point:hover::before, .db-point:focus-visible::before { background: var(--accent); }
.db-scale { position: absolute; right: 6px; bottom: 4px; font-size: 11px; color: var(--soft); background: var(--paper); padding: 0 4px; pointer-events: none; }
.db-card { position: absolute; left: 0; top: 0; z-index: 3; max-width: 260px; padding: 5px 9px; font-size: 12px; background: var(--paper); border: 1px solid var(--ink);
  border-left-width: 4px; pointer-events: none; }
.db-error { position: absolute; z-index: 4; left: 8px; right: 8px; top: 8px; padding: 6px 10px; color: var(--ink); background: var(--paper); border: 2px solid var(--accent); border-left-width: 8px; }
.db-error.db-note { border-width: 1px; border-left-width: 8px; border-color: var(--soft); }
.draft-board [hidden] { display: none; }
.db-controls { display: grid; gap: 8px 18px; grid-template-columns: repeat(auto-fill, minmax(230px, 1fr)); align-content: start; }
.db-row { display: grid; grid-template-columns: minmax(0, 1fr) 62px 20px; gap: 0 5px; align-items: center; }
.draft-board .db-row select { grid-column: 1 / -1; width: 100%; max-width: none; }
.db-row input[type=range] { grid-column: 1 / -1; width: 100%; margin: 3px 0 0; accent-color: var(--accent); }
.db-entry { width: 62px; text-align: right; padding: 1px 5px; } .db-entry[aria-invalid] { border: 2px solid var(--accent); }
.db-unit { font-size: 12px; color: var(--soft); white-space: nowrap; }
.db-step { display: grid; grid-template-columns: auto 1fr 70px; gap: 0 8px; align-items: center; }
.db-step input { width: 100%; accent-color: var(--accent); } .db-steptext { grid-column: 1 / -1; margin: 0; min-height: 2.8em; }
.db-findings { height: 62px; overflow: auto; border-top: 1px solid var(--faint); padding-top: 4px; font-size: 12.5px; }
.db-finding { border-left: 4px solid var(--accent); padding-left: 7px; margin-bottom: 3px; }
.db-finding[data-severity=right], .db-finding[data-severity=note] { border-left-color: var(--soft); border-left-style: dotted; }
.db-key { grid-column: 1 / -1; font-size: 12px; } .db-key summary { cursor: pointer; }
.db-keylist { display: grid; grid-template-columns: repeat(auto-fill, minmax(150px, 1fr)); gap: 1px 10px; }
.db-keylist .db-line { vector-effect: none; }
@container (min-width: 780px) {
  .db-body { grid-template-columns: minmax(0, 1fr) 250px; grid-template-rows: repeat(3, auto); align-items: start; }
  .db-body > :not(.db-controls) { grid-column: 1; }
  .db-controls { grid-column: 2; grid-row: 1 / span 3; grid-template-columns: minmax(0, 1fr); max-height: 640px; overflow-y: auto; overflow-x: hidden; padding-right: 6px; }
}
.jp-OutputArea:has(.draft-board) .jp-OutputArea-child:has(.draft-board-still) { display: none; }
@media (prefers-reduced-motion: reduce) { .draft-board * { transition: none; } }
`;

function dress({ lines, letterings }) {
  // one style element a page; looks come from Python, where the printed drawings take them too
  const ink = (grey, colour) => (/^#(..)\1\1$/.test(colour)
    ? `color-mix(in srgb, var(--ink) ${Math.round(100 - grey / 3.2)}%, var(--paper))`
    : `color-mix(in srgb, ${colour} var(--strong), var(--ink))`);
  const rules = [
    ...Object.entries(lines).map(([style, [width, dashes, grey, colour]]) =>
      `.db-line[data-style="${style}"] { stroke: ${ink(grey, colour)}; stroke-width: ${width}px; stroke-dasharray: ${dashes.join(" ") || "none"}; }`),
    ...Object.entries(letterings).map(([style, [bold, slanted, grey, colour]]) =>
      `.db-texts text[data-style="${style}"] { fill: ${ink(grey, colour)}; font-weight: ${bold ? 600 : 400}; font-style: ${slanted ? "italic" : "normal"}; }`),
  ];
  let sheet = document.getElementById("draft-board-style");
  if (!sheet) document.head.append(sheet = make("style", { id: "draft-board-style" }));
  const css = rules.join("\n") + CSS;
  if (sheet.textContent !== css) sheet.textContent = css;
}

const desks = new WeakMap();

export default {
  render({ model, el }) {
    dress(model.get("setup"));
    if (!desks.has(model)) desks.set(model, new Desk(model));
    const view = new View(desks.get(model), el);
    return () => view.remove();
  },
};

// View: one place on the page where a board is shown: the sheet and the controls around it.

import { make } from "./elements.js";
import { Findings } from "./findings.js";
import { aiming, keys, listen, touching } from "./hand.js";
import { Pins } from "./pins.js";
import { stepRow } from "./replay.js";
import { valueRow } from "./rows.js";
import { Sheet } from "./sheet.js";
import { Table } from "./table.js";
import { Legend, LineKey, Tools } from "./tools.js";
import { sayPicture } from "./words.js";

export class View {
  constructor(desk, el) {
    this.desk = desk;
    const { setup, sliders } = desk;
    const aims = aiming(desk);
    this.sheet = new Sheet(desk, aims, () => this.table.settle(this.sheet.shown(), desk.hidden));
    this.tools = new Tools(desk, this.sheet, (text) => this.findings.announce(text));
    listen(this.sheet, desk, () => this.tools.edges.chosen());
    this.findings = new Findings(desk);
    this.sheet.el.append(this.findings.error);
    this.steps = setup.steps ? stepRow(desk, aims) : null;
    this.rows = sliders.map((_, i) => valueRow(desk, i, aims));
    this.lineKey = new LineKey(setup);
    this.legend = new Legend();
    this.table = new Table();
    this.pins = new Pins(desk);
    const controls = [...this.rows.map((row) => row.el), this.lineKey.el];
    const body = [
      this.sheet.el,
      this.legend.el,
      this.pins.el,
      this.table.el,
      ...(this.steps ? [this.steps.el] : []),
      make("div", { className: "db-controls" }, ...controls),
      this.findings.el,
      this.findings.aloud,
    ];
    const head = make("header", { className: "db-head" }, make("h3", {}, setup.title), this.tools.el);
    this.root = make("section", { className: "draft-board", ariaLabel: setup.title });
    this.root.append(head, make("div", { className: "db-body" }, ...body));
    keys(this.root, desk);
    touching(this.root);
    el.append(this.root);
    desk.views.add(this);
    this.place();
    this.paint();
    this.say();
    this.trails();
    this.pinned();
    setTimeout(() => this.checkAlive());
    this.seen = false; // on the part of the page that is looked at
    this.watch = new IntersectionObserver(([entry]) => {
      this.seen = entry.isIntersecting;
      desk.pump();
    });
    this.watch.observe(this.root);
  }
  remove() {
    this.watch.disconnect();
    this.steps?.stop();
    this.desk.views.delete(this);
    this.root.remove();
  }

  // -- what the desk tells -------------------------------------------------------------------------------
  /** A picture is there. */
  paint() {
    if (this.sheet.paint()) {
      this.root.dataset.shown = this.desk.shownKey;
      this.root.dataset.exact = this.desk.current.blended ? "no" : "yes";
      if (!this.described) this.describe();
    }
    this.tools.offer();
    this.lineKey.offer(this.desk.current);
    this.legend.offer(this.desk.current);
    this.pins.read();
    this.steps?.read();
  }
  /** The values have changed. */
  place() {
    for (const row of this.rows) row.show();
    this.steps?.show();
    this.rested();
  }
  rested() {
    const rested = this.desk.atRest() ? "yes" : "no";
    if (this.root.dataset.rested !== rested) this.root.dataset.rested = rested;
  }
  /** The hand takes hold or moves. */
  hold() {
    this.sheet.glide.stop();
  }
  /** The hand rests; a screen reader is not flooded while it moves. */
  settle() {
    this.sheet.settle();
    this.describe();
    this.findings.settle([...this.sheet.held(), ...this.pins.said()]);
    this.rested();
  }
  describe() {
    this.described = Boolean(this.desk.current);
    if (this.described)
      this.sheet.svg.setAttribute("aria-label", sayPicture(this.desk) + this.sheet.changes.say());
  }
  /** There is something to say. */
  say() {
    this.findings.say();
    const stale = this.desk.stale();
    if (this.root.dataset.stale === stale) return;
    this.root.dataset.stale = stale;
    this.describe();
  }
  /** An edge was pinned or let go. */
  pinned() {
    this.pins.show();
    this.tools.pinned();
  }
  /** What can be undone has changed. */
  trails() {
    this.tools.trails();
  }
  /** The notebook marks what has lost its kernel; nothing else on the page knows. */
  checkAlive() {
    this.desk.link.set({ live: !this.root.closest(".jupyter-widgets-disconnected") });
  }
  /** The unit has changed. */
  units() {
    this.place();
    this.tools.show();
    this.sheet.look();
    this.sheet.changes.paint();
    this.pins.read();
    this.describe();
  }
  /** Layers were shown or hidden. */
  layers() {
    this.tools.show();
    this.sheet.showLayers();
  }
}

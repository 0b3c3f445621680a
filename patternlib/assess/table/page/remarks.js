// The remarks of a comparison at their places: a sign at what was drawn, and the way to where the rule has it.

import { draw } from "./dom.js";
import { isPoint, point } from "./geometry.js";
import { middleOf } from "./lettering.js";

export function drawRemarks(paper, taken) {
  const { compared } = paper.desk;
  if (!compared) return;
  const on = paper.desk.on();
  for (const line of compared.lines) {
    const value = line.spot ? point(...line.spot) : on.get(line.step);
    if (value === undefined || typeof value === "number" || line.verdict === "missing") continue;
    const [x, y] = paper.px(isPoint(value) ? value : middleOf(value));
    const good = line.verdict !== "off";
    if (!good && Array.isArray(line.want) && !line.spot && isPoint(value)) {
      const want = point(...line.want);
      paper.layers.remarks.append(paper.ruled(value, want, "dt-offby"), paper.cross(want, "dt-wanted", 6));
    }
    paper.layers.remarks.append(
      draw("circle", { class: good ? "dt-right" : "dt-off", cx: x - 11, cy: y + 11, r: 8 }),
      draw("text", { class: "dt-sign", x: x - 11, y: y + 15, "text-anchor": "middle" }, good ? "✓" : "✗"),
    );
    taken.push([x - 20, y + 2, x - 2, y + 20]);
  }
}

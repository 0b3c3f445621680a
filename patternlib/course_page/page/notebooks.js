/* What a notebook says: whose answers it holds, and whether it is older than the site's. */

const RECORD = "application/vnd.patternlib.draft+json";

/** The name in the first answer that a notebook holds, '' where it holds none. */
export function studentOf(book) {
  for (const cell of book.cells)
    for (const output of cell.outputs ?? []) {
      const student = output.data?.[RECORD]?.student;
      if (student) return student;
    }
  return "";
}

/** What the course wrote in a notebook: the sources of its cells by their ids, apart from those to answer in. */
export function ownCells(book) {
  const cells = new Map();
  for (const cell of book.cells) {
    const source = Array.isArray(cell.source) ? cell.source.join("") : cell.source;
    if (cell.cell_type === "markdown") cells.set(cell.id, source.trimEnd());
  }
  return cells;
}

/** Whether the site's edition has text that the saved notebook has not. */
export function isOlder(saved, now) {
  const mine = ownCells(saved);
  return [...ownCells(now)].some(([id, source]) => mine.get(id) !== source);
}

/** A name for the new edition beside the saved one: 'lessons/02_x.ipynb' is 'lessons/02_x (new edition).ipynb'. */
export function beside(path) {
  return path.replace(/\.ipynb$/, " (new edition).ipynb");
}

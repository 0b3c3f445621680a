/* Which cells of a notebook are the course's own, and whether a saved notebook is older than the site's. */

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

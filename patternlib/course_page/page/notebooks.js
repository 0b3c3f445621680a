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

/** The exercises that a notebook has answers of: ['02a', '02b']. */
export function answersOf(book) {
  const records = book.cells.flatMap((cell) => (cell.outputs ?? []).map((output) => output.data?.[RECORD]));
  return [...new Set(records.filter(Boolean).map((record) => record.exercise))];
}

/** Which saved files are handed in: the exercises, and the project of lesson 16 with its photographs once its form is
 *  filled in. files: {path: what is kept of it}. */
export function handedIn(files) {
  const project = (path) => /^lessons\/16_[^/]*\.ipynb$/.test(path) && studentOf(files[path].content) !== "";
  const form = Object.keys(files).some(project);
  const asked = (path) =>
    /^exercises\/.*\.ipynb$/.test(path) ||
    project(path) ||
    (form && /^lessons\/photographs\/[^/]+$/.test(path));
  return Object.fromEntries(Object.entries(files).filter(([path]) => asked(path)));
}

/** Whether a path of a .zip is one that the course writes: a file anywhere in its two folders. */
export function isOurs(path) {
  return /^(lessons|exercises)\/.*[^/]$/.test(path) && !path.split("/").includes("..");
}

/** Where a single file that is brought back belongs. name: as the download folder has it, with ' (1)' for a second one. */
export function placeOf(name, text) {
  const answered = /^\d\d_.*\.ipynb$/.test(name) && text.includes("compare_with_rule");
  const folder = answered || /^practice_.*\.ipynb$/.test(name) ? "exercises" : "lessons";
  return `${folder}/${name.replace(/ ?\(\d+\)(?=\.)/, "")}`;
}

/** What the course wrote in a notebook: the sources of its cells by their ids, apart from those to answer in. */
function ownCells(book) {
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

/** {path: title} of the notebooks of the course. */
export function titlesOf(course) {
  const all = {};
  for (const { name, title, exercises } of course.lessons) {
    all[`lessons/${name}.ipynb`] = title;
    if (exercises) all[`exercises/${name}.ipynb`] = `${title}: exercises`;
  }
  for (const { name, title } of course.practice) all[`exercises/${name}.ipynb`] = title;
  return all;
}

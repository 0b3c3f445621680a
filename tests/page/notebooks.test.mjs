import assert from "node:assert/strict";
import { test } from "node:test";
import {
  answersOf,
  beside,
  handedIn,
  isOlder,
  isOurs,
  placeOf,
  studentOf,
} from "../../patternlib/course_page/page/notebooks.js";

const book = (...cells) => ({
  cells: cells.map(([id, source, type = "markdown"]) => ({ id, source, cell_type: type })),
});

test("a saved notebook is older where the site's text differs, not where the learner has drawn", () => {
  const now = book(["a", "# 02"], ["b", "Draft here", "code"]);
  assert.equal(isOlder(book(["a", ["# ", "02"]], ["b", "my steps", "code"]), now), false);
  assert.equal(isOlder(book(["a", "# 02"], ["b", "x", "code"], ["mine", "a note of my own"]), now), false);
  assert.equal(isOlder(book(["a", "# 2"], ["b", "x", "code"]), now), true);
  assert.equal(isOlder(book(["b", "x", "code"]), now), true);
});

test("the new edition lies beside the saved one", () => {
  assert.equal(beside("lessons/02_skirt.ipynb"), "lessons/02_skirt (new edition).ipynb");
});

test("the name is that of the first answer", () => {
  const answer = (student) => ({
    data: { "text/plain": "", "application/vnd.patternlib.draft+json": { exercise: "02a", student } },
  });
  const cell = (...outputs) => ({ id: "t", source: "", cell_type: "code", outputs });
  assert.equal(studentOf({ cells: [{ id: "a", source: "", cell_type: "markdown" }, cell()] }), "");
  assert.equal(
    studentOf({ cells: [cell({ output_type: "stream" }), cell(answer("Zoë")), cell(answer("b"))] }),
    "Zoë",
  );
});

test("it is said which exercises are answered, each once", () => {
  const answer = (exercise) => ({ data: { "application/vnd.patternlib.draft+json": { exercise } } });
  const cells = [{ outputs: [answer("02a"), answer("02a")] }, {}, { outputs: [{}, answer("02b")] }];
  assert.deepEqual(answersOf({ cells }), ["02a", "02b"]);
  assert.deepEqual(answersOf({ cells: [] }), []);
});

test("the exercises are handed in, and the project with its photographs once its form is filled in", () => {
  const filled = {
    cells: [{ outputs: [{ data: { "application/vnd.patternlib.draft+json": { student: "mira" } } }] }],
  };
  const files = {
    "exercises/02_straight_skirt_block.ipynb": { content: { cells: [] } },
    "exercises/notes.txt": { content: "" },
    "lessons/00_start_here.ipynb": { content: filled },
    "lessons/16_project.ipynb": { content: filled },
    "lessons/me.toml": { content: "" },
    "lessons/photographs/toile.jpg": { content: "" },
  };
  const [exercise, , , project, , photograph] = Object.keys(files);
  assert.deepEqual(Object.keys(handedIn(files)), [exercise, project, photograph]);
  files[project] = { content: { cells: [] } };
  assert.deepEqual(Object.keys(handedIn(files)), [exercise]);
});

test("what is brought back goes to its folder, and nothing goes elsewhere", () => {
  assert.equal(placeOf("02_skirt (1).ipynb", "compare_with_rule(sheet)"), "exercises/02_skirt.ipynb");
  assert.equal(placeOf("02_skirt.ipynb", "section_table(draft)"), "lessons/02_skirt.ipynb");
  assert.equal(
    placeOf("practice_find_the_slip.ipynb", "practice()"),
    "exercises/practice_find_the_slip.ipynb",
  );
  assert.equal(placeOf("me.toml", "height = 171"), "lessons/me.toml");
  for (const path of ["lessons/me.toml", "lessons/my-pinafore/pattern.pdf", "lessons/photographs/a.jpg"])
    assert.ok(isOurs(path), path);
  for (const path of ["me.toml", "lessons/", "lessons/../x", "/etc/x", "files/x", "lessons/a/../../x"])
    assert.ok(!isOurs(path), path);
});

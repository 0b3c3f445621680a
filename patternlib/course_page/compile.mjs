/* Compiles the packages of the page with the browser's own Python.
 * Usage: deno run compile.mjs FOLDER SCRIPT.py   (FOLDER: the browser's Python and its packages) */
import { readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { argv } from "node:process";
import { pathToFileURL } from "node:url";

const [folder, script] = argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(`${folder}/pyodide.mjs`).href);
const python = await loadPyodide({ indexURL: `${folder}/` });
const read = (name) => new Uint8Array(readFileSync(`${folder}/${name}`));
const extractDir = python.runPython("import site; site.getsitepackages()[0]");
const archives = readdirSync(folder).filter((name) => /\.(whl|zip)$/.test(name));
for (const name of archives)
  if (name.endsWith(".whl")) python.unpackArchive(read(name), "wheel", { extractDir });
python.runPython(readFileSync(script, "utf8"));
const files = python.runPython("imported()");
const compiled = python.runPython("lambda archive, *more: compiled(archive.to_bytes(), *more)");
for (const name of archives) {
  const [made, newName] = compiled(read(name), name, files);
  rmSync(`${folder}/${name}`);
  writeFileSync(`${folder}/${newName}`, made.toJs());
}

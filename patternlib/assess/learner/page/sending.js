// A file on its way to Python, in parts: a message of the notebook has a size that it may not pass.

export const PART = 1_000_000,
  LARGEST = 40_000_000; // bytes

/** What is wrong with a file before it is read, or ''. */
export function refused(file) {
  if (!file) return "No file came. Choose the photograph with the button.";
  if (file.size > LARGEST)
    return "This file is larger than 40 MB. Choose the photograph as the telephone made it.";
  if (!file.size) return "This file is empty. Copy the photograph to this computer again.";
  return "";
}

/** Send a file; send(what, buffer) sends one part. */
export async function sendFile(file, send) {
  const data = await file.arrayBuffer(),
    of = Math.ceil(data.byteLength / PART);
  for (let part = 0; part < of; part += 1)
    send({ part, of, name: file.name.slice(0, 80) }, data.slice(part * PART, (part + 1) * PART));
  return of;
}

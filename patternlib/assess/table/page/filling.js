// Filling the sentence's places from beside it: a number put into the measure, the pad, things on the paper.

/** Put one of the numbers into the measure; a plus stands between it and what was there. */
export function putNumber(sentence, text, field) {
  const into = field?.measure ? field : sentence.fields.find((f) => f.measure);
  if (!into) {
    sentence.view.announce("This sentence takes no measure.");
    return;
  }
  const { input } = into,
    [a, b] = [input.selectionStart, input.selectionEnd];
  const here = document.activeElement === input,
    whole = into.fresh && here && a === 0 && b === input.value.length;
  const before = (whole ? "" : here ? input.value.slice(0, a) : input.value).trimEnd();
  const after = whole || !here ? "" : input.value.slice(b);
  const sign = !before || /[+−×÷*/(-]$|\bof$/.test(before) ? "" : " +";
  const start = `${before}${sign}${before ? " " : ""}${text}`;
  input.value = start + after;
  sentence.active = into;
  if (!here) sentence.view.focus(into);
  input.setSelectionRange(start.length, start.length);
  into.fit();
  into.wrong(false);
  sentence.typed(into);
}

/** A key of the pad. */
export function pressKey(sentence, sign) {
  const { active } = sentence,
    { input } = active,
    whole = active.fresh && input.selectionStart === 0 && input.selectionEnd === input.value.length;
  if (whole && !"+−×÷)".includes(sign)) input.value = "";
  const text =
    sign === "⌫"
      ? input.value.trimEnd().slice(0, -1).trimEnd()
      : "+−×÷".includes(sign)
        ? `${input.value.trimEnd()} ${sign} `
        : sign === "1/2" && /\d$/.test(input.value)
          ? `${input.value} 1/2`
          : input.value + sign;
  input.value = text;
  input.setSelectionRange(text.length, text.length);
  active.fit();
  active.wrong(false);
  sentence.typed(active);
}

/** Take what was tapped on the paper into a place; false where no place takes it. */
export function takeThing(sentence, name, kind) {
  const fits = (f) => f?.takes.includes(kind) || (kind === "edge" && f?.takes.includes("line"));
  const field =
    fits(sentence.active) && sentence.active.input.isConnected
      ? sentence.active
      : sentence.fields.find((f) => fits(f) && f.needed);
  if (!field) return false;
  if (field.many) field.choose({ text: name });
  else {
    field.show(name);
    field.wrong(false);
    sentence.typed(field);
    sentence.next(field, false);
  }
  return true;
}

/** Write what the hand does on the paper into the sentence. */
export function fillIn(sentence, verb, parts) {
  if (sentence.verb !== verb) {
    const name = sentence.field("name");
    sentence.start(verb, { keep: name?.touched ? { name: name.text } : {} });
  }
  for (const [field, text] of Object.entries(parts)) {
    const place = sentence.field(field);
    if (place && place.input.value !== text) {
      place.show(text);
      place.wrong(false);
    }
  }
  if ("of0" in parts) sentence.offerName();
  sentence.preview();
}

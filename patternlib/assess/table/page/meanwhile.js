// A comparison with the rule that was overtaken: something was changed while Python compared.

const SAID = "You changed something meanwhile. Compare again.";

/** What to show of a comparison. still: whether all is as it was when Python was asked. */
export const shownOf = (compared, still) => (still ? compared : { lines: [], said: SAID, next: "" });

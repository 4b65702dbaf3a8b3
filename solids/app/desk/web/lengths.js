// A length as a maker types it, for the place of a handle: "33", "33 mm", "3/4 in", "1 1/8 in". Values of keys are read by the
// server, as in a recipe.

export const INCH = 25.4;
const FACTORS = { mm: 1, in: INCH, inch: INCH, inches: INCH, '"': INCH };

// In mm, or null where it is none. A plain number is in the recipe's `units`.
export function lengthOf(text, units) {
  const found = /^\s*(?:(\d+(?:\.\d*)?|\.\d+)(?:[\s-]+(\d+)\/(\d+))?|(\d+)\/(\d+))\s*(mm|in|inch|inches|")?\s*$/.exec(text.replace(/[\u2033\u201d]/, '"'));
  if (!found) return null;
  const [, whole, over, under, top, bottom, unit] = found;
  if (under === "0" || bottom === "0") return null;
  const number = whole === undefined ? top / bottom : Number(whole) + (over ? over / under : 0);
  return number * FACTORS[unit ?? units];
}

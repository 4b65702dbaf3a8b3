// The grip for how many tails there are. It lies in the body of the tail board and says the number; the hand pulls it by about the
// distance between two tails for each, and it springs back when it is let go.

import { put, say, svg } from "./dom.js";

const WIDE = 32, HIGH = 11; // px, half of each

export const isCount = (handle) => /(^|: )tails$/.test(handle.name);

// How far the hand goes for one tail (mm).
export const apart = (handle, drawing) => drawing.width / Math.max(handle.value_mm, 1);

export const countLabel = () => svg("text", { class: "says", "aria-hidden": "true", "font-size": 14 });

// A bar that is pointed at both ends, with the number on it.
export function showCount(node, handle) {
  put(node, "aria-valuemin", 1);
  put(node.querySelector(".knob"), "d", `M${-WIDE - HIGH} 0L${-WIDE} ${-HIGH}H${WIDE}L${WIDE + HIGH} 0L${WIDE} ${HIGH}H${-WIDE}Z`);
  say(node.querySelector(".says"), handle.shown);
}

// How many were typed; null where it is no whole number.
export const countOf = (text) => (/^\d{1,4}( tails?)?$/.test(text) ? Number.parseInt(text, 10) : null);

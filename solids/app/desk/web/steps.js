// Undo and redo by keys, everywhere but in a line that is being typed in: there the browser takes back what was typed.

// `step` is told "undo" or "redo". Gives a function that ends it.
export function stepKeys(place, step) {
  function keys(event) {
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
    const what = { z: event.shiftKey ? "redo" : "undo", y: "redo" }[event.key.toLowerCase()];
    if (!what || event.target.dataset?.typing) return;
    event.preventDefault();
    step(what);
  }

  const typing = (event) => {
    if (event.target.matches?.("input[type=text]")) event.target.dataset.typing = event.type === "input" ? "yes" : "";
  };
  document.addEventListener("keydown", keys);
  for (const kind of ["input", "change", "focusout"]) place.addEventListener(kind, typing);
  return () => document.removeEventListener("keydown", keys);
}

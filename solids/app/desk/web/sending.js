// Changes on their way to the server: one request at a time, and of a handle that moves only the newest place.

import { ask, Lost } from "./wire.js";

const LEAST = 1e-6; // mm

// One movement of a handle by name, from when it is taken until it is let go: how far the server has moved it (mm),
// and whether it has answered the last of it.
export const movement = (handle) => ({ handle, done: 0, ended: false });

// `name` is the recipe's; `arrived` is told each new state, and `failed` what the server refused.
// `working` is told "saving", "waiting" or "saved".
export function sending({ name, arrived, failed, working }) {
  const line = [];
  let busy = false;

  const path = (what) => `api/piece/${encodeURIComponent(name)}${what}`;

  // Changes of keys, as texts or null.
  function set(changes) {
    const last = line.at(-1);
    if (last?.what === "set") Object.assign(last.changes, changes);
    else line.push({ what: "set", changes: { ...changes } });
    next();
  }

  // A movement `to` so many mm from where it began, to the right or up. While it is `live` a newer place takes the place of
  // one that waits.
  function move(going, to, live) {
    const last = line.at(-1);
    if (last?.going === going) Object.assign(last, { to, live });
    else line.push({ what: "move", going, to, live });
    next();
  }

  // "undo" or "redo".
  function step(what) {
    line.push({ what });
    next();
  }

  async function next() {
    if (busy || !line.length) return;
    const job = line.shift();
    const asked = question(job);
    if (!asked) return next();
    busy = true;
    working("saving");
    let lost = false;
    try {
      const state = await ask(path(`/${job.what}`), asked);
      if (job.going) Object.assign(job.going, { done: job.going.done + asked.by_mm, ended: !job.live });
      arrived(state, job);
    } catch (error) {
      lost = error instanceof Lost;
      // A step back that was not answered may have been done; it is not done twice.
      if (lost && !["undo", "redo"].includes(job.what)) keep(job);
      if (!lost && job.going) job.going.ended = true;
      if (!lost) await refused(error);
    }
    busy = false;
    if (lost) return working("waiting");
    if (!line.length) working("saved");
    next();
  }

  // What is sent again goes first, but a newer wish for the same key or handle stands.
  function keep(job) {
    const [newer] = line;
    if (newer?.what === "set" && job.what === "set") newer.changes = { ...job.changes, ...newer.changes };
    else if (!job.going || newer?.going !== job.going) line.unshift(job);
  }

  async function refused(error) {
    failed(error);
    await fetchNow();
  }

  function question(job) {
    if (job.what === "set") return { changes: job.changes, live: false };
    if (job.what !== "move") return {};
    const by = job.to - job.going.done;
    // The last of a movement is sent even where nothing is left of it, so that the server knows that it has ended.
    return Math.abs(by) < LEAST && job.live ? null : { handle: job.going.handle, by_mm: Number(by.toFixed(6)), live: job.live };
  }

  // Asks for the state as it is, as after a change from elsewhere.
  async function fetchNow() {
    try {
      arrived(await ask(path("")), { what: "look" });
    } catch (error) {
      if (!(error instanceof Lost)) failed(error);
    }
  }

  async function resume() {
    await fetchNow();
    if (line.length) next();
    else working("saved");
  }

  return { set, move, step, fetchNow, resume, idle: () => !busy && !line.length };
}

// Changes on their way to the server: one request at a time, and of a handle that moves only the newest place.

import { ask, Lost } from "./wire.js";

const LEAST = 1e-6; // mm

// One movement of a handle by name, from when it is taken until it is let go: how far the server has moved it (mm), and whether
// it has answered the last of it. `wall` is the nearest place that was refused. A movement goes as near to it as it can, in
// steps of `fine` mm; without them it stays where it was.
export const movement = (handle, fine = 0) => ({ handle, fine, done: 0, ended: false, wall: null });

// Whether a movement that is to come as far as `to` has been stopped before.
export const isStopped = ({ going, to }) => Boolean(going) && going.wall !== null && Math.sign(going.wall - going.done) * (to - going.wall) >= 0;

// `at` is the address of what is changed. `arrived` is told each new state; `failed` what the server refused, and which movement
// that was of, if any; `working` "saving", "waiting" or "saved".
export function sending({ at, arrived, failed, working }) {
  const line = [];
  let busy = false, turn = 0; // how many changes the server has answered

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
    if (last?.going === going) Object.assign(last, { to, live, isTry: false });
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
      const state = await ask(`${at}/${job.what}`, asked);
      turn += 1;
      if (job.going) went(job, asked.by_mm);
      arrived(state, job);
    } catch (error) {
      lost = error instanceof Lost;
      // A step back that was not answered may have been done; it is not done twice.
      if (lost && !["undo", "redo"].includes(job.what)) keep(job);
      if (!lost) await refused(error, job);
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

  function went({ going, live, isTry }, by) {
    Object.assign(going, { done: going.done + by, ended: !live });
    if (isTry) approach(going);
    else if (by) going.wall = null; // it was moved back
  }

  // A place that a handle cannot have changes nothing: it goes on as near to it as it can, and where the movement was over ends there.
  async function refused(error, job) {
    const { going } = job;
    failed(error, going);
    if (!going) return fetchNow();
    if (job.to === going.done) {
      going.ended = true;
      return fetchNow();
    }
    going.wall = job.to;
    if (!job.live) line.unshift(job);
    return approach(going);
  }

  function approach(going) {
    const { wall, done, fine } = going;
    if (!fine || Math.abs(wall - done) < 1.5 * fine) return;
    line.unshift({ what: "move", going, to: done + Math.round((wall - done) / 2 / fine) * fine, live: true, isTry: true });
  }

  function question(job) {
    if (job.what === "set") return { changes: job.changes, live: false };
    if (job.what !== "move") return {};
    if (isStopped(job)) job.to = job.going.done;
    const by = job.to - job.going.done;
    // The last of a movement is sent even where nothing is left of it, so that the server knows that it has ended.
    return Math.abs(by) < LEAST && job.live ? null : { handle: job.going.handle, by_mm: Number(by.toFixed(6)), live: job.live };
  }

  // Asks for the state as it is, as after a change from elsewhere. Where a change was answered meanwhile, it asks again, as
  // what it heard may be older.
  async function fetchNow() {
    const asked = turn;
    try {
      const state = await ask(at);
      if (asked !== turn) return fetchNow();
      arrived(state, { what: "look" });
    } catch (error) {
      if (!(error instanceof Lost)) failed(error);
    }
    return undefined;
  }

  async function resume() {
    await fetchNow();
    if (line.length) next();
    else working("saved");
  }

  // What waits, for the maker; `named` gives the words of a key.
  function words(named) {
    const texts = line.flatMap((job) => (job.changes ? Object.entries(job.changes).map(([key, text]) => `${named(key)} ${text ?? "left to the tool"}`) : job.going ? [job.going.handle] : []));
    return [...new Set(texts)].join(", ");
  }

  return { set, move, step, fetchNow, resume, words, idle: () => !busy && !line.length };
}

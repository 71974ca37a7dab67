const PATIENCE_MS = 5400; // told within six seconds, by the looks in between
const PING_MS = 1500;
const LOOK_MS = 400;

/**
 * Carry wishes to Python, one at a time and in order. A wish may be a function, asked as its
 * turn comes: what was in hand may be called otherwise by then.
 *
 * What a wish brings as `content`, bytes of a file, goes beside its words.
 *
 * Wishes with the same key that still wait their turn give way to the newest, so a
 * drag never piles up. `onsaid`, if given, takes the complaint ("" for none) in the place
 * of the banner: as it is said beside a field, then as it is said where it stands alone.
 */
export function wire(model) {
  const waiting = [];
  let number = 0;
  let open = 0;
  let answer = null;
  let matter = "";

  function next() {
    if (open || !waiting.length) return;
    const { wish, onsaid } = waiting.shift();
    open = ++number;
    answer = onsaid;
    try {
      const { content, ...words } = typeof wish === "function" ? wish() : wish;
      matter = matterOf(words);
      model.send({ ...words, number }, undefined, content ? [content] : undefined);
    } catch {
      open = 0; // the line is gone; `listen` says so in words
    }
  }

  function ask(wish, key = "", onsaid = null) {
    const same = key && waiting.findIndex((w) => w.key === key);
    if (key && same >= 0) waiting[same] = { wish, key, onsaid };
    else waiting.push({ wish, key, onsaid });
    next();
  }

  function answered(message) {
    if (message.answered !== open) return;
    open = 0;
    if (answer) message.taken = true;
    message.matter = matter;
    answer?.(message.beside, message.complaint);
    next();
  }

  model.on("msg:custom", answered);
  return { ask, close: () => model.off("msg:custom", answered) };
}

/** What a wish is about: the field or the kind of thing, else itself, done or undone. */
const matterOf = ({ do: does, field, kind }) =>
  `wish ${field ?? kind ?? String(does).replace(/_off$|^un(?=sign)/, "")}`;

/** Ask now and then whether Python still answers; tell when it stops and when it is back. */
export function listen(model, onlost, onback) {
  let heard = Date.now();
  let looked = Date.now();
  let lost = false;

  function pong(message) {
    if (!message.pong) return;
    heard = Date.now();
    if (lost) {
      lost = false;
      onback();
    }
  }

  function ping() {
    try {
      model.send({ do: "ping" });
    } catch {
      // no line to send on: the silence tells
    }
  }

  function look() {
    // A page that itself stood still, while a file was chosen or a picture taken, heard nothing.
    if (Date.now() - looked > PATIENCE_MS / 2) heard = Date.now();
    looked = Date.now();
    if (!lost && Date.now() - heard > PATIENCE_MS) {
      lost = true;
      onlost();
    }
  }

  // A tab that slept hears nothing for a while; that is not the other side's silence.
  const woken = () => (heard = Date.now());
  document.addEventListener("visibilitychange", woken);
  model.on("msg:custom", pong);
  const timers = [setInterval(ping, PING_MS), setInterval(look, LOOK_MS)];
  return () => {
    timers.forEach(clearInterval);
    document.removeEventListener("visibilitychange", woken);
    model.off("msg:custom", pong);
  };
}

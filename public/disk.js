// Puts bytes down in the place on the disk that is this origin's own: a worker, since it is in one that every browser with
// such a place can write there. One worker a file. What it wrote goes when the page says so; what a window that died left
// behind is swept away by whoever comes next.
"use strict";

const FOLDER = "quarterlight-carried";
/** A file of a window that was closed just now may still be on its way to the downloads. */
const GRACE_MS = 5 * 60_000;

const lockOf = (name) => `${FOLDER}/${name}`;
const folder = async () => (await navigator.storage.getDirectory()).getDirectoryHandle(FOLDER, { create: true });

let name;
let writing;

/** Removes what no window holds any more; true if something of it is too young to go now. */
const sweep = async () => {
  const place = await folder();
  const names = [];
  for await (const found of place.keys()) names.push(found);
  // A file's name begins with when it was begun.
  const isYoung = (found) => Math.abs(Date.now() - Number.parseInt(found, 10)) < GRACE_MS;
  for (const found of names.filter((found) => !isYoung(found))) {
    const remove = (lock) => lock && place.removeEntry(found);
    await (navigator.locks?.request(lockOf(found), { ifAvailable: true }, remove) ?? remove(found !== name));
  }
  return names.some(isYoung);
};

const acts = {
  sweep: async () => {
    while (await sweep()) await new Promise((next) => setTimeout(next, GRACE_MS));
    self.close();
  },

  begin: async () => {
    // What cannot be removed now takes up room only.
    await sweep().catch(() => false);
    name = `${Date.now()}-${Math.random().toString(36).slice(2)}`;
    // Held as long as this worker lives.
    await new Promise((held) => {
      const hold = () => new Promise(() => held());
      navigator.locks?.request(lockOf(name), hold).catch(held) ?? held();
    });
    const file = await (await folder()).getFileHandle(name, { create: true });
    writing = await file.createSyncAccessHandle();
  },

  /** Writes a piece, and tells the SHA-256 of what the disk then gives back. The buffer goes back, too, to be used again. */
  put: async ({ buffer, length, at }) => {
    const bytes = new Uint8Array(buffer, 0, length);
    const written = writing.write(bytes, { at });
    bytes.fill(0);
    const read = writing.read(bytes, { at });
    if (written !== length || read !== length) throw new Error("the disk did not take all of it");
    return { sha256: new Uint8Array(await crypto.subtle.digest("SHA-256", bytes)), buffer };
  },

  end: async () => {
    await writing.flush();
    await writing.close();
    writing = undefined;
    return (await (await folder()).getFileHandle(name)).getFile();
  },

  remove: async () => {
    try {
      await writing?.close();
      if (name) await (await folder()).removeEntry(name);
    } finally {
      self.close();
    }
  },
};

let last = Promise.resolve();

self.addEventListener("message", ({ data }) => {
  // One after the other, whatever waits for the disk.
  last = last
    .then(() => acts[data.act](data))
    .then(
      (done) => self.postMessage({ done }, done?.buffer ? [done.buffer] : []),
      (fault) => self.postMessage({ fault: String(fault?.message ?? fault) }),
    );
});

// Keeps a second copy of every survey's log beside the app's database, in the place on the disk that is this origin's own:
// a browser that finds its database damaged throws it away whole, and this place stays. What the database lacks is brought
// back from here; what this place lacks is copied from there.
//
// A folder a survey; in it files that only grow, one of each session and one for whatever was there before. A file is a row
// of frames: a mark, how many bytes follow and their CRC-32, then those bytes, which are the records of one transaction. What
// was torn off in the middle does not count, nor does anything behind it in that file.
"use strict";

const FOLDER = "quarterlight-second";
const DATABASE = "quarterlight";
const MARK = 0x514c3201;
const HEAD = 12;
/** How much is read at once, and about how much is written at once, bytes. */
const PIECE = 1 << 20;
/** How many records one frame or one transaction has at most, where all are copied. */
const RECORDS = 500;
/** A session's file is let go when nothing came for so long, since others can neither read nor remove it meanwhile. */
const QUIET_MS = 1_000;
/** With more files than this a survey's are made one. */
const FILES = 32;

const CRC = Uint32Array.from({ length: 256 }, (_, n) => {
  for (let bit = 0; bit < 8; bit += 1) n = n & 1 ? 0xedb88320 ^ (n >>> 1) : n >>> 1;
  return n >>> 0;
});
const crc32 = (bytes) => {
  let crc = 0xffffffff;
  for (let at = 0; at < bytes.length; at += 1) crc = CRC[(crc ^ bytes[at]) & 0xff] ^ (crc >>> 8);
  return (crc ^ 0xffffffff) >>> 0;
};

// ---- Frames

/** One frame of records: of each the writer, its number, and the entry's bytes, whatever they are. */
const framed = (records) => {
  const writers = records.map(({ writer }) => new TextEncoder().encode(writer));
  const length = records.reduce((sum, { bytes }, nth) => sum + 2 + writers[nth].length + 8 + 4 + bytes.length, 0);
  const frame = new Uint8Array(HEAD + length);
  const view = new DataView(frame.buffer);
  let at = HEAD;
  for (const [nth, { n, bytes }] of records.entries()) {
    view.setUint16(at, writers[nth].length);
    frame.set(writers[nth], at + 2);
    at += 2 + writers[nth].length;
    view.setFloat64(at, n);
    view.setUint32(at + 8, bytes.length);
    frame.set(bytes, at + 12);
    at += 12 + bytes.length;
  }
  view.setUint32(0, MARK);
  view.setUint32(4, length);
  view.setUint32(8, crc32(frame.subarray(HEAD)));
  return frame;
};

/** The records of a frame that is whole. */
const recordsIn = (bytes) => {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const records = [];
  for (let at = 0; at < bytes.length; ) {
    const name = view.getUint16(at);
    const writer = new TextDecoder().decode(bytes.subarray(at + 2, at + 2 + name));
    at += 2 + name;
    const length = view.getUint32(at + 8);
    records.push({ writer, n: view.getFloat64(at), bytes: bytes.slice(at + 12, at + 12 + length) });
    at += 12 + length;
  }
  return records;
};

/** The whole frames of a file, up to the first that is not. */
async function* framesOf(file) {
  let size = PIECE;
  for (let from = 0; from < file.size; ) {
    const bytes = new Uint8Array(await file.slice(from, from + size).arrayBuffer());
    const view = new DataView(bytes.buffer);
    let at = 0;
    let end = 0;
    while (at + HEAD <= bytes.length) {
      if (view.getUint32(at) !== MARK) return;
      end = at + HEAD + view.getUint32(at + 4);
      if (end > bytes.length) break;
      const frame = bytes.subarray(at + HEAD, end);
      if (crc32(frame) !== view.getUint32(at + 8)) return;
      yield frame;
      at = end;
    }
    if (at === 0) {
      // Nothing whole in this piece: the frame is longer, or torn.
      if (from + Math.max(end, HEAD) > file.size) return;
      size = Math.max(end, size);
    } else {
      from += at;
      size = PIECE;
    }
  }
}

// ---- The place on the disk

const place = async () => (await navigator.storage.getDirectory()).getDirectoryHandle(FOLDER, { create: true });
const isMissing = (fault) => fault?.name === "NotFoundError";

/** A survey's folder; nothing if there is none. */
const folderOf = async (survey, create = false) => {
  try {
    return await (await place()).getDirectoryHandle(survey, { create });
  } catch (fault) {
    if (!create && isMissing(fault)) return undefined;
    throw fault;
  }
};

const filesOf = async (survey) => {
  const folder = await folderOf(survey);
  const files = [];
  if (folder) for await (const [name, handle] of folder.entries()) files.push([name, handle]);
  return files;
};

/** Every whole record of a survey, a frame at a time. */
async function* keptOf(survey) {
  for (const [, handle] of await filesOf(survey)) {
    for await (const frame of framesOf(await handle.getFile())) yield recordsIn(frame);
  }
}

/** How many whole records of a survey there are, and whether its files are a few whole ones. */
const look = async (survey) => {
  const files = await filesOf(survey);
  let n = 0;
  let isTidy = files.length <= FILES;
  for (const [, handle] of files) {
    const file = await handle.getFile();
    let end = 0;
    for await (const frame of framesOf(file)) {
      n += recordsIn(frame).length;
      end += HEAD + frame.length;
    }
    isTidy &&= end === file.size;
  }
  return { n, isTidy };
};

/** The files that this worker appends to: by survey, each one's name, and its handle while it is held. */
const sessions = new Map();

const newName = () => `${Date.now()}-${Math.random().toString(36).slice(2)}`;

const openFile = async (survey, name) => {
  const folder = await folderOf(survey, true);
  const handle = await (await folder.getFileHandle(name, { create: true })).createSyncAccessHandle();
  return { handle, at: handle.getSize() };
};

const append = (file, records) => {
  const frame = framed(records);
  if (file.handle.write(frame, { at: file.at }) !== frame.length) {
    file.handle.truncate(file.at);
    throw new Error("the disk did not take all of it");
  }
  file.at += frame.length;
};

const letGo = async (survey) => {
  const session = sessions.get(survey);
  const file = session?.file;
  if (!file) return;
  clearTimeout(session.timer);
  session.file = undefined;
  await file.handle.flush();
  await file.handle.close();
};

// ---- The database

const done = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

/** Does something with the app's database, which this worker never makes. */
const withDatabase = async (work) => {
  const asked = indexedDB.open(DATABASE);
  asked.onupgradeneeded = () => asked.transaction.abort();
  const database = await done(asked);
  database.onversionchange = () => database.close();
  try {
    return await work(database);
  } finally {
    database.close();
  }
};

const rangeOf = (survey) => IDBKeyRange.bound([survey], [survey, []], false, true);

const twinsOf = async (twins, survey) => (await done(twins.getAll())).filter((twin) => twin.survey === survey);

const countOf = async (database, survey) => {
  const reading = database.transaction(["entries", "twins"]);
  const [n, twins] = await Promise.all([
    done(reading.objectStore("entries").count(rangeOf(survey))),
    twinsOf(reading.objectStore("twins"), survey),
  ]);
  return n + twins.length;
};

const same = (some, others) => some.length === others.length && some.every((byte, at) => byte === others[at]);

/** Whether an entry's bytes can be read without a key: only of those can two be told apart. */
const isPlain = (bytes) => bytes[0] === "{".charCodeAt(0);

/** Adds the records that are not there, and those of which other bytes are there as twins; says how many. */
const bringIn = async (database, survey, records) => {
  const writing = database.transaction(["entries", "twins"], "readwrite", { durability: "strict" });
  const ended = new Promise((resolve, reject) => {
    writing.oncomplete = resolve;
    writing.onabort = () => reject(writing.error);
  });
  // Whoever waits for a request that fails hears of it there, too.
  ended.catch(() => {});
  const [entries, twins] = [writing.objectStore("entries"), writing.objectStore("twins")];
  const there = await Promise.all(records.map(({ writer, n }) => done(entries.get([survey, writer, n]))));
  let brought = 0;
  for (const [nth, record] of records.entries()) {
    const known = there[nth] ?? (await done(entries.get([survey, record.writer, record.n])));
    if (known && (same(known.bytes, record.bytes) || !isPlain(known.bytes) || !isPlain(record.bytes))) continue;
    if (known) {
      const others = (await twinsOf(twins, survey)).filter(({ writer, n }) => writer === record.writer && n === record.n);
      if (others.some(({ bytes }) => same(bytes, record.bytes))) continue;
    }
    await done((known ? twins : entries).add({ survey, ...record }));
    brought += 1;
  }
  await ended;
  return brought;
};

const bringBack = async (database, survey) => {
  let brought = 0;
  for await (const records of keptOf(survey)) brought += await bringIn(database, survey, records);
  return brought;
};

/** Copies everything that the database has of a survey into one new file, and removes the others. */
const renew = async (database, survey) => {
  await letGo(survey);
  sessions.delete(survey);
  const old = await filesOf(survey);
  const file = await openFile(survey, newName());
  try {
    let after = [survey];
    for (;;) {
      const range = IDBKeyRange.bound(after, [survey, []], true, true);
      const some = await done(database.transaction("entries").objectStore("entries").getAll(range, RECORDS));
      if (some.length === 0) break;
      append(file, some);
      const { writer, n } = some.at(-1);
      after = [survey, writer, n];
    }
    const twins = await twinsOf(database.transaction("twins").objectStore("twins"), survey);
    if (twins.length > 0) append(file, twins);
    await file.handle.flush();
  } finally {
    await file.handle.close();
  }
  const folder = await folderOf(survey);
  // One that another window holds goes another time.
  for (const [name] of old) await folder.removeEntry(name).catch(() => {});
};

// ---- What the page asks for

const acts = {
  /** Whether there is such a place. */
  look: async () => Boolean(await place()),

  /** Writes what the page is writing into its database at the same time. */
  add: async ({ survey, records }) => {
    let session = sessions.get(survey);
    if (!session) sessions.set(survey, (session = { name: newName() }));
    clearTimeout(session.timer);
    session.file ??= await openFile(survey, session.name);
    append(session.file, records);
    session.timer = setTimeout(() => inTurn(() => letGo(survey)).catch(() => {}), QUIET_MS);
  },

  /** Copies a survey anew. */
  renew: ({ survey }) => withDatabase((database) => renew(database, survey)),

  /** Brings database and copy into step; says how many records came back into the database. */
  step: async ({ survey }) => {
    await letGo(survey);
    const { n, isTidy } = await look(survey);
    return withDatabase(async (database) => {
      const there = await countOf(database, survey);
      const brought = n > 0 && n !== there ? await bringBack(database, survey) : 0;
      if (there + brought > 0 && (n !== there + brought || !isTidy)) await renew(database, survey);
      return brought;
    });
  },

  /** Brings back the surveys of which the database has nothing; gives each one's name and how many records came. */
  restore: () =>
    withDatabase(async (database) => {
      const restored = [];
      for await (const survey of (await place()).keys()) {
        if ((await countOf(database, survey)) > 0) continue;
        const brought = await bringBack(database, survey);
        if (brought > 0) restored.push([survey, brought]);
      }
      return restored;
    }),

  /** Removes a survey's copy: it must not outlive the survey, nor lie there readable when that is locked. */
  remove: async ({ survey }) => {
    await letGo(survey);
    sessions.delete(survey);
    for (let trial = 1; ; trial += 1) {
      try {
        return await (await place()).removeEntry(survey, { recursive: true });
      } catch (fault) {
        if (isMissing(fault)) return undefined;
        // Another window lets go of its file when it has been quiet for a while.
        if (trial === 5) throw fault;
        await new Promise((next) => setTimeout(next, QUIET_MS));
      }
    }
  },
};

let last = Promise.resolve();
/** One after the other: two at once would write over each other. */
const inTurn = (work) => {
  const turn = last.then(work);
  last = turn.catch(() => {});
  return turn;
};

self.addEventListener("message", ({ data }) => {
  inTurn(() => acts[data.act](data)).then(
    (done) => self.postMessage({ id: data.id, done }),
    (fault) => self.postMessage({ id: data.id, fault: String(fault?.message ?? fault) }),
  );
});

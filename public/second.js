// Keeps a second copy of every survey's log beside the app's database, in the place on the disk that is this origin's own:
// a browser that finds its database damaged throws it away whole, and this place stays. What the database lacks is brought
// back from here; what this place lacks is copied from there.
//
// A folder a survey; in it files that only grow, one of each session, until many are made one. A file is a row
// of frames: a mark, how many bytes follow and their CRC-32, then those bytes, which are the records of one transaction. What
// was torn off in the middle does not count, nor does anything behind it in that file.
//
// Photographs are not copied, since they would take their room twice: they move. Each becomes a file of its own, and when that
// is on the disk for good, the database's record goes.
"use strict";

const FOLDER = "quarterlight-second";
const DATABASE = "quarterlight";
/** What the page takes for an empty place. */
const NO_PLACE = "no place for a copy";
const MARK = 0x514c3201;
const HEAD = 12;
/** How much is read at once, bytes. */
const PIECE = 1 << 20;
/** How many records one frame or one transaction has at most, where many are copied. */
const RECORDS = 500;
/** A session's file is let go when nothing came for so long, since others can neither read nor remove it meanwhile. */
const QUIET_MS = 1_000;
/** With more files than this, or more records that stand twice, a survey's files are made one. */
const FILES = 32;
const TWICE = 1_000;
/** How long the database may take to open: another window may be making it anew. */
const OPENING_MS = 10_000;

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

const WORDS = new TextDecoder();
/** The records of a whole frame. */
const recordsIn = (bytes) => {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const records = [];
  for (let at = 0; at < bytes.length; ) {
    const n = at + 2 + view.getUint16(at);
    const end = n + 12 + view.getUint32(n + 8);
    const writer = WORDS.decode(bytes.subarray(at + 2, n));
    records.push({ writer, n: view.getFloat64(n), bytes: bytes.slice(n + 12, end) });
    at = end;
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
const orNothing = (fault) => {
  if (isMissing(fault)) return undefined;
  throw fault;
};

/** A survey's folder; nothing if there is none. */
const folderOf = async (survey, create = false) => {
  const found = (await place()).getDirectoryHandle(survey, { create });
  return create ? found : found.catch(orNothing);
};

const filesOf = async (survey) => {
  const folder = await folderOf(survey);
  const files = [];
  if (folder) for await (const [name, handle] of folder.entries()) files.push([name, handle]);
  return files;
};

/** The files that this worker appends to: by survey, each one's name, and its handle while it is held. */
const sessions = new Map();

const newName = () => `${Date.now()}-${Math.random().toString(36).slice(2)}`;

const openFile = async (survey, name) => {
  const folder = await folderOf(survey, true);
  const handle = await (await folder.getFileHandle(name, { create: true })).createSyncAccessHandle();
  return { handle, at: await handle.getSize() };
};

const append = async (file, records) => {
  const frame = framed(records);
  try {
    if (file.handle.write(frame, { at: file.at }) !== frame.length) throw new Error("the disk did not take all of it");
    file.at += frame.length;
  } catch (fault) {
    // Nothing behind a torn frame would count.
    await file.handle.truncate(file.at);
    throw fault;
  }
};

const close = async (file) => {
  try {
    await file.handle.flush();
  } finally {
    await file.handle.close();
  }
};

/** Lets a survey's session file go; the next record opens it again. */
const letGo = async (survey) => {
  const session = sessions.get(survey);
  const file = session?.file;
  if (!file) return;
  clearTimeout(session.timer);
  session.file = undefined;
  await close(file);
};

/** Writes records to the file of this session. */
const write = async (survey, records) => {
  let session = sessions.get(survey);
  if (!session) sessions.set(survey, (session = { name: newName() }));
  clearTimeout(session.timer);
  try {
    session.file ??= await openFile(survey, session.name);
    await append(session.file, records);
  } catch (fault) {
    // Nothing is to stand behind what may be torn: the next has a file of its own.
    await letGo(survey).catch(() => {});
    sessions.delete(survey);
    throw fault;
  } finally {
    session.timer = setTimeout(() => inTurn(() => letGo(survey)).catch(() => {}), QUIET_MS);
  }
};

/** Removes a file that is as long as it was, unless another window holds it: what that one wrote meanwhile is nowhere else. */
const removeIfSame = async (survey, name, size) => {
  const folder = await folderOf(survey);
  const handle = await (await folder.getFileHandle(name)).createSyncAccessHandle();
  const now = await handle.getSize();
  await handle.close();
  if (now === size) await folder.removeEntry(name);
};

// ---- What the copy has

/** Whether an entry's bytes can be read without a key. */
const isPlain = (bytes) => bytes[0] === "{".charCodeAt(0);
/** How sealed bytes begin that were sealed with one key: a mark, its salt and its rounds. */
const OF_KEY = 21;
const same = (some, others) => {
  if (some.length !== others.length) return false;
  // A photograph has a million of them.
  for (let at = 0; at < some.length; at += 1) if (some[at] !== others[at]) return false;
  return true;
};
/** Whether other bytes are another entry, and not the same one behind another lock or none. */
const isComparable = (some, others) =>
  isPlain(some) === isPlain(others) && (isPlain(some) || same(some.subarray(0, OF_KEY), others.subarray(0, OF_KEY)));

const idOf = ({ writer, n }) => `${writer}/${n}`;

/** A file that gives its last byte; nothing where it does not: another window writes in it, or its bytes are gone. */
const readable = async (handle) => {
  try {
    const file = await handle.getFile();
    await file.slice(Math.max(file.size - 1, 0)).arrayBuffer();
    return file;
  } catch {
    return undefined;
  }
};

/** What there is of a survey: of each id the sums of its bytes, how many records, whether the files are whole and few, how
 * long each is, and whether something is readable and something sealed. */
const look = async (survey) => {
  const found = { ids: new Map(), n: 0, isTidy: true, sizes: new Map(), plain: false, sealed: false };
  for (const [name, handle] of await filesOf(survey)) {
    const file = await readable(handle);
    // It stays as it is: it may be read another time.
    if (!file) continue;
    let end = 0;
    for await (const frame of framesOf(file)) {
      for (const record of recordsIn(frame)) {
        const [id, sum] = [idOf(record), crc32(record.bytes)];
        const known = found.ids.get(id);
        if (!known) found.ids.set(id, [sum]);
        else if (!known.includes(sum)) known.push(sum);
        found.n += 1;
        found[isPlain(record.bytes) ? "plain" : "sealed"] = true;
      }
      end += HEAD + frame.length;
    }
    found.sizes.set(name, file.size);
    found.isTidy &&= end === file.size;
  }
  found.isTidy &&= found.sizes.size <= FILES && found.n <= 2 * found.ids.size + TWICE && !(found.plain && found.sealed);
  return found;
};

/** The records that are wanted, so many at a time. */
async function* keptOf(survey, isWanted) {
  let some = [];
  for (const [, handle] of await filesOf(survey)) {
    const file = await readable(handle);
    if (!file) continue;
    for await (const frame of framesOf(file)) {
      some.push(...recordsIn(frame).filter(isWanted));
      if (some.length >= RECORDS) yield some.splice(0);
    }
  }
  if (some.length > 0) yield some;
}

// ---- The database

const done = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = (event) => {
      event.preventDefault();
      reject(request.error);
    };
  });

/** Does something with the app's database, which this worker never makes. */
const withDatabase = async (work) => {
  const asked = indexedDB.open(DATABASE);
  asked.onupgradeneeded = () => asked.transaction.abort();
  const opened = done(asked);
  const late = new Promise((_, reject) => setTimeout(reject, OPENING_MS, new Error("the database does not answer")));
  const database = await Promise.race([opened, late]).catch((fault) => {
    // It must not stay open once it does answer.
    opened.then((database) => database.close()).catch(() => {});
    throw fault;
  });
  database.onversionchange = () => database.close();
  try {
    return await work(database);
  } finally {
    database.close();
  }
};

const rangeOf = (survey) => IDBKeyRange.bound([survey], [survey, []], false, true);
const twinsOf = async (twins, survey) => (await done(twins.getAll())).filter((twin) => twin.survey === survey);

/** The ids of a survey's entries, and its twins. */
const thereOf = async (database, survey) => {
  const reading = database.transaction(["entries", "twins"]);
  const [keys, twins] = await Promise.all([
    done(reading.objectStore("entries").getAllKeys(rangeOf(survey))),
    twinsOf(reading.objectStore("twins"), survey),
  ]);
  return { keys: keys.map(([, writer, n]) => ({ writer, n })), twins };
};

/** Adds the records that are not there, and those of which other bytes are there as twins; says how many. `known` are the ids that
 * were there when it was looked, and those that came since. The copy still has them: the disk need not be waited for. */
const bringIn = async (database, survey, records, known) => {
  const writing = database.transaction(["entries", "twins"], "readwrite", { durability: "relaxed" });
  const ended = new Promise((resolve, reject) => {
    writing.oncomplete = resolve;
    writing.onabort = () => reject(writing.error);
  });
  // Whoever waits for a request that fails hears of it there, too.
  ended.catch(() => {});
  const [entries, twins] = [writing.objectStore("entries"), writing.objectStore("twins")];
  const isAdded = async (record) => {
    if (known.has(idOf(record))) return false;
    known.add(idOf(record));
    try {
      await done(entries.add({ survey, ...record }));
      return true;
    } catch (fault) {
      // It was written meanwhile.
      if (fault?.name === "ConstraintError") return false;
      throw fault;
    }
  };
  const added = await Promise.all(records.map(isAdded));
  const left = records.filter((_, nth) => !added[nth]);
  let brought = records.length - left.length;
  if (left.length > 0) {
    const [there, others] = await Promise.all([
      Promise.all(left.map(({ writer, n }) => done(entries.get([survey, writer, n])))),
      twinsOf(twins, survey),
    ]);
    for (const [nth, record] of left.entries()) {
      const [first, id, bytes] = [there[nth]?.bytes, idOf(record), record.bytes];
      // It was deleted meanwhile.
      if (!first) continue;
      const isKnown = same(first, bytes) || others.some((other) => idOf(other) === id && same(other.bytes, bytes));
      if (isKnown || !isComparable(first, bytes)) continue;
      twins.add({ survey, ...record });
      others.push(record);
      brought += 1;
    }
  }
  await ended;
  return brought;
};

/** Copies the entries of these ids, and some twins. */
const copy = async (database, survey, ids, twins, into) => {
  for (let at = 0; at < ids.length; at += RECORDS) {
    const entries = database.transaction("entries").objectStore("entries");
    const asked = ids.slice(at, at + RECORDS).map(({ writer, n }) => done(entries.get([survey, writer, n])));
    const found = (await Promise.all(asked)).filter(Boolean);
    if (found.length > 0) await into(found);
  }
  if (twins.length > 0) await into(twins);
};

/** Makes one file of everything that the database has, and removes those that were there. */
const makeOne = async (database, survey, old) => {
  await letGo(survey);
  sessions.delete(survey);
  const { keys, twins } = await thereOf(database, survey);
  const name = newName();
  const file = await openFile(survey, name);
  try {
    await copy(database, survey, keys, twins, (records) => append(file, records));
    await close(file);
  } catch (fault) {
    // Half a copy beside the others takes up room only.
    await Promise.resolve(file.handle.close()).catch(() => {});
    await (await folderOf(survey))?.removeEntry(name).catch(() => {});
    throw fault;
  }
  for (const [name, size] of old) await removeIfSame(survey, name, size).catch(() => {});
};

/** Brings database and copy into step: first what the database lacks, then what the copy lacks. */
const step = async (database, survey) => {
  await letGo(survey);
  // The database first: what is answered meanwhile is copied twice rather than taken for lost.
  const there = await thereOf(database, survey);
  const copied = await look(survey);
  const [known, sums] = [new Set(there.keys.map(idOf)), new Map()];
  for (const twin of there.twins) sums.set(idOf(twin), [...(sums.get(idOf(twin)) ?? []), crc32(twin.bytes)]);
  const isWanted = (record) => {
    const id = idOf(record);
    // Of an id that stands there with other bytes it is looked closer which of them are twins.
    return !known.has(id) || (copied.ids.get(id)?.length ?? 0) > 1 + (sums.get(id)?.length ?? 0);
  };
  const lacks = [...copied.ids].some(([id, own]) => !known.has(id) || own.length > 1 + (sums.get(id)?.length ?? 0));
  let brought = 0;
  if (lacks) for await (const records of keptOf(survey, isWanted)) brought += await bringIn(database, survey, records, known);
  // What came back is told, whatever goes wrong with the copy.
  await fillUp(database, survey, there, copied).catch((fault) => {
    if (brought === 0) throw fault;
  });
  return brought;
};

/** Copies what the copy lacks, and makes one of its files where they are many, torn, or of another lock. */
const fillUp = async (database, survey, there, copied) => {
  const isNew = (record) => !copied.ids.get(idOf(record))?.includes(crc32(record.bytes));
  const ids = there.keys.filter((key) => !copied.ids.has(idOf(key)));
  await copy(database, survey, ids, there.twins.filter(isNew), (records) => write(survey, records));
  if (!copied.isTidy || (copied.n > 0 && (await isLockedOtherwise(database, survey, there.keys[0], copied)))) {
    await makeOne(database, survey, copied.sizes);
  }
};

/** Whether the copy lies there readable and the survey is locked, or the other way round. */
const isLockedOtherwise = async (database, survey, first, copied) => {
  if (!first) return false;
  const { writer, n } = first;
  const entry = await done(database.transaction("entries").objectStore("entries").get([survey, writer, n]));
  return Boolean(entry) && (isPlain(entry.bytes) ? copied.sealed : copied.plain);
};

/** The surveys of which there is a copy and no entry in the database. */
const missingIn = async (database) => {
  const surveys = [];
  for await (const survey of (await place()).keys()) surveys.push(survey);
  const entries = () => database.transaction("entries").objectStore("entries");
  const counted = await Promise.all(surveys.map((survey) => done(entries().count(rangeOf(survey)))));
  return surveys.filter((_, nth) => counted[nth] === 0);
};

// ---- Photographs

const PICTURES = "quarterlight-photos";
/** What a file's name ends in while it is being written. */
const UNDONE = ".part";
/** How long a photograph's file is there before the database's record of it goes: until then the disk has the folder, too. */
const SETTLED_MS = 60_000;

const picturesOf = async (survey) => {
  const root = await navigator.storage.getDirectory();
  return (await root.getDirectoryHandle(PICTURES, { create: true })).getDirectoryHandle(survey, { create: true });
};

/** What a file gives back is read into here: a megabyte thrown away each time stays until somebody clears up. */
let spare = new Uint8Array(0);
const roomFor = (length) => {
  if (spare.length < length) spare = new Uint8Array(length + PIECE);
  return spare.subarray(0, length);
};

/** Writes a photograph and reads it back; it has its name when all of it is on the disk. */
const writePicture = async (folder, name, bytes) => {
  const part = await folder.getFileHandle(name + UNDONE, { create: true });
  // Whoever else is writing it holds it, and this fails.
  const writing = await part.createSyncAccessHandle();
  try {
    try {
      await writing.truncate(0);
      const back = roomFor(bytes.length);
      const written = writing.write(bytes, { at: 0 });
      await writing.flush();
      if (written !== bytes.length || writing.read(back, { at: 0 }) !== written || !same(back, bytes))
        throw new Error("the disk did not take all of it");
    } finally {
      await writing.close();
    }
    await folder.removeEntry(name).catch(orNothing);
    await part.move(name);
  } catch (fault) {
    // What stays of it takes up room until the next time.
    await folder.removeEntry(name + UNDONE).catch(() => {});
    throw fault;
  }
};

/** The bytes of a photograph's file, and whether they are there for good; nothing where there is no such file. */
const pictureIn = async (folder, name) => {
  const handle = await folder.getFileHandle(name).catch(orNothing);
  const file = await handle?.getFile();
  if (!file) return undefined;
  const isYoung = Math.abs(Date.now() - file.lastModified) < SETTLED_MS;
  return { bytes: new Uint8Array(await file.arrayBuffer()), isYoung };
};

/** Removes a photograph from the database, unless it is another by now: the survey was locked meanwhile, say. */
const removeRecord = async (database, key, bytes) => {
  const writing = database.transaction("photos", "readwrite", { durability: "relaxed" });
  const ended = new Promise((resolve, reject) => {
    writing.oncomplete = resolve;
    writing.onabort = () => reject(writing.error);
  });
  const photos = writing.objectStore("photos");
  const now = await done(photos.get(key));
  if (now && same(now.bytes, bytes)) photos.delete(key);
  await ended;
};

/** A photograph's file, and the CRC-32 and SHA-256 of what it gives. */
const sumsOf = async ([handle, reading]) => {
  let sums;
  try {
    const bytes = roomFor(await reading.getSize());
    if (reading.read(bytes, { at: 0 }) !== bytes.length) throw new Error("the disk did not give all of it");
    sums = [crc32(bytes), new Uint8Array(await crypto.subtle.digest("SHA-256", bytes))];
  } finally {
    await reading.close();
  }
  return [await handle.getFile(), ...sums];
};

/** Moves one photograph a step further; whether the database has it still, since its file is young. */
const moveOne = async (database, folder, key) => {
  const photos = () => database.transaction("photos").objectStore("photos");
  const record = await done(photos().get(key));
  if (!record) return false;
  const there = await pictureIn(folder, record.sha256);
  const isThere = there !== undefined && same(there.bytes, record.bytes);
  if (isThere && !there.isYoung) await removeRecord(database, key, record.bytes);
  if (isThere) return there.isYoung;
  await writePicture(folder, record.sha256, record.bytes);
  // It was sealed meanwhile: whoever did that may have looked for a file before there was this one.
  const now = await done(photos().get(key));
  if (now && !same(now.bytes, record.bytes)) await folder.removeEntry(record.sha256).catch(orNothing);
  return true;
};

/** Moves a survey's photographs out of the database; says how many are in it still, since their files are young. */
const settle = async (database, survey) => {
  const keys = await done(database.transaction("photos").objectStore("photos").getAllKeys(rangeOf(survey)));
  if (keys.length === 0) return 0;
  const folder = await picturesOf(survey);
  let young = 0;
  for (const key of keys) {
    // One that cannot be moved stays where it is, and keeps no other.
    if (await moveOne(database, folder, key).catch(() => false)) young += 1;
  }
  return young;
};

/** One window at a time; the other hears that there is something left. */
const settleAlone = (database, survey) => {
  const ifFree = (lock) => (lock ? settle(database, survey) : 1);
  const work = () => settle(database, survey);
  return navigator.locks?.request(`${PICTURES}/${survey}`, { ifAvailable: true }, ifFree) ?? work();
};

// ---- What the page asks for

const acts = {
  /** Whether there is such a place, in which a worker can write. */
  look: async () => {
    await navigator.storage.getDirectory();
    if (!FileSystemFileHandle.prototype.createSyncAccessHandle) throw new Error("a worker cannot write there");
  },

  /** Writes what the page is writing into its database at the same time. */
  add: ({ survey, records }) => write(survey, records),

  /** Brings database and copy of a survey into step; says how many records came back into the database. */
  step: async ({ survey, isHelper }) => {
    const here = () => withDatabase((database) => step(database, survey));
    if (isHelper) return here();
    await letGo(survey);
    return byHelper({ act: "step", survey }, here);
  },

  /** How many surveys there are of which the database has nothing. */
  missing: () => withDatabase(async (database) => (await missingIn(database)).length),

  /** Brings those back; gives each one's name and how many records came. */
  restore: () =>
    withDatabase(async (database) => {
      const restored = [];
      for (const survey of await missingIn(database)) {
        // What is wrong with one survey's copy keeps no other from coming back.
        const brought = await step(database, survey).catch(() => 0);
        if (brought > 0) restored.push([survey, brought]);
      }
      return restored;
    }),

  /** Puts a photograph into a file of its own; the buffer goes back, to be used again. */
  picture: async ({ survey, name, buffer, length }) => {
    await writePicture(await picturesOf(survey), name, new Uint8Array(buffer, 0, length));
    return buffer;
  },

  /** Photographs' files, each with the CRC-32 and the SHA-256 of what it gives; nothing for one that gives nothing. */
  sums: async ({ survey, names }) => {
    const folder = await picturesOf(survey);
    const open = async (name) => {
      const handle = await folder.getFileHandle(name);
      return [handle, await handle.createSyncAccessHandle()];
    };
    // The next is being opened while this one is read.
    const opened = [];
    const openNext = (nth) => {
      if (nth >= names.length) return;
      opened[nth] = open(names[nth]);
      opened[nth].catch(() => {});
    };
    openNext(0);
    const found = [];
    for (const nth of names.keys()) {
      openNext(nth + 1);
      found.push(await opened[nth].then(sumsOf).catch(() => undefined));
    }
    return found;
  },

  /** Moves a survey's photographs out of the database; says how many are to be moved yet. */
  settle: async ({ survey, isHelper }) => {
    const here = () => withDatabase((database) => settleAlone(database, survey));
    return isHelper ? here() : byHelper({ act: "settle", survey }, here);
  },

  /** Removes a survey's copy: it must not outlive the survey, nor lie there readable when that is locked. */
  remove: async ({ survey }) => {
    await letGo(survey).catch(() => {});
    sessions.delete(survey);
    const root = await navigator.storage.getDirectory().catch(() => {
      throw new Error(NO_PLACE);
    });
    for (let trial = 1; ; trial += 1) {
      try {
        const folder = await root.getDirectoryHandle(FOLDER);
        return await folder.removeEntry(survey, { recursive: true });
      } catch (fault) {
        if (isMissing(fault)) return undefined;
        // Another window lets go of its file when it has been quiet for a while.
        if (trial === 5) throw fault;
        await new Promise((next) => setTimeout(next, QUIET_MS));
      }
    }
  },
};

/** The answer of a worker of its own, which is ended then: this one lives as long as the page, and a worker that has nothing to do
 * gives back no memory of what it has read. Nothing where none can be started. */
const helped = async (message) => {
  if (typeof Worker === "undefined") return undefined;
  const helper = new Worker(self.location.href);
  try {
    return await new Promise((resolve) => {
      helper.onmessage = ({ data }) => resolve(data);
      helper.onerror = () => resolve(undefined);
      helper.postMessage({ ...message, isHelper: true });
    });
  } finally {
    helper.terminate();
  }
};

/** What a worker of its own says, or, where none can be started, what is done here. */
const byHelper = async (message, here) => {
  const answer = await helped(message);
  if (answer?.fault !== undefined) throw new Error(answer.fault);
  return answer ? answer.done : here();
};

let last = Promise.resolve();
/** One after the other: two at once would write over each other. */
const inTurn = (work) => {
  const turn = last.then(work);
  last = turn.catch(() => {});
  return turn;
};

/** What has nothing to do with the copies' files, and no answer is to wait for. */
const ASIDE = ["picture", "sums", "settle"];

self.addEventListener("message", ({ data }) => {
  const work = () => acts[data.act](data);
  (ASIDE.includes(data.act) ? work() : inTurn(work)).then(
    (done) => self.postMessage({ id: data.id, done }, done instanceof ArrayBuffer ? [done] : []),
    (fault) => self.postMessage({ id: data.id, fault: `${fault?.name}: ${fault?.message ?? fault}` }),
  );
});

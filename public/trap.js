// What a person sees when the app has stopped: after a WebAssembly trap nothing of the app may run any more, so this
// screen is plain JavaScript, reads the stored log by itself and writes nothing.
"use strict";

(() => {
  const DATABASE = "quarterlight";
  // The entries, and those whose id was already taken by other bytes.
  const STORES = ["entries", "twins"];
  let shown = false;
  let reports = null;

  const make = (name, text, attributes = {}) => {
    const element = document.createElement(name);
    element.textContent = text;
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    return element;
  };

  // Opens the database as it is. One that does not exist must not be made here: the app would find it without stores.
  const openDatabase = () =>
    new Promise((resolve, reject) => {
      const asked = indexedDB.open(DATABASE);
      asked.onupgradeneeded = () => asked.transaction.abort();
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => reject(asked.error);
      asked.onblocked = () => reject(new Error("the stored log is held by another tab"));
    });

  // Every entry's bytes as they are stored, a line each: the same lines that the log of a survey file has.
  const readLog = async () => {
    const database = await openDatabase();
    try {
      const stores = STORES.filter((name) => database.objectStoreNames.contains(name));
      if (stores.length === 0) return [];
      return await new Promise((resolve, reject) => {
        const lines = [];
        const transaction = database.transaction(stores, "readonly");
        transaction.onabort = () => reject(transaction.error);
        transaction.oncomplete = () => resolve(lines);
        for (const name of stores) {
          transaction.objectStore(name).openCursor().onsuccess = (event) => {
            const cursor = event.target.result;
            if (!cursor) return;
            lines.push(new Blob([cursor.value.bytes, "\n"]));
            cursor.continue();
          };
        }
      });
    } finally {
      database.close();
    }
  };

  const saveCopy = async (say) => {
    try {
      const lines = await readLog();
      if (lines.length === 0) return say("There is nothing stored on this device to copy.");
      const link = document.createElement("a");
      link.href = URL.createObjectURL(new Blob(lines, { type: "application/x-ndjson" }));
      link.download = "quarterlight-log.ndjson";
      document.body.append(link);
      link.click();
      link.remove();
      say(`A copy with ${lines.length} ${lines.length === 1 ? "entry" : "entries"} was handed to the browser's downloads.`);
    } catch (fault) {
      say(`The stored log could not be read: ${fault?.message ?? fault}. Reload first, then try again.`);
    }
  };

  const show = (heading, text, detail) => {
    if (shown) {
      if (detail) reports?.append(`${detail}\n`);
      return;
    }
    shown = true;
    const said = make("p", "", { role: "status", "data-tap": "trap-said" });
    const reload = make("button", "Reload", { type: "button", class: "first", "data-tap": "trap-reload" });
    reload.addEventListener("click", () => location.reload());
    const copy = make("button", "Save a copy of the raw log", { type: "button", "data-tap": "trap-copy" });
    copy.addEventListener("click", () => saveCopy((sentence) => (said.textContent = sentence)));
    reports = make("pre", detail ? `${detail}\n` : "");
    const more = document.createElement("details");
    more.append(make("summary", "For whoever looks into it"), reports);
    const news = make("div", "", { role: "alert" });
    news.append(make("h1", heading), make("p", text));
    const inner = document.createElement("div");
    inner.append(news, reload, copy, said, more);
    const screen = make("main", "", { class: "trap", "data-tap": "trap" });
    screen.append(inner);
    const put = () => {
      document.body.replaceChildren(screen);
      reload.focus();
    };
    if (document.body) put();
    else addEventListener("DOMContentLoaded", put);
  };

  const stopped = (detail) =>
    show(
      "Quarterlight stopped.",
      "Everything marked saved is safe on this device. Reload to go on from there; if it stops again at the same " +
        "place, save a copy of the raw log and send it to whoever looks after your survey.",
      detail,
    );

  const notStarted = (detail) =>
    show(
      "Quarterlight could not start.",
      "What was saved on this device is still there. Reload once; if that does not help, this browser may be too old " +
        "or a part of the app did not arrive.",
      detail,
    );

  const spell = (fault) => {
    if (!(fault instanceof Error)) return String(fault);
    return fault.stack?.includes(fault.message) ? fault.stack : `${fault.name}: ${fault.message}\n${fault.stack ?? ""}`;
  };

  const started = () => "wasmBindings" in window || shown;

  // A recursion without end is no RuntimeError everywhere, but leaves the app as broken.
  const isDeep = (fault) => /RangeError|InternalError/.test(fault?.name) && /call stack|recursion/i.test(fault.message);

  const judge = (fault, message, isOurs) => {
    if (typeof WebAssembly === "undefined") return notStarted("WebAssembly is missing");
    if (fault instanceof WebAssembly.RuntimeError || isDeep(fault)) return stopped(spell(fault));
    const isBroken = fault instanceof WebAssembly.CompileError || fault instanceof WebAssembly.LinkError;
    if (isBroken || (isOurs && !started())) notStarted(fault ? spell(fault) : message);
  };

  const place = new URL("./", document.currentScript.src).href;
  addEventListener("error", (event) => {
    // Before the start only our own scripts count: an extension's fault keeps nobody from working.
    if (event instanceof ErrorEvent) judge(event.error, event.message, event.filename.startsWith(place));
    // An element that did not load has no message; only a script among them keeps the app from starting.
    else if (event.target instanceof HTMLScriptElement) notStarted(`not loaded: ${event.target.src}`);
  }, true);
  addEventListener("unhandledrejection", (event) => judge(event.reason, "a promise was rejected", true));

  // For the app itself: its panic hook calls this with the panic's message.
  window.quarterlightTrap = (detail) => stopped(detail === undefined ? "" : String(detail));
})();

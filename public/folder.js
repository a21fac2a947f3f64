// The one place from which anything is sent to another host: a worker that lives while a person has it exchange a
// survey's parts with their team's folder, and no longer. It keeps nothing. A worker fetched by its address has the policy
// that its own response brings, never the page's; so the page's stays at 'self'.
"use strict";

const METHODS = ["MKCOL", "PROPFIND", "GET", "PUT"];
/** The most bytes that are taken from an answer: a part or a listing has no more. */
const MOST_BYTES = 4 * 1024 * 1024;
const PATIENCE_MS = 60_000;

const isFair = (method, address) => {
  const { protocol, hostname, username } = new URL(address);
  const isHere = ["localhost", "127.0.0.1", "[::1]"].includes(hostname);
  return METHODS.includes(method) && username === "" && (protocol === "https:" || (protocol === "http:" && isHere));
};

/** Reads an answer up to the most that is taken. */
const read = async (response) => {
  const pieces = [];
  let size = 0;
  const reader = response.body?.getReader();
  for (;;) {
    const { done, value } = (await reader?.read()) ?? { done: true };
    if (done) return new Blob(pieces).arrayBuffer();
    size += value.length;
    if (size > MOST_BYTES) {
      await reader.cancel();
      throw new Error("the answer is larger than a part may be");
    }
    pieces.push(value);
  }
};

self.addEventListener("message", async (event) => {
  const { method, address, headers, body } = event.data;
  try {
    if (!isFair(method, address)) throw new Error("only https, and only what a folder needs");
    const response = await fetch(address, {
      method,
      headers,
      body,
      // No cookies, no other address than the one given, no trace of what was asked for.
      credentials: "omit",
      redirect: "error",
      referrerPolicy: "no-referrer",
      cache: "no-store",
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
    const bytes = await read(response);
    self.postMessage({ status: response.status, bytes }, [bytes]);
  } catch (fault) {
    self.postMessage({ fault: String(fault?.message ?? fault) });
  }
});

// Asking the page's own server, and nobody else.

/** What the server refused, with its keys and words. */
export class Faults extends Error {
  /** @param {import("./fields.js").Fault[]} rows */
  constructor(rows) {
    super(rows.map((row) => (row.key ? `${row.key}: ${row.words}` : row.words)).join("\n"));
    this.rows = rows;
  }
}

/** @param {string} path @param {object} content @param {AbortSignal} [signal] */
async function answered(path, content, signal) {
  let response;
  try {
    response = await fetch(path, {
      method: "POST",
      signal,
      headers: { "content-type": "application/json" },
      body: JSON.stringify(content),
    });
  } catch (error) {
    if (error instanceof DOMException && error.name === "AbortError") throw error;
    throw new Faults([{ key: "", words: "The page's program does not answer. Start it again with: polepitch page" }]);
  }
  if (!response.ok) throw new Faults((await response.json()).faults);
  return response;
}

/** @typedef {(path: string, content: object) => Promise<any>} Question */

/** @type {Question} The JSON answer to a question. */
export const ask = async (path, content) => (await answered(path, content)).json();

/** @type {Question} The bytes of a file. */
export const fetched = async (path, content) => (await answered(path, content)).blob();

/**
 * Every line of a long answer, as it comes.
 * @param {string} path
 * @param {object} content
 * @param {AbortSignal} signal
 */
export async function* lines(path, content, signal) {
  const { body } = await answered(path, content, signal);
  if (!body) return;
  const reader = body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const { value, done } = await reader.read();
    if (done) return;
    const parts = (rest + value).split("\n");
    rest = parts.pop() ?? "";
    for (const part of parts) yield JSON.parse(part);
  }
}

/**
 * A function that asks with the newest content alone: while one question is under way, later ones replace each other.
 * `then` gets (answer, content) or (null, content, faults).
 * @template {object} T
 * @param {string} path
 * @param {(answer: any, content: T, faults?: import("./fields.js").Fault[]) => void} then
 */
export function newestOnly(path, then) {
  let busy = false;
  /** @type {T | null} */
  let next = null;
  return async function send(/** @type {T} */ content) {
    next = content;
    if (busy) return;
    busy = true;
    while (next) {
      /** @type {T} */
      const asked = next;
      next = null;
      try {
        then(await ask(path, asked), asked);
      } catch (error) {
        if (!(error instanceof Faults)) throw error;
        then(null, asked, error.rows);
      }
    }
    busy = false;
  };
}

// @ts-check
/**
 * The one door to the desk's server. Every refusal comes back as a Fault that carries the server's
 * own words: what was found, the rule, the mend. Nothing here asks any other address.
 */

/** A refusal of the server, or its silence. `status` 0: no answer at all. */
export class Fault extends Error {
  /** @param {number} status @param {any} body */
  constructor(status, body) {
    const told = body && body.error ? body.error : {};
    super(told.found || (status ? `The desk refused (${status}).` : "The desk does not answer."));
    this.status = status;
    this.body = body;
    this.rule = String(told.rule || "");
    this.mend = String(told.mend || (status ? "" : "Is it still running in its terminal?"));
  }

  /** All of it in one line. */
  get words() {
    const stop = (/** @type {string} */ text) => (/[.!?]$/.test(text) ? text : `${text}.`);
    return [this.message, this.rule, this.mend && `Mend: ${this.mend}`].filter(Boolean).map(stop).join(" ");
  }
}

/** @param {Response} response */
async function bodyOf(response) {
  try {
    return await response.json();
  } catch {
    return null;
  }
}

/**
 * @param {string} path
 * @param {RequestInit} [options]
 * @returns {Promise<Response>}
 */
async function ask(path, options) {
  let response;
  try {
    response = await fetch(path, { credentials: "same-origin", cache: "no-store", ...options });
  } catch (error) {
    if (error instanceof DOMException && error.name === "AbortError") throw error;
    throw new Fault(0, null);
  }
  if (!response.ok) throw new Fault(response.status, await bodyOf(response));
  return response;
}

/** @param {string} path @param {AbortSignal} [signal] @returns {Promise<any>} */
export async function get(path, signal) {
  return (await ask(path, { signal })).json();
}

/** @param {string} path @param {AbortSignal} [signal] @returns {Promise<string>} */
export async function getText(path, signal) {
  return (await ask(path, { signal })).text();
}

/** @param {string} path @param {AbortSignal} [signal] @returns {Promise<Response>} */
export function getRaw(path, signal) {
  return ask(path, { signal });
}

/** @param {string} path @param {unknown} body @param {AbortSignal} [signal] @returns {Promise<any>} */
export async function post(path, body, signal) {
  const headers = { "Content-Type": "application/json" };
  return (await ask(path, { method: "POST", headers, body: JSON.stringify(body), signal })).json();
}

/** @param {string} path @param {FormData} form @param {AbortSignal} [signal] @returns {Promise<any>} */
export async function upload(path, form, signal) {
  return (await ask(path, { method: "POST", body: form, signal })).json();
}

/** The path of a tune's own door. @param {string} name @param {string} [what] */
export function of(name, what = "") {
  return `/api/tunes/${encodeURIComponent(name)}${what && `/${what}`}`;
}

/** A query from values; those that are not given are left out. @param {Record<string, unknown>} values */
export function query(values) {
  const given = Object.entries(values).filter(([, value]) => value !== undefined && value !== "");
  return `?${new URLSearchParams(given.map(([key, value]) => [key, String(value)]))}`;
}

/** @param {unknown} error @returns {boolean} */
export function stopped(error) {
  return error instanceof DOMException && error.name === "AbortError";
}

/** An error in words for a page. @param {unknown} error @returns {string} */
export function inWords(error) {
  return error instanceof Fault ? error.words : `The desk stumbled: ${String(error)}`;
}

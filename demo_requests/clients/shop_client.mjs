/**
 * A shop's client of the API: the order form, a quote, an order, and the notifications that come back.
 *
 * Plain JavaScript for Node 18 or newer, without packages; all but the last part runs in Deno and Bun too. In a shop's
 * own program `Shop` places orders and `Inbox` judges what is posted to its endpoint. The key belongs on a server: pages
 * of a shop use the token of an order form. Run as a program it orders one bag and prints what became of it, as JSON:
 *
 *     SIZEWRIGHT_KEY=sw_… node shop_client.mjs http://127.0.0.1:8000 PATTERN '{"size": "mini"}'
 */

import { createHmac, randomUUID, timingSafeEqual } from "node:crypto";
import { pathToFileURL } from "node:url";

const TRIES = 5;
/** Seconds: a notification whose try was made longer ago may be one that somebody has kept and sends again. */
const OLDEST = 300;

/** The API answered with a problem (RFC 9457). */
export class Refused extends Error {
  constructor(status, problem) {
    const faults = (problem.faults ?? []).map((fault) => `\n  ${fault.path}: ${fault.problem} ${fault.remedy}`);
    super(`${status} ${problem.title ?? ""}: ${problem.detail ?? ""}${faults.join("")}`);
    this.status = status;
    this.problem = problem;
  }
}

/** Places orders with a key of scope `order`. */
export class Shop {
  #address;
  #key;

  constructor(address, key) {
    this.#address = address.replace(/\/+$/, "");
    this.#key = key;
  }

  /** What the pattern offers: `schema` is a JSON Schema of wishes, `defaults` is what is usual. */
  form(pattern) {
    return this.#ask("GET", `/patterns/${pattern}/form`);
  }

  /** The price of a wish, with `id` and `valid_until`. */
  quote(pattern, revision, wish) {
    return this.#ask("POST", `/patterns/${pattern}/revisions/${revision}/quotes`, wish);
  }

  /** Places an order of a quote. The same key places one order, however often this is called. */
  order(quote, key, more = {}) {
    return this.#ask("POST", "/orders", { quote, ...more }, { "Idempotency-Key": `"${key}"` });
  }

  /** The order as it stands. */
  read(order) {
    return this.#ask("GET", `/orders/${order}`);
  }

  /** Has `url` notified; `secret` of the answer is shown this once. */
  listen(url, ...events) {
    return this.#ask("POST", "/endpoints", { url, events }, {}, false);
  }

  /**
   * Asks until there is an answer that will not be another one next time. Not `blindly`, it does not ask again where the
   * first request may have arrived.
   */
  async #ask(method, path, body, headers = {}, blindly = true) {
    for (let tried = 1; ; tried += 1) {
      let wait = tried;
      try {
        const answer = await this.#once(method, path, body, headers);
        const content = await answer.text();
        if (answer.ok) return JSON.parse(content);
        if (![429, 503].includes(answer.status) || tried === TRIES) throw new Refused(answer.status, problem(content));
        wait = Number(answer.headers.get("retry-after") ?? tried);
      } catch (error) {
        // Whether it arrived is not known: an order may be sent again, since its key goes with it.
        if (error instanceof Refused || tried === TRIES || !blindly) throw error;
      }
      await new Promise((done) => setTimeout(done, wait * 1000));
    }
  }

  #once(method, path, body, headers) {
    const accept = "application/json, application/problem+json";
    const sent = { Authorization: `Bearer ${this.#key}`, Accept: accept, ...headers };
    if (body === undefined) return fetch(this.#address + path, { method, headers: sent });
    sent["Content-Type"] = "application/json";
    return fetch(this.#address + path, { method, headers: sent, body: JSON.stringify(body) });
  }
}

/** Judges what is posted to a shop's endpoint: whether it is signed, new, and not had before. */
export class Inbox {
  #key;
  // A shop keeps these in its database, in the transaction that acts on them.
  #had = new Set();

  constructor(secret) {
    this.#key = Buffer.from(secret.replace(/^whsec_/, ""), "base64");
  }

  /**
   * What is told, or null where it was told before; throws for what must not be believed. `headers` have small letters;
   * `body` is the text as it came in, since another way to write the same JSON is not signed.
   */
  take(headers, body, now = Date.now() / 1000) {
    const name = headers["webhook-id"] ?? "";
    const sent = headers["webhook-timestamp"] ?? "";
    if (!name || !/^[0-9]+$/.test(sent) || Math.abs(now - Number(sent)) > OLDEST) {
      throw new Error("It has no name, or was not sent just now.");
    }
    const right = Buffer.from(`v1,${createHmac("sha256", this.#key).update(`${name}.${sent}.${body}`).digest("base64")}`);
    const given = (headers["webhook-signature"] ?? "").split(" ").map((one) => Buffer.from(one));
    if (!given.some((one) => one.length === right.length && timingSafeEqual(one, right))) {
      throw new Error("It is not signed with this secret.");
    }
    if (this.#had.has(name)) return null;
    this.#had.add(name);
    return JSON.parse(body);
  }
}

function problem(content) {
  try {
    const read = JSON.parse(content);
    if (read !== null && typeof read === "object") return read;
  } catch {
    // No JSON: something between answered, not the API.
  }
  return { detail: content.slice(0, 200) };
}

async function main([address, pattern, wish]) {
  const shop = new Shop(address, process.env.SIZEWRIGHT_KEY);
  const form = await shop.form(pattern);
  const quote = await shop.quote(pattern, form.revision, JSON.parse(wish));
  const order = await shop.order(quote.id, randomUUID(), { customer: { reference: "example" } });
  console.log(JSON.stringify({ pattern: form.pattern, total: quote.price.text, order: order.id }));
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  try {
    await main(process.argv.slice(2));
  } catch (error) {
    console.error(error.message);
    process.exitCode = 1;
  }
}

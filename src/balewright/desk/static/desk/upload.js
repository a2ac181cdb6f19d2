// Files go to the desk piece by piece and go on after a break; without this script the form sends them whole.
"use strict";

const HEAD_BYTES = 65536;
const TRIES = 8;
const ASK_MS = 700;

// ---- sha-256 of a file that comes in pieces (FIPS 180-4) ----
const ROUND = new Uint32Array(64);
const START = new Uint32Array(8);
(() => {
  const fraction = (root) => ((root - Math.floor(root)) * 4294967296) >>> 0;
  for (let number = 2, found = 0; found < 64; number++) {
    let prime = true;
    for (let by = 2; by * by <= number; by++) if (number % by === 0) { prime = false; break; }
    if (!prime) continue;
    if (found < 8) START[found] = fraction(Math.sqrt(number));
    ROUND[found++] = fraction(Math.cbrt(number));
  }
})();

class Sha256 {
  constructor() {
    this.state = Uint32Array.from(START);
    this.rest = new Uint8Array(64);
    this.held = 0;
    this.bytes = 0;
    this.words = new Uint32Array(64);
  }

  add(data) {
    this.bytes += data.length;
    let at = 0;
    if (this.held) {
      const taken = Math.min(64 - this.held, data.length);
      this.rest.set(data.subarray(0, taken), this.held);
      this.held += taken;
      at = taken;
      if (this.held < 64) return;
      this.block(this.rest, 0);
      this.held = 0;
    }
    for (; at + 64 <= data.length; at += 64) this.block(data, at);
    this.rest.set(data.subarray(at), 0);
    this.held = data.length - at;
  }

  block(data, at) {
    const w = this.words;
    for (let i = 0; i < 16; i++, at += 4) {
      w[i] = (data[at] << 24) | (data[at + 1] << 16) | (data[at + 2] << 8) | data[at + 3];
    }
    for (let i = 16; i < 64; i++) {
      const x = w[i - 15], y = w[i - 2];
      const small = ((x >>> 7) | (x << 25)) ^ ((x >>> 18) | (x << 14)) ^ (x >>> 3);
      const large = ((y >>> 17) | (y << 15)) ^ ((y >>> 19) | (y << 13)) ^ (y >>> 10);
      w[i] = (w[i - 16] + small + w[i - 7] + large) | 0;
    }
    let [a, b, c, d, e, f, g, h] = this.state;
    for (let i = 0; i < 64; i++) {
      const s1 = ((e >>> 6) | (e << 26)) ^ ((e >>> 11) | (e << 21)) ^ ((e >>> 25) | (e << 7));
      const one = (h + s1 + ((e & f) ^ (~e & g)) + ROUND[i] + w[i]) | 0;
      const s0 = ((a >>> 2) | (a << 30)) ^ ((a >>> 13) | (a << 19)) ^ ((a >>> 22) | (a << 10));
      const two = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
      h = g; g = f; f = e; e = (d + one) | 0; d = c; c = b; b = a; a = (one + two) | 0;
    }
    const s = this.state;
    s[0] += a; s[1] += b; s[2] += c; s[3] += d; s[4] += e; s[5] += f; s[6] += g; s[7] += h;
  }

  end() {
    const bits = this.bytes * 8;
    const tail = new Uint8Array(this.held < 56 ? 64 - this.held : 128 - this.held);
    tail[0] = 0x80;
    const view = new DataView(tail.buffer);
    view.setUint32(tail.length - 8, Math.floor(bits / 4294967296));
    view.setUint32(tail.length - 4, bits >>> 0);
    this.add(tail);
    const digest = new Uint8Array(32);
    this.state.forEach((word, at) => new DataView(digest.buffer).setUint32(4 * at, word));
    return digest;
  }
}

const asHex = (digest) => Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
const asBase64 = (digest) => btoa(String.fromCharCode(...digest));
const bytesOf = async (blob) => new Uint8Array(await blob.arrayBuffer());

// ---- a folder as one zip, its files as they are ----
const CRC = new Uint32Array(256).map((_, start) => {
  let value = start;
  for (let bit = 0; bit < 8; bit++) value = value & 1 ? (value >>> 1) ^ 0xedb88320 : value >>> 1;
  return value >>> 0;
});

async function crcOf(file) {
  let crc = 0xffffffff;
  for (let at = 0; at < file.size; at += 1 << 20) {
    for (const byte of await bytesOf(file.slice(at, at + (1 << 20)))) crc = CRC[(crc ^ byte) & 255] ^ (crc >>> 8);
  }
  return (crc ^ 0xffffffff) >>> 0;
}

// Numbers of two or four bytes, the low one first.
function record(...fields) {
  const view = new DataView(new ArrayBuffer(fields.reduce((sum, [size]) => sum + size, 0)));
  let at = 0;
  for (const [size, value] of fields) {
    if (size === 2) view.setUint16(at, value, true);
    else view.setUint32(at, value, true);
    at += size;
  }
  return view.buffer;
}

async function packFolder(name, entries) {
  const parts = [], index = [];
  let place = 0, indexBytes = 0;
  entries.sort((one, other) => (one.path < other.path ? -1 : 1));
  for (const { path, file } of entries) {
    const spelt = new TextEncoder().encode(path);
    // UTF-8 names, stored, one date for all: the same folder is the same zip.
    const same = [[2, 0x0800], [2, 0], [2, 0], [2, 0x21], [4, await crcOf(file)], [4, file.size], [4, file.size], [2, spelt.length], [2, 0]];
    parts.push(record([4, 0x04034b50], [2, 20], ...same), spelt, file);
    index.push(record([4, 0x02014b50], [2, 20], [2, 20], ...same, [2, 0], [2, 0], [2, 0], [4, 0], [4, place]), spelt);
    place += 30 + spelt.length + file.size;
    indexBytes += 46 + spelt.length;
  }
  const end = record([4, 0x06054b50], [2, 0], [2, 0], [2, entries.length], [2, entries.length], [4, indexBytes], [4, place], [2, 0]);
  return new File([...parts, ...index, end], `${name}.zip`);
}

const readEntries = (reader) => new Promise((done, failed) => reader.readEntries(done, failed));
const fileOf = (entry) => new Promise((done, failed) => entry.file(done, failed));

async function walk(folder, path, found) {
  const reader = folder.createReader();
  for (let batch = await readEntries(reader); batch.length; batch = await readEntries(reader)) {
    for (const entry of batch) {
      if (entry.isDirectory) await walk(entry, `${path}${entry.name}/`, found);
      else found.push({ path: path + entry.name, file: await fileOf(entry) });
    }
  }
  return found;
}

// ---- one file on its way ----
class Broken extends Error {}
class Refused extends Error {}

class Arriving {
  constructor(desk, name) {
    this.desk = desk;
    this.line = desk.section.querySelector("template").content.firstElementChild.cloneNode(true);
    this.bar = this.line.querySelector("progress");
    this.said = this.line.querySelector("[role=status]");
    this.stop = this.line.querySelector("button");
    this.link = this.line.querySelector("a");
    this.line.querySelector("strong").textContent = name;
    this.bar.setAttribute("aria-label", name);
    this.stop.setAttribute("aria-label", `${this.stop.textContent} ${name}`);
    this.stopped = false;
    this.stop.addEventListener("click", () => this.cancel());
    desk.section.hidden = false;
    desk.section.querySelector("ul").append(this.line);
    this.say(desk.words.waiting);
  }

  say(words, share) {
    const whole = share === undefined ? null : Math.floor(100 * share);
    const text = whole === null ? words : `${words}: ${whole} %`;
    if (this.said.textContent !== text) this.said.textContent = text;
    if (whole === null) this.bar.removeAttribute("value");
    else this.bar.value = whole;
  }

  end(words, state) {
    this.ended = state;
    this.said.textContent = words;
    this.bar.hidden = this.stop.hidden = true;
    this.line.classList.add({ taken: "note", "already taken": "note", stopped: "note" }[state] || "harm");
    if (this.ticket) {
      this.link.href = this.ticket;
      this.link.hidden = false;
    }
  }

  async cancel() {
    this.stopped = true;
    this.stop.disabled = true;
    this.say(this.desk.words.stopping);
    if (this.request) this.request.abort();
    if (this.ticket) await this.desk.ask("POST", `${this.ticket}/stop`, null, { Accept: "application/json" }).catch(() => {});
  }

  async send(file) {
    try {
      await this.pass(file);
    } catch (error) {
      if (this.stopped) {
        if (this.place) await this.desk.ask("DELETE", this.place).catch(() => {});
        this.end(this.desk.words.stopped, "stopped");
      } else this.end(error instanceof Broken ? this.desk.words.givenUp : error.message || this.desk.words.failed, "failed");
    }
  }

  async pass(file) {
    const head = new Sha256();
    head.add(await bytesOf(file.slice(0, HEAD_BYTES)));
    const body = new URLSearchParams({ name: file.name, size: file.size, first: asHex(head.end()), ...this.desk.said() });
    const begun = await this.again(() => this.desk.ask("POST", this.desk.uploads, body));
    const told = JSON.parse(begun.responseText);
    this.place = begun.getResponseHeader("Location");
    if (told.address) this.ticket = told.address; // it came whole once already
    else await this.pieces(file, told.piece_bytes, told.offset);
  }

  // Every piece is read once for the hash; those that have come before the break are not sent again.
  async pieces(file, size, offset) {
    const whole = new Sha256();
    let words = offset ? this.desk.words.goingOn : this.desk.words.sending;
    for (let at = 0, end; at < file.size; at = end) {
      if (this.stopped) throw new Error();
      end = Math.min(at + size, file.size);
      const last = end === file.size;
      const piece = await bytesOf(file.slice(at, end));
      whole.add(piece);
      if (last) this.digest = this.digest || asBase64(whole.end());
      if (offset <= at) this.say(words, at / file.size);
      while (last ? !this.ticket : offset < end) {
        const answer = await this.again(
          () => this.piece(piece.subarray(offset - at), offset, last, (sent) => this.say(words, (offset + sent) / file.size)),
          async () => {
            offset = await this.come();
            return last || offset < end;
          },
        );
        if (answer === null) break;
        offset = Number(answer.getResponseHeader("Upload-Offset"));
        if (answer.status === 201) this.ticket = JSON.parse(answer.responseText).address;
        else if (offset === file.size) await this.find();
        words = this.desk.words.sending;
        this.say(words, offset / file.size);
        if (offset < at) return this.pieces(file, size, offset); // the desk has less than we thought: from there on
      }
    }
  }

  piece(bytes, offset, last, moved) {
    const headers = { "Upload-Offset": offset, "Content-Type": "application/octet-stream" };
    if (last) Object.assign(headers, { "Upload-Complete": "?1", "Repr-Digest": `sha-256=:${this.digest}:` });
    return this.desk.ask("PATCH", this.place, bytes, headers, this, moved);
  }

  // It came whole before: where its work is.
  async find() {
    const told = await this.again(() => this.desk.ask("GET", this.place));
    this.ticket = JSON.parse(told.responseText).address;
    if (!this.ticket) throw new Broken();
  }

  async come() {
    const answer = await this.desk.ask("HEAD", this.place);
    return Number(answer.getResponseHeader("Upload-Offset"));
  }

  // Try until it goes; after a break the desk is asked where to go on. null: nothing is left to do.
  async again(deed, goOn) {
    for (let tried = 0; ; tried++) {
      try {
        if (tried && goOn && !(await goOn())) return null;
        return await deed();
      } catch (error) {
        if (this.stopped || !(error instanceof Broken)) throw error;
        if (tried >= TRIES) throw error;
        this.say(this.desk.words.broken);
        await new Promise((done) => setTimeout(done, Math.min(500 * 2 ** tried, 15000)));
      }
    }
  }

  async follow() {
    while (!this.ended) {
      const answer = await this.desk.ask("GET", `${this.ticket}/state`).catch(() => null);
      if (answer) {
        const told = JSON.parse(answer.responseText);
        if (told.state !== "running") this.end(told.words, told.state);
        else this.say(told.words, told.total ? told.done / told.total : undefined);
      }
      if (!this.ended) await new Promise((done) => setTimeout(done, ASK_MS));
    }
  }
}

class Desk {
  constructor(form, section) {
    Object.assign(this, { form, section, uploads: form.dataset.uploads, words: section.dataset });
    this.token = form.querySelector("[name=csrfmiddlewaretoken]").value;
    this.queue = Promise.resolve();
    this.busy = 0;
    addEventListener("beforeunload", (event) => this.busy && event.preventDefault());
  }

  said() {
    const said = this.form.elements;
    return { machine: said.machine.value, map: said.map.value, begins: said.begins.value };
  }

  ask(method, place, body, headers = {}, arriving = null, moved = null) {
    return new Promise((done, failed) => {
      const request = new XMLHttpRequest();
      request.open(method, place);
      request.setRequestHeader("X-CSRFToken", this.token);
      for (const [name, value] of Object.entries(headers)) request.setRequestHeader(name, value);
      if (moved) request.upload.addEventListener("progress", (event) => moved(event.loaded));
      request.addEventListener("load", () => {
        if (request.status < 300 || request.status === 409) done(request);
        else if (request.status >= 500 || request.status === 429) failed(new Broken());
        else {
          let said = this.words.failed;
          try {
            said = JSON.parse(request.responseText).faults.map((fault) => `${fault.place}: needs ${fault.need}, was given ${fault.given}. ${fault.cure}`).join(" ");
          } catch {
            // A page of the desk: its sign-in has ended, or the role does not include this.
          }
          failed(new Refused(said));
        }
      });
      for (const name of ["error", "timeout", "abort"]) request.addEventListener(name, () => failed(new Broken()));
      if (arriving) arriving.request = request;
      request.send(body);
    });
  }

  async take(made) {
    const most = Number(this.form.dataset.most);
    const all = made.slice(0, most).map((one) => ({ ...one, arriving: new Arriving(this, one.name) }));
    for (const one of made.slice(most)) new Arriving(this, one.name).end(this.words.tooMany, "failed");
    const isAlone = made.length === 1 && this.section.querySelectorAll("li").length === 1;
    this.busy++;
    this.section.scrollIntoView({ block: "nearest" });
    for (const { arriving, make } of all) {
      this.queue = this.queue.then(async () => {
        if (arriving.stopped) return arriving.end(this.words.stopped, "stopped");
        arriving.say(make.packs ? this.words.packing : this.words.sending);
        const file = await make();
        await arriving.send(file);
        if (arriving.ticket && !arriving.ended && !isAlone) arriving.follow();
      }).catch(() => arriving.end(this.words.failed, "failed"));
    }
    await this.queue;
    this.busy--;
    if (!this.busy) this.section.querySelector("[data-stays]").hidden = true;
    const only = all[0].arriving;
    if (!isAlone || !only.ticket || only.ended) return;
    if (this.section.querySelectorAll("li").length === 1) location.assign(only.ticket); // its own page tells the rest
    else only.follow();
  }
}

const plain = (file) => ({ name: file.name, make: async () => file });
const packed = (name, list) => {
  const make = async () => packFolder(name, await list());
  make.packs = true;
  return { name: `${name}.zip`, make };
};

document.addEventListener("DOMContentLoaded", () => {
  const form = document.querySelector("form[data-uploads]");
  const section = document.getElementById("sending");
  if (!form || !section) return;
  const desk = new Desk(form, section);
  const chooser = form.querySelector("input[type=file]");
  const folder = form.querySelector("[data-folder]");
  form.querySelector("[data-drop]").hidden = false;
  folder.hidden = false;
  folder.querySelector("input").addEventListener("change", (event) => {
    const files = Array.from(event.target.files);
    if (!files.length) return;
    const name = files[0].webkitRelativePath.split("/")[0];
    desk.take([packed(name, async () => files.map((file) => ({ path: file.webkitRelativePath, file })))]);
    event.target.value = "";
  });
  form.addEventListener("submit", (event) => {
    if (!chooser.files.length) return; // the desk says what is missing
    event.preventDefault();
    desk.take(Array.from(chooser.files, plain));
    chooser.value = "";
  });
  for (const name of ["dragenter", "dragover"]) {
    form.addEventListener(name, (event) => {
      event.preventDefault();
      form.classList.add("over");
    });
  }
  for (const name of ["dragleave", "drop"]) {
    form.addEventListener(name, (event) => {
      event.preventDefault();
      if (name === "drop" || !form.contains(event.relatedTarget)) form.classList.remove("over");
    });
  }
  form.addEventListener("drop", (event) => {
    const made = [];
    for (const item of event.dataTransfer.items) {
      const entry = item.webkitGetAsEntry && item.webkitGetAsEntry();
      if (entry && entry.isDirectory) made.push(packed(entry.name, () => walk(entry, `${entry.name}/`, [])));
      else if (item.kind === "file" && item.getAsFile()) made.push(plain(item.getAsFile()));
    }
    if (made.length) desk.take(made);
  });
});

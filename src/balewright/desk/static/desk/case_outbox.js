// Entries of a case on this phone: written once, sent when there is a signal, saved as a file.
"use strict";

// Opens one case's box. An entry is never changed; `sent` and `refused` are kept beside it.
function openBox(caseKey, here) {
  const place = `balewright-case:${caseKey}`;
  let box = { device: `phone-${mark(6)}`, clock: 0, sequence: 0, entries: [], sent: [], refused: {} };
  let stores = true;
  let isSending = false;
  const loose = new Map(); // photos of a browser that stores none
  const listeners = [];

  try {
    const kept = localStorage.getItem(place);
    if (kept) box = { ...box, ...JSON.parse(kept) };
    else localStorage.setItem(place, JSON.stringify(box));
  } catch {
    stores = false;
  }

  function mark(bytes) {
    return [...crypto.getRandomValues(new Uint8Array(bytes))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  }

  // Another page of this case on this phone may have written meanwhile: its entries stay.
  function change(make) {
    if (stores) {
      try {
        const kept = JSON.parse(localStorage.getItem(place) || "null");
        if (kept) box = { ...box, ...kept };
      } catch {
        stores = false;
      }
    }
    const made = make();
    if (stores) {
      try {
        localStorage.setItem(place, JSON.stringify(box));
      } catch {
        stores = false;
      }
    }
    for (const tell of listeners) tell();
    return made;
  }

  function write(kind, payload, by) {
    return change(() => {
      box.sequence += 1;
      box.clock += 1;
      const entry = {
        id: mark(16),
        case: caseKey,
        device: box.device,
        sequence: box.sequence,
        clock: box.clock,
        kind,
        payload,
        schema_version: 1,
        made_us: Date.now() * 1000,
        by,
      };
      box.entries.push(entry);
      return entry;
    });
  }

  // What the desk knew when it made the page comes before whatever is written now.
  function heard(clock) {
    if (clock > box.clock) change(() => (box.clock = Math.max(box.clock, clock)));
  }

  const isSettled = (entry) => box.sent.includes(entry.id) || entry.id in box.refused;
  const waiting = () => box.entries.filter((entry) => !isSettled(entry));
  const unsent = () => box.entries.filter((entry) => !box.sent.includes(entry.id));

  async function lines(entries) {
    const said = [{ form: "balewright case", version: 1 }, ...entries.map((entry) => ({ entry }))];
    for (const entry of entries) {
      if (entry.kind !== "photo") continue;
      const photo = await readPhoto(entry.payload.sha256);
      if (photo) said.push({ photo: { sha256: entry.payload.sha256, base64: photo } });
    }
    return said.map((line) => JSON.stringify(line) + "\n").join("");
  }

  // One photo at a time, so that a weak signal gets something through. Gives what the line said:
  // "sent", "away" (no signal, or the desk is in trouble), "over" (the link opens nothing any more).
  async function send() {
    if (isSending || !here) return "away";
    isSending = true;
    try {
      for (let next = batch(); next.length; next = batch()) {
        let reply;
        try {
          reply = await fetch(`${here}/entries`, {
            method: "POST",
            body: await lines(next),
            headers: { "Content-Type": "application/x-ndjson" },
            credentials: "omit",
            referrerPolicy: "no-referrer",
          });
        } catch {
          return "away";
        }
        if (reply.status === 404) return "over";
        const said = reply.ok ? await reply.json().catch(() => null) : null;
        if (!said) return "away";
        settle(said);
        const ids = new Set([...said.kept, ...said.refused.map((one) => one.id)]);
        if (!next.some((entry) => ids.has(entry.id))) return "away"; // never ask the same for ever
      }
      return "sent";
    } finally {
      isSending = false;
      for (const tell of listeners) tell();
    }
  }

  function batch() {
    const left = waiting();
    const photo = left.findIndex((entry) => entry.kind === "photo");
    return photo === 0 ? left.slice(0, 1) : left.slice(0, photo < 0 ? 200 : photo);
  }

  // What has arrived is the desk's to keep: the phone lets photos go.
  function settle(said) {
    for (const sha of said.photos) letGo(sha);
    change(() => {
      box.sent = [...new Set([...box.sent, ...said.kept])];
      for (const one of said.refused) if (one.id) box.refused[one.id] = one.why;
    });
  }

  function photos() {
    return new Promise((resolve, reject) => {
      const asked = indexedDB.open("balewright-case", 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore("photos");
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => reject(asked.error);
    });
  }

  async function ask(way, make) {
    const base = await photos();
    return new Promise((resolve, reject) => {
      const deal = base.transaction("photos", way);
      const asked = make(deal.objectStore("photos"));
      deal.oncomplete = () => resolve(asked.result);
      deal.onerror = () => reject(deal.error);
    });
  }

  // Whether it stays when the page is closed.
  async function keepPhoto(sha, base64) {
    try {
      await ask("readwrite", (store) => store.put(base64, sha));
      return true;
    } catch {
      loose.set(sha, base64);
      return false;
    }
  }

  async function readPhoto(sha) {
    if (loose.has(sha)) return loose.get(sha);
    try {
      return await ask("readonly", (store) => store.get(sha));
    } catch {
      return undefined;
    }
  }

  function letGo(sha) {
    loose.delete(sha);
    return ask("readwrite", (store) => store.delete(sha)).catch(() => {});
  }

  // Once the link is over and nothing is left to save, nothing of the case stays on the phone.
  function forget() {
    if (unsent().length) return;
    for (const entry of box.entries) if (entry.kind === "photo") letGo(entry.payload.sha256);
    localStorage.removeItem(place);
  }

  async function save(entries) {
    const file = new Blob([await lines(entries)], { type: "application/x-ndjson" });
    const link = document.createElement("a");
    link.href = URL.createObjectURL(file);
    link.download = `case-${caseKey}-${new Date().toISOString().slice(0, 16).replace(/\D/g, "")}.jsonl`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  }

  return {
    write,
    heard,
    send,
    save,
    forget,
    keepPhoto,
    waiting,
    unsent,
    entries: () => box.entries,
    isSent: (entry) => box.sent.includes(entry.id),
    refused: () => Object.entries(box.refused),
    stores: () => stores,
    onChange: (tell) => listeners.push(tell),
  };
}

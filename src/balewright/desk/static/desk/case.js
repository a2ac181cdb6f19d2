// A case on a phone: one step at a time, with the signal or without.
// The pack (the next checks, some steps deep) lies in the page; what is entered goes to the outbox.
"use strict";

const part = (name) => document.querySelector(`[data-part="${name}"]`);
const said = JSON.parse(document.getElementById("words").textContent);
let pack = JSON.parse(document.getElementById("pack").textContent);
const isSavedPage = location.protocol === "file:";
const here = isSavedPage ? "" : location.pathname;
const box = openBox(pack.case, here);
const asRead = location.search;
const ANSWERS = { yes: "yes", no: "no", "cannot tell": "cannot tell", skipped: "cannot tell" };
let isOver = false;

function make(tag, options = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(options)) {
    if (name === "text") made.textContent = value;
    else if (name === "click") made.addEventListener("click", value);
    else made.setAttribute(name, value);
  }
  made.append(...children.filter(Boolean));
  return made;
}

const button = (text, click, quiet) =>
  make("button", { type: "button", class: quiet ? "button quiet" : "button", text, click });

// What was answered on this phone and not taken back, newest last.
function answers() {
  const gone = withdrawn();
  return box.entries().filter((entry) => entry.kind === "check read" && !gone.has(entry.id));
}

function withdrawn() {
  const gone = new Set();
  for (const entry of [...box.entries()].reverse())
    if (entry.kind === "went back" && !gone.has(entry.id)) gone.add(entry.payload.entry);
  return gone;
}

// A reading says yes where it lies on the side that shows the fault.
function outcomeOf(entry) {
  const reading = pack.checks[entry.payload.check]?.reading;
  if (entry.payload.seen || !reading) return ANSWERS[entry.payload.seen] || "cannot tell";
  const beyond = entry.payload.value - reading.limit;
  return (reading.bad === "up" ? beyond > 0 : beyond < 0) ? "yes" : "no";
}

// Where the answers lead: a check that was asked and taken back comes first.
function present() {
  const given = answers();
  const last = (key) => given.filter((entry) => entry.payload.check === key).pop();
  const asked = box.entries().filter((entry) => entry.kind === "check read").pop();
  if (asked && !last(asked.payload.check) && pack.checks[asked.payload.check])
    return { deed: "check", check: asked.payload.check, top: [] , yes: 0 };
  let node = pack.nodes[0];
  const seen = new Set();
  while (node && node.yes !== undefined && last(node.check) && !seen.has(node)) {
    seen.add(node);
    node = pack.nodes[node[outcomeOf(last(node.check))]];
  }
  return node;
}

// The last question of a branch leads no further here, but its answer counts at the desk.
function isAsked(node) {
  if (node.deed !== "check" || !pack.checks[node.check]) return false;
  return node.yes !== undefined || !answers().some((entry) => entry.payload.check === node.check);
}

const byName = () => part("by").value.trim();

function enter(kind, payload) {
  const entry = box.write(kind, payload, byName());
  show();
  sendAll();
  return entry;
}

function cautions(keys) {
  const known = keys.filter((key) => pack.cautions[key]);
  if (!known.length) return null;
  const list = make("ul");
  for (const key of known) {
    const [first, ...beside] = pack.cautions[key];
    list.append(make("li", {}, make("strong", { text: first }), ...beside.map((text) => make("span", { class: "fine", lang: "en", text }))));
  }
  return make("div", { class: "say harm", "data-cautions": "" }, make("h2", { text: said.first }), list);
}

function named(label, text) {
  return text ? make("p", {}, make("span", { class: "soft", text: `${label}: ` }), text) : null;
}

const listed = (keys, names) => keys.map((key) => names[key] || key).join(", ");

function question(node) {
  const check = pack.checks[node.check];
  const answer = (seen) => button(said[seen.replace(" ", "_")], () => enter("check read", { check: node.check, seen }));
  return [
    cautions(check.cautions),
    make("h2", { text: check.asks, tabindex: "-1", id: "asks" }),
    make("p", { text: check.how }),
    named(said.risks, check.risks),
    named(said.tools, listed(check.tools, pack.tools)),
    make("p", { class: "soft small", text: `${said["who." + check.by]} · ${said.minutes.replace("#", check.minutes)}` }),
    check.reading ? readingForm(node.check, check.reading) : null,
    make("div", { class: "taps" }, answer("yes"), answer("no"), answer("cannot tell"),
      button(said.skip, () => enter("check read", { check: node.check, seen: "skipped" }), true)),
  ];
}

function readingForm(key, reading) {
  const input = make("input", { id: "reading", inputmode: "decimal", autocomplete: "off" });
  const wrong = make("p", { class: "wrong", role: "alert" });
  const form = make("form", { class: "tight" },
    make("label", { for: "reading", text: `${said.reading} (${reading.unit})` }), input, wrong,
    make("button", { class: "button", text: said["reading.use"] }));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const value = Number(input.value.trim().replace(",", "."));
    if (!input.value.trim() || !Number.isFinite(value)) {
      wrong.textContent = said["reading.wrong"];
      return;
    }
    enter("check read", { check: key, value, unit: reading.unit });
  });
  return form;
}

function verdict(node) {
  const repair = node.cause && pack.causes[node.cause].repair;
  const wasIt = (key) => button(said.this_was_it, () => {
    enter("cause found", { cause: key });
    part("repair").open = true;
    part("repair").scrollIntoView({ block: "start" });
    part("repair").querySelector("textarea").focus({ preventScroll: true });
  }, true);
  const likely = (node.top || []).filter(([, chance]) => chance >= 0.01);
  return [
    node.deed === "check" ? null : cautions(node.cautions?.length ? node.cautions : repair ? repair.cautions : []),
    make("h2", { text: node.deed === "check" ? said.likely : said[`deed.${node.deed}`], tabindex: "-1", id: "asks" }),
    node.cause ? make("p", { class: "answer", text: pack.causes[node.cause].name }) : null,
    repair ? make("p", { text: repair.words }) : null,
    named(said.parts, listed(repair ? repair.parts : node.parts || [], pack.parts)),
    named(said.tools, listed(repair ? repair.tools : node.tools || [], pack.tools)),
    node.ends === false ? make("p", { class: "say note", text: said.ends }) : null,
    likely.length && node.deed !== "check" ? make("h3", { text: said.likely }) : null,
    make("ul", { class: "list" }, ...likely.map(([key, chance]) =>
      make("li", { class: "item whole-item" },
        make("div", { class: "what" },
          make("strong", { text: `${pack.causes[key].name} · ${Math.round(chance * 100)} %` }),
          make("span", { class: "soft", text: pack.causes[key].tells }),
          wasIt(key))))),
    isSavedPage ? null : button(said.more, refresh, true),
  ];
}

function show() {
  const node = present();
  const step = part("step");
  const shown = !node
    ? [make("h2", { text: said.no_tree, id: "asks", tabindex: "-1" })]
    : isAsked(node) ? question(node) : verdict(node);
  if (answers().length) shown.push(button(said.back, goBack, true));
  step.replaceChildren(...shown.filter(Boolean));
  showLog();
  showBox();
}

function goBack() {
  const last = answers().pop();
  if (last) enter("went back", { entry: last.id });
  document.getElementById("asks")?.focus();
}

function showLog() {
  const gone = withdrawn();
  const rows = box.entries().filter((entry) => entry.kind !== "went back").map((entry) => {
    const taken = gone.has(entry.id) ? said["log.withdrawn"] : box.isSent(entry) ? said["log.sent"] : "";
    return make("li", { class: "item short" },
      make("span", { class: "what", text: tell(entry) }), make("span", { class: "when", text: taken }));
  });
  part("log").replaceChildren(...rows.reverse());
  part("log-card").hidden = !rows.length;
}

function tell(entry) {
  const { payload } = entry;
  const check = pack.checks[payload.check]?.asks || payload.check || "";
  if (entry.kind === "check read") {
    const answer = payload.seen ? said[{ "cannot tell": "cannot_tell", skipped: "seen.skipped" }[payload.seen] || payload.seen] : "";
    return `${check} ${answer || `${payload.value} ${payload.unit}`}`;
  }
  if (entry.kind === "cause found") return `${said.cause}: ${pack.causes[payload.cause]?.name || payload.words || payload.cause}`;
  const names = { repaired: said.repair, note: said["note.words"], photo: said["photo.file"], closed: said.close };
  return `${names[entry.kind] || entry.kind}: ${payload.words || ""}`;
}

function showBox() {
  const count = box.waiting().length;
  const line = count === 0 ? said["waiting.none"] : count === 1 ? said["waiting.one"] : said["waiting.many"];
  part("waiting").textContent = line.replace("#", String(count));
  part("waiting").className = `tag ${count ? "note" : "good"} me`;
  part("export").hidden = !box.unsent().length;
  part("export-all").hidden = !box.entries().length;
  part("not-stored").hidden = box.stores();
  part("over").hidden = !isOver;
  const refused = box.refused();
  part("refused").hidden = !refused.length;
  part("refused-list").replaceChildren(...refused.map(([, why]) => make("li", { text: why })));
}

async function sendAll() {
  const was = await box.send();
  if (was === "over") isOver = true;
  if (was === "over" && !box.unsent().length) box.forget();
  if (was === "sent") isOver = false;
  showBox();
  showLog();
}

// The next questions from what the desk knows by now; what is shown stays where there is no signal.
async function refresh() {
  if (isSavedPage) return;
  await sendAll();
  try {
    const reply = await fetch(`${here}/pack.json${asRead}`, { credentials: "omit", referrerPolicy: "no-referrer" });
    if (!reply.ok) return;
    pack = await reply.json();
  } catch {
    return;
  }
  box.heard(pack.clock);
  show();
  navigator.serviceWorker?.controller?.postMessage({ keep: here, asRead });
}

function listen(name, kind, read) {
  const form = part(name).querySelector("form");
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const payload = read(new FormData(form));
    if (!payload) return;
    enter(kind, payload);
    form.reset();
    part(name).open = false;
  });
}

const number = (text) => {
  const value = Number(String(text).trim().replace(",", "."));
  return String(text).trim() && Number.isFinite(value) && value >= 0 ? value : undefined;
};

function repairOf(data) {
  const parts = String(data.get("parts")).split("\n").map((line) => line.trim()).filter(Boolean).map((line) => {
    const counted = line.match(/^(\d+(?:[.,]\d+)?)\s*(?:x|×)?\s+(.+)$/i);
    return counted ? { part: counted[2], count: number(counted[1]) } : { part: line, count: 1 };
  });
  const atBale = number(data.get("at_bale"));
  return {
    words: data.get("words").trim(),
    parts,
    minutes: number(data.get("minutes")),
    travel_minutes: number(data.get("travel")),
    at_bale: Number.isInteger(atBale) ? atBale : undefined,
  };
}

// The picture drawn anew, smaller: what the camera wrote beside it (place, time, device) stays out.
async function bare(file) {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  for (const [edge, quality] of [[1600, 0.8], [1280, 0.7], [960, 0.6]]) {
    const scale = Math.min(1, edge / Math.max(picture.width, picture.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(picture.width * scale));
    canvas.height = Math.max(1, Math.round(picture.height * scale));
    canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
    const made = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", quality));
    if (made.size <= 600_000 || edge === 960) return made;
  }
  return null;
}

function base64Of(bytes) {
  let text = "";
  for (let at = 0; at < bytes.length; at += 32_768) text += String.fromCharCode(...bytes.subarray(at, at + 32_768));
  return btoa(text);
}

function listenPhoto() {
  const form = part("photo").querySelector("form");
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const data = new FormData(form);
    const file = data.get("file");
    const wrong = form.querySelector(".wrong");
    wrong.textContent = "";
    try {
      const wantsPlace = data.get("position") === "on";
      const keepsPlace = wantsPlace && file.size <= 700_000; // what one message to the desk holds
      const bytes = new Uint8Array(await (keepsPlace ? file : await bare(file)).arrayBuffer());
      const sha = sha256(bytes);
      const stays = await box.keepPhoto(sha, base64Of(bytes));
      const payload = { sha256: sha, size_bytes: bytes.length, words: data.get("words").trim() };
      enter("photo", keepsPlace ? { ...payload, with_position: true } : payload);
      form.reset();
      if (!stays) wrong.textContent = said["photo.lost"];
      else if (wantsPlace && !keepsPlace) wrong.textContent = said["photo.place_lost"];
      else part("photo").open = false;
    } catch {
      wrong.textContent = said["photo.wrong"];
    }
  });
}

async function keepForLater() {
  if (isSavedPage) {
    part("saved-page").hidden = false;
    return;
  }
  if (!("serviceWorker" in navigator)) {
    part("no-keeping").hidden = false;
    return;
  }
  navigator.serviceWorker.addEventListener("message", (event) => {
    if (event.data && event.data.kept) part("is-kept").hidden = false;
  });
  try {
    await navigator.serviceWorker.register("/c/worker.js", { scope: "/c/" });
    const ready = await navigator.serviceWorker.ready;
    if (document.documentElement.dataset.from === "kept") part("is-kept").hidden = false;
    else ready.active.postMessage({ keep: here, asRead });
  } catch {
    part("no-keeping").hidden = false;
  }
}

function showFromWhere() {
  const root = document.documentElement;
  if (root.dataset.from !== "kept") return;
  part("from-kept").hidden = false;
  part("kept-at").textContent = new Date(root.dataset.keptAt).toLocaleString([], { dateStyle: "medium", timeStyle: "short" });
}

function rememberName() {
  const place = "balewright-case-name";
  try {
    part("by").value = localStorage.getItem(place) || "";
    part("by").addEventListener("change", () => localStorage.setItem(place, byName()));
  } catch {
    // it is asked again next time
  }
}

function start() {
  box.heard(pack.clock);
  box.onChange(showBox);
  rememberName();
  showFromWhere();
  listen("note", "note", (data) => data.get("words").trim() && { words: data.get("words").trim() });
  listen("cause", "cause found", (data) => data.get("words").trim() && { cause: "", words: data.get("words").trim() });
  listen("repair", "repaired", repairOf);
  listen("close", "closed", (data) => ({ words: data.get("words").trim() }));
  listenPhoto();
  part("export").addEventListener("click", () => box.save(box.unsent()));
  part("export-all").addEventListener("click", () => box.save(box.entries()));
  show();
  keepForLater();
  sendAll();
  addEventListener("online", sendAll);
  document.addEventListener("visibilitychange", () => document.hidden || sendAll());
  setInterval(() => box.waiting().length && sendAll(), 15_000);
}

start();

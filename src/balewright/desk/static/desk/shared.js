// A shared sheet on a phone: kept for when there is no signal, and answers that wait until there is.
// Without this script the page is read and answered as plain forms.
"use strict";

const here = location.pathname;
const box = `balewright-outbox:${here}`;
const asRead = askedFor(); // language and units, where the address says them
const part = (name) => document.querySelector(`[data-part="${name}"]`);
let isSending = false;

function askedFor() {
  const asked = new URLSearchParams(location.search);
  asked.delete("sent");
  return String(asked) && `?${asked}`;
}

function localTimes() {
  for (const time of document.querySelectorAll("time[data-local]")) {
    const moment = new Date(time.dateTime);
    if (Number.isNaN(moment.valueOf())) continue;
    time.textContent = moment.toLocaleString([], { dateStyle: "medium", timeStyle: "short" });
  }
}

function showFromWhere() {
  const root = document.documentElement;
  if (root.dataset.from !== "kept") return;
  part("kept-at").dateTime = root.dataset.keptAt;
  part("from-kept").hidden = false;
}

async function keepForLater() {
  if (!("serviceWorker" in navigator)) {
    part("no-keeping").hidden = false;
    return;
  }
  navigator.serviceWorker.addEventListener("message", (event) => {
    if (event.data && event.data.kept) part("is-kept").hidden = false;
  });
  try {
    await navigator.serviceWorker.register("/s/worker.js", { scope: "/s/" });
    const ready = await navigator.serviceWorker.ready;
    if (document.documentElement.dataset.from === "kept") part("is-kept").hidden = false;
    else ready.active.postMessage({ keep: here, asRead });
  } catch {
    part("no-keeping").hidden = false;
  }
}

function waiting() {
  try {
    const found = JSON.parse(localStorage.getItem(box) || "[]");
    return Array.isArray(found) ? found : [];
  } catch {
    return [];
  }
}

function putBack(answers) {
  if (answers.length) localStorage.setItem(box, JSON.stringify(answers));
  else localStorage.removeItem(box);
  showWaiting(answers.length);
}

function showWaiting(count) {
  const line = part("waiting");
  line.hidden = count === 0;
  line.textContent = (count === 1 ? line.dataset.one : line.dataset.many).replace("#", String(count));
}

function tell(name, text) {
  for (const line of document.querySelectorAll("[data-tells]")) line.hidden = line.dataset.tells !== name;
  if (text) document.querySelector(`[data-tells="${name}"]`).textContent = text;
}

function newMark() {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

// true: settled (kept there, or refused for good); false: there is no signal, try again later.
async function send(answer) {
  let reply;
  try {
    reply = await fetch(`${here}/answer${asRead}`, {
      method: "POST",
      body: new URLSearchParams(answer),
      headers: { Accept: "application/json" },
      credentials: "omit",
      referrerPolicy: "no-referrer",
    });
  } catch {
    return false;
  }
  if (reply.ok) tell("sent");
  else if (reply.status === 404) tell("over");
  else if (reply.status === 422) tell("refused", (await reply.json().catch(() => ({ faults: [] }))).faults.join(" "));
  else return false;
  return true;
}

async function sendWaiting() {
  if (isSending) return;
  isSending = true;
  try {
    for (let answers = waiting(); answers.length; answers = waiting()) {
      if (!(await send(answers[0]))) break;
      putBack(waiting().filter((other) => other.mark !== answers[0].mark));
    }
  } finally {
    isSending = false;
    showWaiting(waiting().length);
  }
}

function mayStore() {
  try {
    localStorage.setItem("balewright-outbox-try", "1");
    localStorage.removeItem("balewright-outbox-try");
    return true;
  } catch {
    return false;
  }
}

function listen(form) {
  form.addEventListener("submit", async (event) => {
    const fields = Object.fromEntries(new FormData(form, event.submitter));
    event.preventDefault();
    const buttons = [...document.querySelectorAll("#answer button")];
    if (buttons.some((button) => button.disabled)) return; // a second tap on the way
    for (const button of buttons) button.disabled = true;
    tell("none");
    putBack([...waiting(), { ...fields, mark: newMark() }]);
    await sendWaiting();
    for (const button of buttons) button.disabled = false;
    if (!waiting().length && !document.querySelector('[data-tells="refused"]:not([hidden])')) form.reset();
    if (waiting().length) tell("queued");
    document.querySelector("[data-tells]:not([hidden])")?.scrollIntoView({ block: "nearest" });
  });
}

document.addEventListener("DOMContentLoaded", () => {
  showFromWhere();
  localTimes();
  keepForLater();
  if (!mayStore()) return; // the forms are sent as plain forms
  for (const form of document.querySelectorAll("#answer form")) listen(form);
  showWaiting(waiting().length);
  sendWaiting();
  addEventListener("online", sendWaiting);
  document.addEventListener("visibilitychange", () => document.hidden || sendWaiting());
  setInterval(() => waiting().length && sendWaiting(), 15_000);
});

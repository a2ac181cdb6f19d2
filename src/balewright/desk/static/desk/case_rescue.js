// Where a case's link opens nothing any more: what this phone wrote and could not send is not lost.
"use strict";

const place = document.querySelector('[data-part="rescue"]');
const list = place.querySelector("ul");

const names = [...Array(localStorage.length).keys()].map((n) => localStorage.key(n));
for (const name of names.filter((one) => one.startsWith("balewright-case:"))) {
  const box = openBox(name.slice("balewright-case:".length), "");
  const count = box.unsent().length;
  if (!count) continue;
  const item = document.createElement("li");
  const save = document.createElement("button");
  save.type = "button";
  save.className = "button";
  save.textContent = `${place.dataset.save} (${name.slice("balewright-case:".length)}: ${count})`;
  save.addEventListener("click", () => box.save(box.unsent()));
  item.append(save);
  list.append(item);
  place.hidden = false;
}

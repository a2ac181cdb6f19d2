// The frame's own script: light or dark, and the menu that closes when left. The desk works without it.
"use strict";

const root = document.documentElement;

function chooseTheme(name) {
  if (name) root.dataset.theme = name;
  else delete root.dataset.theme;
}

try {
  chooseTheme(localStorage.getItem("balewright-theme"));
} catch {
  // A browser that keeps nothing follows the system's choice.
}

// A field follows the word beside it: after a live answer it is marked as wrong, or no longer.
function markFields() {
  for (const said of document.querySelectorAll("[data-wrong]")) {
    const field = document.getElementById(said.dataset.wrong);
    if (!field) continue;
    const wrong = said.textContent.trim() !== "";
    const others = (field.getAttribute("aria-describedby") || "").split(" ").filter((id) => id && id !== said.id);
    if (wrong) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
    if (wrong) others.push(said.id);
    if (others.length) field.setAttribute("aria-describedby", others.join(" "));
    else field.removeAttribute("aria-describedby");
    const folded = field.closest("details:not([open])");
    if (wrong && folded) folded.open = true;
  }
}

document.addEventListener("htmx:afterSettle", markFields);

document.addEventListener("DOMContentLoaded", () => {
  for (const button of document.querySelectorAll("[data-theme-toggle]")) {
    button.hidden = false;
    button.addEventListener("click", () => {
      const system = matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
      const next = (root.dataset.theme || system) === "dark" ? "light" : "dark";
      chooseTheme(next);
      try {
        localStorage.setItem("balewright-theme", next);
      } catch {
        // See above.
      }
      document.dispatchEvent(new CustomEvent("balewright:theme"));
    });
  }
  for (const menu of document.querySelectorAll("details.menu-holder")) {
    document.addEventListener("click", (event) => {
      if (!menu.contains(event.target)) menu.open = false;
    });
    menu.addEventListener("keydown", (event) => {
      if (event.key !== "Escape") return;
      menu.open = false;
      menu.querySelector("summary").focus();
    });
  }
});

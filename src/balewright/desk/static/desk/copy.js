// A button that copies what another part of the page says. Without a script it is not there.
"use strict";

document.addEventListener("DOMContentLoaded", () => {
  for (const button of document.querySelectorAll("[data-copies]")) {
    if (!navigator.clipboard) continue;
    button.hidden = false;
    button.addEventListener("click", async () => {
      await navigator.clipboard.writeText(document.getElementById(button.dataset.copies).textContent.trim());
      button.textContent = button.dataset.done;
    });
  }
});

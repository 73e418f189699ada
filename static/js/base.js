// A few small helps that every page has. Without JavaScript nothing here is missed: the menu
// opens and closes by its own mark, a link can be selected by hand, and a press that gets no
// answer shows the browser's own page.
(() => {
  "use strict";

  const said = () => document.getElementById("said");
  const say = (words) => {
    if (said()) said().textContent = words;
  };

  // The person's menu closes when something else is pressed.
  document.addEventListener("click", (event) => {
    for (const menu of document.querySelectorAll("details.person[open]")) {
      if (!menu.contains(event.target)) menu.open = false;
    }
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    const menu = document.querySelector("details.person[open]");
    if (!menu) return;
    menu.open = false;
    menu.querySelector("summary").focus();
  });

  // A press that did not arrive is said, where the thumb is.
  document.addEventListener("htmx:sendError", () => {
    say("No signal: that was not saved. Press again when you have a bar.");
  });
  document.addEventListener("htmx:responseError", (event) => {
    const status = event.detail.xhr.status;
    if (status === 401) return; // the answer leads to the sign-in page
    say(
      status === 403
        ? "Your role in this team does not allow that."
        : "That was not saved. Load the page again and try once more.",
    );
  });
  document.addEventListener("htmx:afterOnLoad", (event) => {
    if (event.detail.successful) say("");
  });

  // What needs a look is read out first, where the browser does not go there by itself.
  const problems = document.getElementById("problems");
  if (problems) {
    for (const link of problems.querySelectorAll("a[href^='#']")) {
      let fold = document.getElementById(link.hash.slice(1))?.closest("details");
      for (; fold; fold = fold.parentElement.closest("details")) fold.open = true;
    }
    if (document.activeElement !== problems) problems.focus();
  }

  // A link that is shown once can be copied with one press.
  for (const button of document.querySelectorAll("button[data-copy]")) {
    const field = document.getElementById(button.dataset.copy);
    if (!field || !navigator.clipboard) continue;
    button.hidden = false;
    button.addEventListener("click", async () => {
      field.select();
      await navigator.clipboard.writeText(field.value);
      button.textContent = "Copied";
    });
  }

  // Signing out takes this phone's drafts with it; the answer's Clear-Site-Data does it again.
  document.addEventListener("submit", (event) => {
    if (event.target.matches("form[data-signs-out]")) localStorage.clear();
  });
})();

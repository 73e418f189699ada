// The day's pages under a thumb. Each of them works without this: a walk can be timed by a watch
// and typed, a box check has its own button.
(() => {
  "use strict";

  // Pace the walk: press at the pit, press again at the table.
  for (const button of document.querySelectorAll("[data-pace]")) {
    const form = button.closest("form");
    const [minutes, seconds] = ["minutes", "seconds"].map((name) => form.elements[name]);
    let started = 0;
    let timer = 0;
    const gone = () => Math.round((Date.now() - started) / 1000);
    const words = () => `I am there: ${Math.floor(gone() / 60)}:${String(gone() % 60).padStart(2, "0")}`;
    button.hidden = false;
    button.addEventListener("click", () => {
      if (started) {
        clearInterval(timer);
        minutes.value = String(Math.floor(gone() / 60));
        seconds.value = String(gone() % 60);
        started = 0;
        button.textContent = "Pace it again";
        return;
      }
      started = Date.now();
      button.textContent = words();
      timer = setInterval(() => { button.textContent = words(); }, 500);
    });
  }

  for (const clocks of document.querySelectorAll("[data-clocks]")) clocks.hidden = false;

  // A box check whose every answer is Right keeps itself: one tap a question and no more. With
  // something not right there is a note to write, so it waits for the button.
  for (const form of document.querySelectorAll("form[data-lid]")) {
    for (const hint of form.querySelectorAll("[data-hint]")) hint.hidden = false;
    form.addEventListener("change", () => {
      const asked = [...form.querySelectorAll("fieldset")];
      const right = asked.every((one) => one.querySelector("input[value=right]:checked"));
      if (asked.length && right) form.requestSubmit();
    });
  }
})();

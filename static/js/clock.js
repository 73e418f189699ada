// Clocks that run. The page says every time in full without them: these count down to it.
//
//   <span data-clock-to="1823456789" data-clock-before="opens in" data-clock-over="open" hidden>
//
// `data-clock-to` is a moment of ours in seconds. With `data-clock-past` it counts on after it;
// with `data-clock-then` it goes on to the next moment. What changes each second is not read out; a
// listener hears the minutes, in a quiet live region of its own.
(() => {
  "use strict";

  // Our clock is the server's. A phone that is off is put right, unless the difference is
  // smaller than what the way there and back could explain.
  const skew = () => {
    const meta = document.querySelector("[data-server-now]");
    const load = performance.getEntriesByType("navigation")[0];
    if (!meta || !load || !load.responseStart) return 0;
    const asked = performance.timeOrigin + load.requestStart;
    const answered = performance.timeOrigin + load.responseStart;
    const server = Number(meta.dataset.serverNow) * 1000;
    if (server >= asked - 1000 && server <= answered + 1000) return 0;
    return server - (asked + answered) / 2;
  };
  const off = skew();
  const now = () => Date.now() + off;

  const words = (seconds) => {
    const whole = Math.max(0, Math.ceil(seconds));
    const two = (number) => String(number).padStart(2, "0");
    const hours = Math.floor(whole / 3600);
    const minutes = Math.floor(whole / 60) % 60;
    const head = hours ? `${hours}:${two(minutes)}` : `${minutes}`;
    return `${head}:${two(whole % 60)}`;
  };
  const heard = (seconds) => {
    const minutes = Math.ceil(seconds / 60);
    return minutes === 1 ? "1 minute" : `${minutes} minutes`;
  };

  const show = (clock) => {
    const data = clock.dataset;
    let left = Number(data.clockTo) - now() / 1000;
    if (left <= 0 && data.clockThen) {
      // it has opened: from here on it counts to the close
      data.clockTo = data.clockThen;
      data.clockBefore = data.clockThenBefore;
      data.clockPast = data.clockThenPast;
      delete data.clockThen;
      left = Number(data.clockTo) - now() / 1000;
    }
    clock.hidden = false;
    const before = data.clockBefore ?? "";
    if (left <= 0 && !data.clockPast) {
      clock.classList.add("over");
      say(clock, data.clockOver ?? "now");
      clock.textContent = data.clockOver ?? "now";
      return;
    }
    const past = left <= 0;
    const shown = past ? `${data.clockPast} ${words(Math.floor(-left))}` : `${before} ${words(left)}`.trim();
    clock.classList.toggle("over", past);
    if (clock.textContent !== shown) clock.textContent = shown;
    say(clock, past ? `${data.clockPast} ${heard(-left)}` : `${before} ${heard(left)}`.trim());
  };

  // Only clocks that ask for it speak, and only when the words for the minute change.
  const say = (clock, sentence) => {
    const region = document.getElementById(clock.dataset.clockSays ?? "");
    if (region && region.textContent !== sentence) region.textContent = sentence;
  };

  const tick = () => {
    for (const clock of document.querySelectorAll("[data-clock-to]")) show(clock);
    for (const clock of document.querySelectorAll("[data-clock-now]")) {
      const at = new Date(now() + Number(clock.dataset.clockNow) * 1000);
      clock.hidden = false;
      clock.textContent = at.toLocaleTimeString("en-US", { timeZone: clock.dataset.zone }).toLowerCase();
    }
  };
  tick();
  setInterval(tick, 500);

  // The moment of a press, by our clock: it counts from the thumb, not from when a weak signal
  // has carried it.
  document.addEventListener("submit", (event) => {
    const field = event.target.querySelector("[data-tapped]");
    if (field) field.value = String(Math.round(now()));
  });
})();

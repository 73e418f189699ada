// Keys under fingers: what a key of the pad is, and what counts as one press of it. A press ends
// under the finger that began it. Two quick thumbs are two presses, though the browser makes no
// click of them; so is a long press, and one that slid a little in a glove.
(() => {
  "use strict";

  const SAME = 1000; // a click so soon after a press is that press [ms]
  const acts = new WeakMap(); // what each key does, looked up when it is pressed
  let away = null;

  const make = (tag, name, text = "") => {
    const node = document.createElement(tag);
    if (name) node.className = name;
    node.textContent = text;
    return node;
  };
  const key = (text, act, label = "") => {
    const button = make("button", "", text);
    button.type = "button";
    if (label) button.setAttribute("aria-label", label);
    acts.set(button, act);
    return button;
  };
  const keyAt = (node) => {
    const button = node?.closest("button");
    return button && acts.has(button) && !button.disabled ? button : null;
  };

  // Hear the keys of this place, and no longer those of the one before it.
  const listen = (place) => {
    away?.abort();
    away = new AbortController();
    const down = new Map(); // the key that each finger is on
    let last = -Infinity;
    const press = (finger, time) => {
      const button = down.get(finger);
      down.delete(finger);
      if (!button?.isConnected || button.disabled) return;
      last = time;
      acts.get(button)();
    };
    place.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      for (const finger of [...down.keys()]) press(finger, event.timeStamp); // first down, first given
      const button = keyAt(event.target);
      if (button) down.set(event.pointerId, button);
    });
    document.addEventListener("pointerup", (event) => {
      const under = document.elementFromPoint(event.clientX, event.clientY)?.closest("button");
      if (down.get(event.pointerId) === under) press(event.pointerId, event.timeStamp);
      down.delete(event.pointerId); // it slid off: no press
    }, { signal: away.signal });
    document.addEventListener("pointercancel", (event) => down.delete(event.pointerId), { signal: away.signal });
    // a click by itself comes from a keyboard or a screen reader
    place.addEventListener("click", (event) => {
      const button = keyAt(event.target);
      if (!button || (event.detail && event.timeStamp - last < SAME)) return;
      acts.get(button)();
    });
  };

  window.keys = { make, key, listen };
})();

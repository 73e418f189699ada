// What is typed into the score table is kept on this device until the server says it is saved.
// A draft lies under user, entry and the version that was seen, and carries the id of its page:
// the server's answer lists the pages that it has saved, and only those drafts are cleared. So a
// lost connection, an expired sign-in or a closed tab loses nothing. Signing out clears them all.
(() => {
  "use strict";

  const form = () => document.getElementById("score-form");
  const field = (name) => form().elements.namedItem(name);
  const prefix = () => `draft:${form().dataset.draft}:`;

  const store = {
    keys: () => Object.keys(localStorage).filter((key) => key.startsWith(prefix())),
    read: (key) => {
      try {
        return JSON.parse(localStorage.getItem(key));
      } catch {
        return null;
      }
    },
  };

  const SKIP = new Set(["csrfmiddlewaretoken", "op", "seen", "add", "add_round"]);
  const typed = () => [...new FormData(form())].filter(([name]) => !SKIP.has(name));

  // Keep what stands in the form; a browser without room for it is no reason to stop typing.
  const keep = () => {
    const draft = { op: field("op").value, seen: field("seen").value, at: Date.now(), fields: typed() };
    try {
      for (const key of store.keys()) if (store.read(key)?.op === draft.op) localStorage.removeItem(key);
      localStorage.setItem(prefix() + draft.seen, JSON.stringify(draft));
    } catch {
      return false;
    }
    return true;
  };

  const drop = (unless = () => false) => {
    for (const key of store.keys()) if (!unless(store.read(key))) localStorage.removeItem(key);
  };

  // Put a draft back: rows first, then every box, ticked or filled as it was.
  const restore = (draft) => {
    const values = new Map(draft.fields);
    if (Number(values.get("rounds") || 1) > Number(field("rounds").value)) return redraw(draft, values);
    const count = Number(values.get("sheets-TOTAL_FORMS") || 0);
    while (Number(field("sheets-TOTAL_FORMS").value) < count) {
      const index = field("sheets-TOTAL_FORMS").value;
      const panel = values.get(`sheets-${index}-panel`) || "";
      const round = values.get(`sheets-${index}-round`) || "0";
      const here = marks.grids.filter((one) => one.table.dataset.round === round);
      const grid = here.find((one) => one.table.dataset.panel === panel) || here.at(-1) || marks.grids.at(-1);
      if (!grid?.addRow()) break;
    }
    for (const box of form().querySelectorAll("input[type=checkbox][name]")) box.checked = values.has(box.name);
    for (const [name, value] of values) {
      const box = field(name);
      if (box && box.type !== "checkbox" && name !== "sheets-TOTAL_FORMS") box.value = value;
    }
    field("op").value = draft.op;
    field("seen").value = draft.seen;
    marks.show();
    document.dispatchEvent(new CustomEvent("marks:restored"));
  };

  // A draft with a round more than the page has: the server draws its tables, filled in.
  // Until it has, what stands on this page is not what was typed and must not be kept as that.
  let redrawing = false;
  const redraw = (draft, values) => {
    redrawing = true;
    const all = Object.fromEntries(values);
    const sent = { ...all, op: draft.op, seen: draft.seen, redraw: "1", csrfmiddlewaretoken: field("csrfmiddlewaretoken").value };
    htmx.ajax("POST", form().getAttribute("action"), {
      source: form(), target: "#record", select: "#record", swap: "outerHTML", values: sent,
    }).finally(() => { redrawing = false; });
  };

  const clock = (at) => {
    const time = new Date(at), today = new Date().toDateString() === time.toDateString();
    const two = (number) => String(number).padStart(2, "0");
    const day = today ? "" : ` on ${time.toLocaleDateString([], { day: "numeric", month: "long" })}`;
    return `at ${two(time.getHours())}:${two(time.getMinutes())}${day}`;
  };

  const press = (text, act) => {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "button quiet slim";
    button.textContent = text;
    button.addEventListener("click", act);
    return button;
  };

  const tell = (draft, shown) => {
    const place = document.getElementById("draft");
    const meanwhile = draft.seen === shown ? "" : " Somebody has saved since: Save shows you both.";
    const words = document.createElement("span");
    words.textContent = `You typed this ${clock(draft.at)} and it was not saved.${meanwhile}`;
    place.replaceChildren(
      words,
      press("Keep it", () => { place.hidden = true; }),
      press("Throw it away", () => {
        drop();
        location.replace(location.pathname);
      }),
    );
    place.hidden = false;
  };

  // On a new page: clear what was saved, put back what was not.
  const start = () => {
    if (!form()) return;
    const saved = new Set(form().dataset.saved.split(" "));
    let drafts;
    try {
      drop((draft) => draft?.op && Array.isArray(draft.fields) && !saved.has(draft.op));
      drafts = store.keys().map(store.read).sort((a, b) => b.at - a.at);
    } catch {
      return;
    }
    const [draft] = drafts;
    if (!draft) return;
    if (draft.op === field("op").value) { // this very page, back from a refusal
      keep();
      return;
    }
    drop((other) => other.op === draft.op); // an older one would only come up again after this
    const shown = field("seen").value;
    restore(draft);
    tell(draft, shown);
  };

  document.addEventListener("input", (event) => {
    if (form()?.contains(event.target)) keep();
  });
  document.addEventListener("change", (event) => {
    if (form()?.contains(event.target)) keep();
  });
  document.addEventListener("marks:ready", start);

  const say = (words) => {
    const said = document.getElementById("said");
    if (said) said.textContent = words;
  };
  document.addEventListener("htmx:configRequest", (event) => {
    if (event.target === form() && !redrawing) keep();
  });
  for (const lost of ["htmx:sendError", "htmx:timeout"]) {
    document.addEventListener(lost, (event) => {
      if (event.target === form() || form()?.contains(event.target)) {
        say("No connection: kept on this phone. Press Save again when there is signal.");
      }
    });
  }
  document.addEventListener("htmx:responseError", (event) => {
    if (form()?.contains(event.target) && event.detail.xhr.status !== 401) {
      say("The server could not save this. It is kept on this phone: press Save again.");
    }
  });
  addEventListener("pageshow", (event) => {
    if (event.persisted) location.reload(); // from memory: it does not know what it has saved
  });
})();

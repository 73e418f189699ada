// The pad on a phone: one judge and one criterion at a time, a mark in one tap. It types into the
// grid above it, which can be tapped to jump. The pad is made from the criterion's own scale.
(() => {
  "use strict";

  const ONE = 10000n;
  const MOST_KEYS = 21;
  const narrow = matchMedia("(max-width: 45rem)");
  let pad = null, now = null, last = null, wanted = null; // wanted: null until someone decides
  const { make, key } = keys;

  const where = (cell) => {
    const grid = marks.gridOf(cell);
    return { grid, scale: grid.scale(cell), judge: grid.judge(cell.closest("tr")) };
  };

  // The marks that a tap can give, and the parts of a mark that a second tap adds; null where the
  // scale is too long for a key a mark, and digits are typed instead.
  const keysOf = (scale) => {
    const { least, most, step } = scale;
    if (least === null || most === null) return null; // an open scale is typed
    if (step && step >= ONE) {
      const count = (most - least) / step + 1n;
      if (count > BigInt(MOST_KEYS)) return null;
      return { wholes: [...Array(Number(count))].map((_, at) => least + BigInt(at) * step), parts: [] };
    }
    const low = (least / ONE) * ONE, count = (most - low) / ONE + 1n;
    const part = step || ONE / 2n;
    if (count > BigInt(MOST_KEYS) || ONE % part || ONE / part > 10n) return null;
    const parts = [...Array(Number(ONE / part) - 1)].map((_, at) => BigInt(at + 1) * part);
    return { wholes: [...Array(Number(count))].map((_, at) => low + BigInt(at) * ONE), parts };
  };

  const HALVES = { 2500: "¼", 5000: "½", 7500: "¾" };
  const partText = (part) => HALVES[part] || paper.write(part).replace(/^0/, "");

  const go = (cell, came = null) => {
    document.querySelector(".marks .now")?.classList.remove("now");
    now = cell;
    last = came;
    if (cell) {
      cell.closest("td").classList.add("now");
      cell.closest("td").scrollIntoView({ block: "nearest", inline: "nearest" });
    }
    draw();
  };
  const step = (by) => {
    const cells = marks.cells();
    return cells[(now ? cells.indexOf(now) : cells.length) + by] || null;
  };
  const give = (value) => {
    const cell = now;
    marks.put(cell, paper.write(value));
    go(step(1), cell);
  };
  const blank = () => {
    marks.put(now, "");
    go(step(1));
  };

  // The mark that a part is added to: the one just tapped, else the one stood on.
  const adding = () => {
    const cell = last || now;
    const value = cell && paper.points(cell.value);
    return typeof value === "bigint" ? { cell, value, scale: where(cell).scale } : null;
  };
  const addPart = (part) => {
    const { cell, value } = adding();
    const whole = (value / ONE) * ONE;
    marks.put(cell, paper.write(value === whole + part ? whole : whole + part));
    draw();
  };

  // The parts that a second tap adds. Before there is a mark to add them to, their room is kept
  // empty: the keys must not move under a thumb.
  const showParts = () => {
    const to = adding();
    const own = to ? keysOf(to.scale)?.parts || [] : [];
    const kept = () => marks.cells().map((cell) => keysOf(where(cell).scale)?.parts).find((some) => some?.length);
    const parts = own.length ? own : kept() || [];
    put("parts", parts.join(" "), () => (parts.length ? [drawParts(parts)] : []));
    const row = pad.querySelector(".pad-parts > .keys");
    row?.classList.toggle("held", !own.length);
    for (const [at, button] of [...(row?.children || [])].entries()) {
      const whole = own.length ? (to.value / ONE) * ONE : 0n, part = parts[at];
      const next = own.length && to.value === whole + part ? whole : whole + part;
      const words = own.length
        ? `${where(to.cell).scale.name} ${paper.write(next)} instead of ${paper.write(to.value)}`
        : partText(part);
      button.textContent = parts.length === 1 ? words : partText(part);
      button.setAttribute("aria-label", words);
      button.disabled = !own.length || (to.scale.most !== null && next > to.scale.most);
    }
  };
  const drawParts = (parts) => {
    const row = make("div", `keys extra ${{ 9: "nine", 3: "three" }[parts.length] || "one"}`);
    for (const part of parts) {
      const button = key("", () => addPart(part));
      button.dataset.part = paper.write(part);
      row.append(button);
    }
    return row;
  };

  const drawWholes = (scale, wholes) => {
    const count = wholes.length;
    const row = make("div", `keys${count % 5 && count % 4 === 0 ? " four" : ""}`);
    for (const value of wholes) {
      const button = key(paper.write(value), () => give(value));
      button.dataset.mark = paper.write(value);
      row.append(button);
    }
    const penalty = paper.read(document.getElementById("tables").dataset.penalty || "");
    if (typeof penalty !== "bigint" || paper.onScale(penalty, scale)) return [row];
    const below = make("div", "keys extra one");
    below.append(key(`${paper.write(penalty)}, the penalty mark`, () => give(penalty)));
    return [row, below];
  };

  // Digits for a long scale: they are typed one after the other, then Next.
  const drawDigits = () => {
    const row = make("div", "keys three digits");
    const type = (text) => {
      marks.put(now, now.value + text);
      draw();
    };
    for (const digit of "1234567890.") row.append(key(digit, () => type(digit)));
    row.append(key("⌫", () => {
      marks.put(now, now.value.slice(0, -1));
      draw();
    }, "Take the last digit away"));
    const next = make("div", "keys one");
    next.append(key("Next", () => go(step(1), now)));
    return [row, next];
  };

  const addJudge = () => {
    const row = marks.grids.at(-1).addRow();
    if (row) go(row.querySelector("input.mark"));
  };

  const showActs = () => {
    put("doings", "acts", drawActs);
    const [back, other] = pad.querySelectorAll(".pad-doings button");
    back.disabled = !step(-1);
    other.textContent = now ? "Blank" : "+ Judge";
    if (now) other.removeAttribute("aria-label");
    else other.setAttribute("aria-label", "Add a judge");
  };
  const drawActs = () => {
    const row = make("div", "keys acts");
    row.append(
      key("Back", () => go(step(-1))),
      key("", () => (now ? blank() : addJudge())),
      key("Keyboard", () => open(false)),
      make("button", "save", "Save"),
    );
    return [row];
  };

  // Each part is only made anew where it has become another: a key that a finger or the focus is
  // on stays the same key.
  const put = (name, what, build) => {
    const place = pad.querySelector(`.pad-${name}`);
    if (place.dataset.what === what) return;
    place.dataset.what = what;
    place.replaceChildren(...build());
  };

  const draw = () => {
    const at = now && where(now);
    const head = now
      ? `${at.judge} · ${at.scale.name}${now.value ? `: ${now.value}` : ""}`
      : "That was the last box";
    pad.querySelector(".here").textContent = head;
    const before = last?.value ? where(last) : null;
    pad.querySelector(".just").textContent = before
      ? `Just now: ${before.judge} · ${before.scale.name} ${last.value}`
      : "";
    const own = now && keysOf(at.scale);
    const wholes = own ? own.wholes.join(" ") : "digits";
    put("wholes", now ? wholes : "", () => (!now ? [] : own ? drawWholes(at.scale, own.wholes) : drawDigits()));
    showParts();
    showActs();
  };

  const isOpen = () => Boolean(pad?.classList.contains("open"));
  const firstBlank = () => marks.cells().find((cell) => !cell.value) || null;

  // While the pad is open the phone's own keyboard stays away.
  const hush = () => {
    for (const cell of marks.cells()) {
      cell.readOnly = isOpen();
      cell.inputMode = isOpen() ? "none" : "decimal";
    }
  };

  const open = (wish) => {
    wanted = wish;
    const shown = wanted && narrow.matches;
    pad.classList.toggle("open", shown);
    document.getElementById("score-form").classList.toggle("padded", shown);
    hush();
    document.getElementById("show-pad").hidden = shown || !narrow.matches;
    if (shown) go(firstBlank() || marks.cells()[0]); // a full table is gone over from its start
    else document.querySelector(".marks .now")?.classList.remove("now");
  };

  const start = () => {
    const form = document.getElementById("score-form");
    if (!form || !marks.cells().length) return;
    document.getElementById("pad")?.remove();
    pad = make("section", "pad");
    pad.id = "pad";
    pad.setAttribute("aria-label", "Pad of marks");
    const head = make("p", "where");
    head.setAttribute("aria-live", "polite");
    head.append(make("span", "here"), make("span", "just"));
    pad.append(head, make("div", "pad-wholes"), make("div", "pad-parts"), make("div", "pad-doings"));
    keys.listen(pad);
    form.append(pad);
    if (!document.getElementById("show-pad")) {
      const again = make("button", "", "Marks by thumb");
      again.type = "button";
      again.addEventListener("click", () => open(true));
      again.id = "show-pad";
      again.className = "button quiet slim";
      document.getElementById("tables").querySelector("h2").after(again);
    }
    const fresh = form.elements.namedItem("seen").value === "0";
    const wrong = form.querySelector('[aria-invalid="true"]');
    const blanks = marks.cells().some((cell) => !cell.value);
    // whoever has begun on the phone's own keyboard, before this script came, goes on with it
    const typing = document.activeElement?.closest("#tables") && document.activeElement.matches("input");
    open(Boolean(blanks && !wrong && (wanted ?? (fresh && !typing))));
  };

  document.addEventListener("marks:ready", start);
  document.addEventListener("marks:rows", hush);
  document.addEventListener("marks:restored", () => isOpen() && go(firstBlank()));
  document.addEventListener("click", (event) => {
    if (!isOpen()) return;
    const cell = event.target.closest?.(".marks td")?.querySelector("input.mark");
    if (cell) go(cell);
    else if (event.target.closest?.("[data-add]")) go(document.activeElement.closest("tr.judge")?.querySelector("input.mark") || firstBlank());
  });
  narrow.addEventListener("change", () => pad && open(wanted));
})();

// The mark grid at a desk: number keys, Enter and arrows, a pasted block, sums as one types.
// Without it the same boxes are a plain form. The server's sums are the truth; those here are for
// the eyes of who types. What a box says is read in paper.js.
(() => {
  "use strict";

  const { SCALE, LONGEST, read, points, write, scaleOf, pointed, oddWords } = paper;

  class Grid {
    constructor(table, rules) {
      this.table = table;
      this.rules = rules;
      this.number = table.dataset.grid;
      this.round = Number(table.dataset.round);
      this.scales = [...table.querySelectorAll("thead th[data-key]")].map(scaleOf);
      this.body = table.tBodies[0];
    }

    get rows() {
      return [...this.body.querySelectorAll("tr.judge")];
    }

    cells(row) {
      return [...row.querySelectorAll("input.mark")];
    }

    get all() {
      return [...this.body.querySelectorAll("input.mark")];
    }

    scale(cell) {
      return this.scales[this.cells(cell.closest("tr")).indexOf(cell)];
    }

    judge(row) {
      const seat = row.querySelector("th input[type=text]");
      return `Judge ${seat.value.trim() || seat.placeholder}`;
    }

    // The weighted sum of a row, in ten-thousandths of ten-thousandths; null where it is blank.
    sum(row) {
      const values = this.cells(row).map((cell) => points(cell.value));
      if (values.every((value) => value === null)) return null;
      return values.reduce((sum, value, at) => sum + (value || 0n) * this.scales[at].weight, 0n);
    }

    printed(row) {
      const field = document.getElementById(`id_${row.dataset.row}-total`);
      return field ? read(field.value) : null;
    }

    // A sheet's points: its marks if they are whole, else what is printed, else what it has.
    points(row) {
      const printed = this.printed(row);
      const whole = this.cells(row).every((cell) => points(cell.value) !== null);
      if (!whole && typeof printed === "bigint") return printed * SCALE;
      return this.sum(row);
    }

    // Add up and show; before anything is touched, what the server wrote stands.
    show(touched) {
      const grand = this.table.querySelector("[data-grand]");
      if (!touched && grand.textContent) return { round: this.round, total: null, sheets: 0 };
      const sheets = [];
      for (const row of this.rows) {
        const sum = this.points(row);
        row.querySelector("[data-sum]").textContent = sum === null ? "" : write(sum, 2, SCALE * SCALE);
        if (sum !== null) sheets.push({ row, points: sum });
      }
      const out = this.dropped(sheets);
      for (const row of this.rows) {
        const gone = out.some((sheet) => sheet.row === row && sheet.sure);
        row.classList.toggle("out", gone);
        if (touched) this.say(row, gone);
      }
      this.showMeans();
      const total = this.total(sheets, out);
      grand.textContent = total === null ? "" : write(total, 2, SCALE ** 3n);
      return { round: this.round, total, sheets: sheets.length };
    }

    // The sheets that the drop rule takes; `sure` where no equal one could go instead.
    dropped(sheets) {
      const low = Number(this.rules.low), high = Number(this.rules.high);
      if (this.rules.simple !== "yes" || this.rules.scope !== "sheet" || sheets.length <= low + high) return [];
      const order = [...sheets].sort((a, b) => (a.points < b.points ? -1 : a.points > b.points ? 1 : 0));
      const out = [...order.slice(0, low), ...order.slice(order.length - high)];
      const kept = order.slice(low, order.length - high).map(({ points }) => points);
      return out.map((sheet) => Object.assign(sheet, { sure: !kept.includes(sheet.points) }));
    }

    // In ten-thousandths cubed; null where only the server can tell.
    total(sheets, out) {
      if (this.rules.simple !== "yes" || !sheets.length) return null;
      if (sheets.length < Number(this.table.dataset.expected)) return null;
      const kept = sheets.filter((sheet) => !out.includes(sheet));
      const sum = kept.reduce((all, sheet) => all + sheet.points, 0n) * read(this.rules.factor);
      return this.rules.aggregate === "mean" ? sum / BigInt(kept.length) : sum;
    }

    showMeans() {
      this.table.querySelectorAll("[data-mean]").forEach((box, at) => {
        const values = this.rows.map((row) => points(this.cells(row)[at].value)).filter((v) => v !== null);
        const sum = values.reduce((all, value) => all + value, 0n);
        box.textContent = values.length ? write(sum, 2, SCALE * BigInt(values.length)) : "";
      });
    }

    // What is odd about a row, below it. Boxes still to come in the row being typed are not blank.
    say(row, gone) {
      const cells = this.cells(row);
      const started = cells.some((cell) => cell.value.trim());
      const typing = row.contains(document.activeElement) || row.querySelector(".now");
      const lines = [];
      cells.forEach((cell, at) => {
        const words = started ? oddWords(cell.value, this.scales[at], read(this.rules.penalty || "")) : "";
        const blank = !cell.value.trim();
        const wrong = paper.cell(cell.value).said.length > LONGEST;
        const shown = words && !(blank && typing);
        cell.closest("td").classList.toggle("odd", Boolean(shown) && !wrong);
        if (wrong) cell.setAttribute("aria-invalid", "true");
        else cell.removeAttribute("aria-invalid");
        if (shown) lines.push({ words, wrong });
      });
      if (gone) lines.unshift({ words: "Does not count, as it stands now." });
      const printed = this.printed(row), sum = this.sum(row);
      const whole = cells.every((cell) => points(cell.value) !== null);
      if (whole && sum !== null && typeof printed === "bigint" && printed * SCALE !== sum) {
        lines.push({ words: `The marks add up to ${write(sum, 4, SCALE * SCALE)}, the paper says ${write(printed)}.` });
      }
      const says = row.nextElementSibling;
      says.hidden = !lines.length;
      says.cells[0].replaceChildren(
        ...lines.map(({ words, wrong }) => {
          const line = document.createElement("p");
          line.textContent = words;
          if (wrong) line.className = "wrong-words";
          return line;
        }),
      );
    }

    // Another judge's row, with an id of its own, and its place for a printed total.
    addRow() {
      const count = document.getElementById("id_sheets-TOTAL_FORMS");
      const index = Number(count.value);
      if (index >= 60) return null;
      count.value = index + 1;
      const fill = (selector, into) => {
        const holder = document.createElement("template");
        const source = document.querySelector(selector);
        holder.innerHTML = source.innerHTML.replaceAll("__prefix__", String(index));
        into.append(holder.content);
      };
      fill(`template[data-judge-of="${this.number}"]`, this.body);
      fill(`template[data-totals-of="${this.number}"]`, document.querySelector(`[data-totals="${this.number}"]`));
      const row = this.rows.at(-1);
      document.getElementById(`id_sheets-${index}-id`).value = newId();
      const same = marks.grids.filter((grid) => grid.round === this.round);
      const number = same.reduce((all, grid) => all + grid.rows.length, 0);
      row.querySelector("th input[type=text]").placeholder = String(number);
      for (const field of document.querySelectorAll(`[name^="sheets-${index}-"]`)) {
        const words = field.getAttribute("aria-label");
        if (words) field.setAttribute("aria-label", words.replace(/^Judge/, `Judge ${number}`));
      }
      nameTotals(this);
      document.dispatchEvent(new CustomEvent("marks:rows"));
      return row;
    }

    // A block of cells from a spreadsheet, from this box on; what is too wide is told.
    paste(cell, text) {
      const block = text.replace(/\r/g, "").replace(/\n+$/, "").split("\n").map((line) => line.split("\t"));
      let at = this.rows.indexOf(cell.closest("tr"));
      const first = this.cells(cell.closest("tr")).indexOf(cell);
      let wide = 0;
      for (const line of block) {
        const row = this.rows[at] || this.addRow();
        if (!row) break;
        const cells = this.cells(row).slice(first);
        line.slice(0, cells.length).forEach((value, place) => {
          cells[place].value = value.trim().replace(/^(\d*),(\d*)$/, "$1.$2");
        });
        wide = Math.max(wide, line.length - cells.length);
        at += 1;
      }
      say(wide > 0 ? `The block is wider than the sheet: ${wide === 1 ? "one column was" : `${wide} columns were`} left out.` : "");
    }
  }

  const say = (words) => {
    const said = document.getElementById("said");
    if (said) said.textContent = words;
  };

  // randomUUID is only there on a safe connection; in a field the laptop may serve without one.
  const newId = () => {
    if (crypto.randomUUID) return crypto.randomUUID();
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 15) | 64;
    bytes[8] = (bytes[8] & 63) | 128;
    const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
  };

  // Whose printed total a line below the table is.
  const nameTotals = (grid) => {
    for (const row of grid.rows) {
      const line = document.querySelector(`[data-totals-row="${row.dataset.row}"] [data-who]`);
      if (line) line.textContent = grid.judge(row);
    }
  };

  const marks = { grids: [], newId };

  marks.gridOf = (cell) => marks.grids.find((grid) => grid.body.contains(cell));
  marks.cells = () => marks.grids.flatMap((grid) => grid.all);

  // Add up everything anew; with `touched` also say what is odd, which the server has said before.
  marks.show = (touched = true) => {
    const shown = marks.grids.map((grid) => grid.show(touched));
    const live = document.getElementById("live");
    if (!live || !touched) return;
    const sheets = shown.reduce((all, { sheets }) => all + sheets, 0);
    const judged = shown.filter((one) => one.sheets).map(({ round }) => round);
    const sums = document.getElementById("tables").dataset.rounds === "add"
      ? shown.filter(({ round }) => judged.includes(round))
      : shown.filter(({ round }) => round === Math.max(...judged));
    const whole = sums.every(({ total }) => total !== null);
    const total = sums.reduce((all, { total }) => all + (total || 0n), 0n);
    live.hidden = !sheets;
    live.textContent = whole
      ? `As typed: ${write(total, 4, SCALE ** 3n)}. Not saved yet.`
      : "Typed, not saved yet: the total is worked out when you save.";
  };

  // Type into a box as a finger would: sums and drafts follow.
  marks.put = (cell, text) => {
    cell.value = text;
    cell.dispatchEvent(new Event("input", { bubbles: true }));
  };

  const tidy = (cell) => {
    const grid = marks.gridOf(cell);
    const text = pointed(cell.value.trim(), grid.scale(cell));
    if (text !== cell.value) marks.put(cell, text);
  };

  const move = (cell, key) => {
    const grid = marks.gridOf(cell), cells = grid.all, width = grid.scales.length;
    const all = marks.cells();
    const next = {
      Enter: all[all.indexOf(cell) + 1] || document.getElementById("id_official_total"),
      ArrowRight: cells[cells.indexOf(cell) + 1],
      ArrowLeft: cells[cells.indexOf(cell) - 1],
      ArrowDown: cells[cells.indexOf(cell) + width],
      ArrowUp: cells[cells.indexOf(cell) - width],
    }[key];
    if (next) next.focus();
  };

  // Enter in a seat, a printed total or a comment: to the next judge's, without sending the page.
  const nextLikeIt = (event) => {
    event.preventDefault();
    const kind = event.target.name.split("-").at(-1);
    const same = [...document.querySelectorAll(`#tables [name$="-${kind}"]`)];
    same[same.indexOf(event.target) + 1]?.focus();
  };

  document.addEventListener("keydown", (event) => {
    const cell = event.target;
    if (!cell.matches?.("#tables input") || event.ctrlKey || event.metaKey || event.altKey) return;
    if (!cell.matches(".mark")) {
      if (event.key === "Enter") nextLikeIt(event);
      return;
    }
    if (!/^(Enter|Arrow.*)$/.test(event.key)) return;
    event.preventDefault();
    tidy(cell);
    move(cell, event.key);
  });

  document.addEventListener("focusin", (event) => {
    if (!event.target.matches?.("input.mark")) return;
    if (!event.target.readOnly) event.target.select();
  });
  document.addEventListener("focusout", (event) => {
    if (event.target.matches?.("input.mark") && event.target.isConnected) tidy(event.target);
  });
  document.addEventListener("input", (event) => {
    if (!event.target.closest?.("#tables")) return;
    for (const grid of marks.grids) nameTotals(grid);
    marks.show();
  });
  document.addEventListener("paste", (event) => {
    const cell = event.target;
    const text = event.clipboardData?.getData("text/plain") || "";
    if (!cell.matches?.("input.mark") || !/[\t\n]/.test(text)) return;
    event.preventDefault();
    marks.gridOf(cell).paste(cell, text);
    marks.put(cell, cell.value);
  });
  document.addEventListener("click", (event) => {
    const button = event.target.closest?.("[data-add]");
    if (!button) return;
    event.preventDefault();
    const row = marks.grids[Number(button.dataset.add)]?.addRow();
    if (!row) return say("A table takes 60 sheets at most.");
    const first = row.querySelector("input.mark");
    first.dispatchEvent(new Event("input", { bubbles: true }));
    first.focus();
  });

  // On the first load, and again when an answer has replaced the table.
  marks.start = () => {
    const panel = document.getElementById("tables");
    if (!panel) return;
    marks.grids = [...panel.querySelectorAll("table.marks")].map((table) => new Grid(table, panel.dataset));
    for (const grid of marks.grids) nameTotals(grid);
    marks.show(false);
    document.dispatchEvent(new CustomEvent("marks:ready"));
  };
  window.marks = marks;
  document.addEventListener("htmx:afterSettle", (event) => {
    if (event.target.id !== "record" && !document.getElementById("record")?.contains(event.target)) return;
    marks.start();
    document.getElementById("notice")?.focus();
  });
  addEventListener("DOMContentLoaded", marks.start);
})();

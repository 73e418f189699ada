// What stands on a judge's sheet, as numbers: read as the server reads it (judging/paper.py), written
// plainly, held against its scale. Numbers are counted in ten-thousandths, as whole BigInts: no
// float shows.
const paper = (() => {
  "use strict";

  const SCALE = 10000n;

  // "8,5" or "8½" in ten-thousandths; null for a blank, undefined for no number.
  const read = (text, digits = 6, places = 4) => {
    text = text.trim();
    if (!text) return null;
    const match = /^(?=.*[\d½])(\d*)(?:[.,](\d*))?(½?)$/.exec(text);
    if (!match || (match[2] && match[3])) return undefined;
    const whole = match[1].replace(/^0+/, "");
    const part = match[3] ? "5" : (match[2] || "").replace(/0+$/, "");
    if (whole.length > digits || part.length > places) return undefined;
    return BigInt(whole || 0) * SCALE + BigInt(part.padEnd(4, "0"));
  };

  // A box of a judge's sheet, by the server's rules (judging/paper.py): the number it is read as,
  // null where it is blank or no one number, and what it says where that is odd.
  const LONGEST = 40;
  const FRILLS = /^[+~(\[≈]+|[+\-−–—?!*)\]']+$/g;
  const WITH_O = /^[\d.,½OoØø]+$/; // a letter O among digits is a 0
  const mark = (text) => read(text.replace(/^(\d+) (?:1\/2|½)$/, "$1½"), 4, 3);
  const cell = (typed) => {
    const text = typed.trim().replace(/\s+/g, " ");
    if (!text) return { points: null, said: "" };
    const points = mark(text);
    if (points !== undefined) return { points, said: "" };
    const bare = text.replace(FRILLS, "").trim();
    const digits = WITH_O.test(bare) ? bare.replace(/[OoØø]/g, "0") : bare;
    return { points: mark(digits) ?? null, said: text };
  };
  const points = (text) => cell(text).points;

  // Written plainly, rounded half up to so many places; `unit` is what one point counts.
  const write = (value, places = 4, unit = SCALE) => {
    const fine = 10n ** BigInt(places);
    const whole = (value * fine * 2n + unit) / (unit * 2n);
    const text = String(whole).padStart(places + 1, "0");
    if (!places) return text;
    const part = text.slice(-places).replace(/0+$/, "");
    return text.slice(0, -places) + (part && "." + part);
  };

  // The panel's switches and each column's scale, as the page says them.
  const scaleOf = (head) => ({
    name: head.dataset.name,
    weight: read(head.dataset.weight),
    least: read(head.dataset.least),
    most: read(head.dataset.most),
    step: head.dataset.step ? read(head.dataset.step) : null,
  });

  // A scale may be open at either end: nothing is off it there, and steps count from 0.
  const onStep = (value, scale) =>
    !scale.step || (((value - (scale.least ?? 0n)) % scale.step) + scale.step) % scale.step === 0n;
  const onScale = (value, scale) =>
    (scale.least === null || value >= scale.least) && (scale.most === null || value <= scale.most);
  const scaleWords = ({ least, most }) => {
    if (least === null) return `ends at ${write(most)}`;
    return most === null ? `starts at ${write(least)}` : `goes from ${write(least)} to ${write(most)}`;
  };

  // 85 where 85 is off the scale and 8.5 is on it; anything else stays as typed.
  const pointed = (text, scale) => {
    if (!/^\d{2,4}$/.test(text) || scale.most === null || onScale(read(text), scale)) return text;
    for (let at = text.length - 1; at > 0; at -= 1) {
      const moved = `${text.slice(0, at)}.${text.slice(at)}`;
      const value = read(moved);
      if (value !== undefined && onScale(value, scale) && onStep(value, scale)) return moved;
    }
    return text;
  };

  const STEPS = { 10000: "whole marks", 5000: "half marks", 2500: "quarter marks", 1000: "tenths of a mark" };

  // What is odd about a box, in words; the server says the same once it is saved.
  const oddWords = (text, scale, penalty) => {
    const { points: value, said } = cell(text);
    if (said.length > LONGEST) return `${scale.name}: “${text.slice(0, 20)}…” is too long for a box: put the rest into the comment.`;
    if (said && value === null) return `${scale.name}: the paper says “${said}”, which is no one number: counted as blank till you know.`;
    if (value === null) return `${scale.name} is blank.`;
    const mark = write(value);
    if (said) return `${scale.name}: the paper says “${said}”, read as ${mark}.`;
    if (!onScale(value, scale)) {
      if (value === penalty) return `${scale.name} has the penalty mark, ${mark}.`;
      return `${scale.name} ${mark} is off the scale, which ${scaleWords(scale)}.`;
    }
    if (onStep(value, scale)) return "";
    const steps = STEPS[scale.step] || `steps of ${write(scale.step)}`;
    return `${scale.name} ${mark} is between the steps: this book has ${steps}.`;
  };

  return { SCALE, LONGEST, read, cell, points, write, scaleOf, onScale, pointed, oddWords };
})();

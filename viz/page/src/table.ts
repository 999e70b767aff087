// The resonances as a table that sorts, filters, and drives the view.

import { el, replaceChildren, section } from "./dom.ts";
import { bandWords, decibel, fixed, percent, significant } from "./numbers.ts";
import type { Row } from "./resonances.ts";
import type { Choice, Store } from "./store.ts";

interface Column {
  key: string;
  title: string;
  hint: string;
  isNumber: boolean;
  value: (row: Row) => number | string | null;
  text: (row: Row) => string;
}

const optional = (value: number | null, words: (value: number) => string): string => (value === null ? "–" : words(value));

export const columns: Column[] = [
  { key: "number", title: "No", hint: "Number in the run's own list", isNumber: true, value: (r) => r.number, text: (r) => String(r.number) },
  { key: "frequency", title: "Hz", hint: "Frequency, with the band that materials, joints and feet allow", isNumber: true, value: (r) => r.frequency,
    text: (r) => (r.low !== null && r.high !== null ? `${fixed(r.frequency, 0)} ${bandWords(r.frequency, r.low, r.high)}` : fixed(r.frequency, 0)) },
  { key: "name", title: "What rings", hint: "Boards and pattern, or the wave of the air", isNumber: false, value: (r) => r.name, text: (r) => r.name || "–" },
  { key: "q", title: "Q", hint: "How sharp it is", isNumber: true, value: (r) => r.q, text: (r) => optional(r.q, (q) => significant(q, 2)) },
  { key: "ring", title: "Ring ms", hint: "Time to die away by 60 dB", isNumber: true, value: (r) => r.ring, text: (r) => optional(r.ring, (s) => significant(1000 * s, 2)) },
  { key: "level", title: "Level", hint: "Its own sound against the direct sound, where that is worse: at the listener or in all directions", isNumber: true,
    value: (r) => r.level, text: (r) => optional(r.level, decibel) },
  { key: "over", title: "To notice", hint: "Distance from the level at which trained ears notice it in noise", isNumber: true, value: (r) => r.overStrict,
    text: (r) => optional(r.overStrict, (dB) => (dB > 0 ? `${fixed(dB, 0)} dB over` : `${fixed(-dB, 0)} dB under`)) },
  { key: "verdict", title: "Verdict", hint: "Audible, borderline or inaudible", isNumber: false, value: (r) => r.verdict, text: (r) => r.verdict },
  { key: "odds", title: "Odds", hint: "That it is at least borderline", isNumber: true, value: (r) => r.oddsHeard, text: (r) => optional(r.oddsHeard, percent) },
  { key: "through", title: "Through", hint: "What drives it, or by what way it gets out", isNumber: false, value: (r) => r.through,
    text: (r) => r.through || r.boards.map((b) => b.name).join(", ") },
];

export interface Order { key: string; descends: boolean }

/** Rows without a figure stand last, whichever way it goes; equal ones by frequency. */
export function sorted(rows: Row[], order: Order): Row[] {
  const column = columns.find((one) => one.key === order.key)!;
  const sign = order.descends ? -1 : 1;
  return [...rows].sort((a, b) => {
    const [x, y] = [column.value(a), column.value(b)];
    if (x === null || y === null) return x === y ? a.frequency - b.frequency : x === null ? 1 : -1;
    const by = typeof x === "number" ? x - (y as number) : x.localeCompare(y as string);
    return by !== 0 ? sign * by : a.frequency - b.frequency;
  });
}

export interface Filter { words: string; verdict: string; board: string | null }

export function filtered(rows: Row[], { words, verdict, board }: Filter): Row[] {
  const wanted = words.toLowerCase().split(/\s+/).filter(Boolean);
  return rows.filter((row) => {
    const text = [...columns.map((column) => column.text(row)), ...row.boards.map((b) => b.name)].join(" ").toLowerCase();
    return wanted.every((word) => text.includes(word)) && (verdict === "" || row.verdict === verdict) &&
      (board === null || row.boards.some((b) => b.name === board));
  });
}

export function resonanceTable(rows: Row[], store: Store, first: Order): HTMLElement {
  const used = columns.filter((column) => rows.some((row) => !["–", ""].includes(column.text(row))));
  let order = first;
  const filter: Filter = { words: "", verdict: "", board: null };
  const body = el("tbody"), count = el("p", { role: "status" });
  const heads = used.map((column) => el("th", { scope: "col", class: column.isNumber ? "number" : null }, el("button", {
    type: "button", title: column.hint, onclick: () => {
      order = { key: column.key, descends: order.key === column.key ? !order.descends : column.isNumber && column.key !== "number" && column.key !== "frequency" };
      fill();
    } }, column.title)));
  const board = el("select", { id: "board-filter", onchange: () => store.set({ board: board.value || null }) },
    el("option", { value: "" }, "all"), ...boardNames(rows).map((name) => el("option", { value: name }, name)));
  const verdict = el("select", { id: "verdict-filter", onchange: () => { filter.verdict = verdict.value; fill(); } },
    el("option", { value: "" }, "all"), ...[...new Set(rows.map((row) => row.verdict))].map((word) => el("option", { value: word }, word)));
  const words = el("input", { id: "word-filter", type: "search", oninput: () => { filter.words = words.value; fill(); } });

  const fill = () => {
    const shown = sorted(filtered(rows, filter), order);
    used.forEach((column, c) => heads[c].setAttribute("aria-sort", column.key !== order.key ? "none" : order.descends ? "descending" : "ascending"));
    replaceChildren(body, ...shown.map((row) => line(row, used, store)));
    replaceChildren(count, shown.length === rows.length ? `${rows.length} resonances` : `${shown.length} of ${rows.length} resonances`);
    mark(store.current);
  };
  const mark = (choice: Choice) => {
    for (const tr of body.children) {
      const isChosen = tr.getAttribute("data-mode") === String(choice.mode);
      tr.classList.toggle("chosen", isChosen);
      tr.querySelector("button")?.setAttribute("aria-pressed", String(isChosen));
    }
  };
  store.follow((choice) => {
    if (choice.board !== filter.board) {
      filter.board = choice.board;
      board.value = choice.board ?? "";
      fill();
    } else mark(choice);
  });
  fill();
  return section("resonances", "Resonances", el("div", { class: "filters" },
    el("label", { for: "word-filter" }, "Find", words), el("label", { for: "board-filter" }, "Board", board),
    el("label", { for: "verdict-filter" }, "Verdict", verdict)), count,
  el("div", { class: "wide tall", tabindex: 0, role: "region", "aria-label": "Table of resonances" },
    el("table", {}, el("thead", {}, el("tr", {}, ...heads)), body)), el("p", { class: "note" }, legend));
}

const legend = "A click on a number shows the resonance above. Hz: with the band that the ranges of materials, joints and feet " +
  "allow. Level: its own sound against the direct sound of cones and ports. To notice: how far that is from where trained ears " +
  "notice it in noise. Odds: that it is at least borderline.";

const boardNames = (rows: Row[]): string[] => [...new Set(rows.flatMap((row) => row.boards.map((b) => b.name)))];

function line(row: Row, used: Column[], store: Store): HTMLElement {
  const cells = used.map((column) => {
    const text = column.text(row);
    if (column.key === "number")
      return el("th", { scope: "row", class: "number" }, el("button", {
        type: "button", "aria-pressed": "false", "aria-label": `Show resonance ${text}`, onclick: () => store.set({ mode: row.number }) }, text));
    return el("td", { class: [column.isNumber ? "number" : ["name", "through"].includes(column.key) ? "words" : "", column.key === "verdict" ? `verdict ${verdictClass(row.verdict)}` : ""].join(" ").trim() || null }, text);
  });
  return el("tr", { "data-mode": row.number }, ...cells);
}

const verdictClass = (verdict: string): string => ({ audible: "loud", borderline: "near", rings: "near" })[verdict] ?? "quiet";

// Elements by hand. Text only ever becomes a text node: nothing from a file can become markup.

export type Child = Node | string | number | null | undefined | false;
type Attributes = Record<string, string | number | boolean | null | undefined | ((event: any) => void)>;

/** An element; attributes that are functions listen ("onclick"), false and null are left out. */
export function el<K extends keyof HTMLElementTagNameMap>(
  tag: K, attributes: Attributes = {}, ...children: Child[]): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (typeof value === "function") element.addEventListener(name.replace(/^on/, ""), value);
    else element.setAttribute(name, value === true ? "" : String(value));
  }
  append(element, ...children);
  return element;
}

export function append(parent: Node, ...children: Child[]): void {
  for (const child of children) {
    if (child === null || child === undefined || child === false) continue;
    parent.appendChild(typeof child === "object" ? child : document.createTextNode(String(child)));
  }
}

export function replaceChildren(parent: Node, ...children: Child[]): void {
  while (parent.firstChild) parent.removeChild(parent.firstChild);
  append(parent, ...children);
}

/** A section with its heading; the heading gives it its name for those who hear the page. */
export function section(id: string, title: string, ...children: Child[]): HTMLElement {
  return el("section", { id, "aria-labelledby": `${id}-title` }, el("h2", { id: `${id}-title` }, title), ...children);
}

/** A table that scrolls sideways where it is too wide; the first cell of a line names it. Numbers stand right. */
export function plainTable(heads: string[], lines: Child[][], kind = ""): HTMLElement {
  const cell = (content: Child, c: number) => c === 0
    ? el("th", { scope: "row" }, content)
    : el("td", { class: typeof content === "string" && /^[+−]?\d[\d.]*$/.test(content) ? "number" : null }, content);
  return el("div", { class: `wide ${kind}`.trim(), tabindex: 0, role: "region", "aria-label": `Table: ${heads.slice(0, 4).join(", ")}` }, el("table", {},
    el("thead", {}, el("tr", {}, ...heads.map((title) => el("th", { scope: "col" }, title)))),
    el("tbody", {}, ...lines.map((line) => el("tr", {}, ...line.map(cell))))));
}

/** Hands a file to the browser's own download. */
export function download(name: string, content: Blob): void {
  const link = el("a", { href: URL.createObjectURL(content), download: name });
  document.body.appendChild(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

/** A file name without anything a system or a shell could trip over. */
export const safeName = (text: string): string => text.replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-+|-+$/g, "") || "cabinet";

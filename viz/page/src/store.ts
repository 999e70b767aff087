// What the reader has chosen; the parts of the page follow it.

export interface Choice {
  mode: number | null; // number of a resonance of the shown run
  board: string | null; // the table shows what this board takes part in
}

export class Store {
  private listeners: ((choice: Choice) => void)[] = [];
  constructor(private choice: Choice) {}
  get current(): Choice { return this.choice; }
  /** Called at once and after each change. */
  follow(listener: (choice: Choice) => void): void {
    this.listeners.push(listener);
    listener(this.choice);
  }
  set(change: Partial<Choice>): void {
    const next = { ...this.choice, ...change };
    if (next.mode === this.choice.mode && next.board === this.choice.board) return;
    this.choice = next;
    for (const listener of this.listeners) listener(next);
  }
}
